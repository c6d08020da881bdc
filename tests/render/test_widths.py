"""Lines keep to their width: wrapping, tables, hanging marks, sheets, for 40 to 200 columns."""

from __future__ import annotations

import textwrap

from hypothesis import example, given, settings
from hypothesis import strategies as st

from fixbook.core.sheet import (
    CautionBlock,
    PictureBlock,
    ReadingBlock,
    StepsBlock,
    TableBlock,
    TextBlock,
)
from fixbook.render.clean import clean_line
from fixbook.render.lines import hanging, paragraphs, text_of, usable, width_of, wrap
from fixbook.render.sheet import sheet_lines, title_lines
from fixbook.render.table import table_lines

few = settings(max_examples=80, deadline=None)
WIDTHS = st.integers(40, 200)
WIDE = "電源回路の平滑コンデンサ한국어ｆｕｌｌ❤\ufe0f☎\ufe0f👍🏽🇩🇪é\u0301 "
WORDS = st.text(st.sampled_from("abc def-ghi,470µFΩ " + WIDE), max_size=300)
LONG = st.integers(1, 400).map(lambda count: "x" * count)
TEXTS = WORDS | LONG | st.text(max_size=120)


def too_wide(lines, width: int) -> list[str]:
    """Give the lines that are wider than they may be."""
    texts = [text_of(line) if isinstance(line, list) else line for line in lines]
    return [text for text in texts if width_of(text) > width]


@few
@given(TEXTS, WIDTHS)
@example("❤\ufe0f" * 60, 40)
@example("電" * 61, 41)
@example("e\u0301" * 300, 40)
def test_wrapping_never_exceeds_the_width(text, width):
    """No line is wider than asked, wide and combined signs included."""
    assert too_wide(wrap(text, width), width) == []


@few
@given(TEXTS, WIDTHS)
def test_wrapping_loses_nothing_but_blanks(text, width):
    """All signs come out in their order."""
    joined = "".join(wrap(text, width)).replace(" ", "")
    assert joined == clean_line(text).replace(" ", "")


@few
@given(st.text(st.sampled_from("abcdefg ."), max_size=300), WIDTHS)
def test_wide_and_plain_text_break_alike(text, width):
    """Plain words break where the standard library breaks them, beside a wide sign too."""
    plain = " ".join(f"é {text}".split())
    assert wrap(f"é {text}", width) == textwrap.wrap(plain, width, break_on_hyphens=False)


@few
@given(WIDTHS, st.integers(1, 60).map(lambda count: "m" * count + ": "), TEXTS)
def test_a_hanging_text_never_exceeds_the_width(width, first, text):
    """A mark of any length, and the text behind or under it, keep to the width."""
    assert too_wide(hanging(first, text, width), width) == []


@few
@given(TEXTS, WIDTHS, st.integers(0, 8))
def test_paragraphs_never_exceed_the_width(text, width, indent):
    """Indented text keeps to the width too."""
    assert too_wide(paragraphs(text, width, indent=indent), width) == []


@st.composite
def tables(draw):
    """Draw column names and rows of as many cells."""
    count = draw(st.integers(1, 6))
    row = st.lists(TEXTS, min_size=count, max_size=count)
    return draw(row), draw(st.lists(row, max_size=4))


@few
@given(tables(), WIDTHS)
def test_a_table_never_exceeds_the_width(table, width):
    """Columns give way, break their cells, or stand one under another; none runs over."""
    names, rows = table
    assert too_wide(table_lines(names, rows, width), width) == []


@few
@given(tables(), WIDTHS, st.sets(st.integers(0, 5)))
def test_a_table_with_columns_to_cut_never_exceeds_the_width(table, width, cut):
    """Which columns ever may be cut, no line is too wide."""
    names, rows = table
    given = [name for at, name in enumerate(names) if at in cut]
    assert too_wide(table_lines(names, rows, width, cut=given), width) == []


@few
@given(tables(), WIDTHS)
def test_a_table_loses_no_cell(table, width):
    """Every sign of every cell is in the table, however narrow it is."""
    names, rows = table
    text = "".join(text_of(line) for line in table_lines(names, rows, width))
    for cell in (cell for row in rows for cell in row):
        for letter in set(clean_line(cell)) - {" "}:
            assert letter in text


@few
@given(TEXTS, TEXTS, WIDTHS)
def test_a_sheet_never_exceeds_the_width(text, other, width):
    """Blocks of every kind keep to the width."""
    blocks = [
        CautionBlock("mains", text, f"{text}\n{other}"),
        TextBlock(other, text),
        TableBlock(text, (text, other), ((text, other), (other, text)), note=text),
        StepsBlock(text, (text,), note=other),
        PictureBlock(text, "a.svg", other),
        ReadingBlock(text, "pass", other, text),
        ReadingBlock("", "cannot tell", text, other),
    ]
    lines = title_lines(text, (text, other), width) + sheet_lines(blocks, width)
    plain = [line for line in lines if not text_of(line).lstrip("0123456789. ").startswith("    ")]
    assert too_wide(plain, width) == []


@given(st.integers(0, 100_000))
def test_a_layout_is_never_narrower_than_40_nor_wider_than_110(columns):
    """Long lines are hard to read, and very narrow terminals break lines themselves."""
    assert 40 <= usable(columns) <= 110


def test_columns_stand_side_by_side_where_they_fit():
    """Names above, cells below, two blanks between, nothing hanging over at the end."""
    lines = table_lines(("at", "what"), [("RL1", "relay"), ("C5", "capacitor")], 80)
    assert [text_of(line) for line in lines] == ["at   what", "RL1  relay", "C5   capacitor"]


def test_too_many_columns_stand_one_under_another():
    """Where columns would get too narrow, each row becomes a list of names and cells."""
    names = [f"column {number}" for number in range(6)]
    cells = [f"a cell of some length, number {number}" for number in range(6)]
    lines = [text_of(line) for line in table_lines(names, [cells], 40)]
    assert lines[0].startswith("column 0: a cell of some length")


def test_a_wide_sign_takes_two_columns():
    """A column of wide signs is as wide as it looks, so the next one begins in line."""
    lines = table_lines(("", ""), [("電源", "x"), ("ab", "y")], 80)
    assert [width_of(text_of(line)) for line in lines] == [7, 7]


def test_signs_that_some_terminals_join_are_counted_one_by_one():
    """The screen places letter after letter, so a row must not be counted narrower than that."""
    assert width_of("\U0001f1e9\U0001f1ea") == 4
