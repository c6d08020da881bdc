"""A body taken apart at its headings."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.store.body import Section, sections

QUICK = settings(max_examples=60, deadline=None)


@pytest.mark.parametrize(
    ("body", "found"),
    [
        ("", []),
        ("\n\n", []),
        ("It hums.\n", [Section("", "It hums.")]),
        ("## How it shows\n\nIt hums.\n", [Section("How it shows", "It hums.")]),
        ("Before.\n\n## A\n\nB\n\n# C\nD", [Section("", "Before."), Section("A", "B"), Section("C", "D")]),
        ("## A\n## B\n", [Section("A", ""), Section("B", "")]),
        ("Title\nof two lines\n===\n\nText\n", [Section("Title\nof two lines", "Text")]),
        ("## A ##\n\n### B\n\nC\n", [Section("A", "### B\n\nC")]),
        ("## A\n\n> ## quoted\n\n- ## listed\n", [Section("A", "> ## quoted\n\n- ## listed")]),
        ("## A\n\n```\n## code\n```\n", [Section("A", "```\n## code\n```")]),
        ("## A\n\n    ## code\n", [Section("A", "    ## code")]),
        ("##A\n", [Section("", "##A")]),
        ("## *A* `b`\n", [Section("*A* `b`", "")]),
        ("## A\r\n\r\nB\r\nC\r\n", [Section("A", "B\nC")]),
        ("x\ry\r## A\rB\n## C\nD", [Section("", "x\ny"), Section("A", "B"), Section("C", "D")]),
    ],
    ids=[
        "empty", "blank", "no heading", "one", "three", "nothing under it", "underlined",
        "deeper stays", "inside others", "fence", "indented code", "no blank", "marks", "CRLF",
        "old line ends",
    ],
)  # fmt: skip
def test_a_body_is_split_at_its_own_headings(body: str, found: list[Section]) -> None:
    """Headings of level 1 and 2 that a CommonMark reader sees begin a section."""
    assert sections(body) == found


@pytest.mark.parametrize(
    ("text", "steps"),
    [
        ("1. Unplug it.\n2. Measure.", ("Unplug it.", "Measure.")),
        ("1) Unplug it.\n2) Measure.", ("Unplug it.", "Measure.")),
        ("3. Unplug it.\n7. Measure.", ("Unplug it.", "Measure.")),
        ("1. Unplug it.\n\n2. Measure.", ("Unplug it.", "Measure.")),
        ("1. Unplug\n   and wait.\n2. Measure.", ("Unplug\nand wait.", "Measure.")),
        ("1. Unplug\nand wait.", ("Unplug\nand wait.",)),
        ("1. A\n\n   B\n\n   - C\n     - D", ("A\n\nB\n\n- C\n  - D",)),
        ("1. A\n   1. B\n   2. C\n2. D", ("A\n1. B\n2. C", "D")),
        ("1. A\n\n       code\n", ("A\n\n    code",)),
        ("10. A\n\n    B", ("A\n\nB",)),
        ("1.  A\n\n    B", ("A\n\nB",)),
        ("  1. A\n  2. B", ("A", "B")),
        ("1. `code` [link](fault:x)", ("`code` [link](fault:x)",)),
        ("1.\n2. B", ("", "B")),
    ],
    ids=[
        "plain", "brackets", "odd numbers", "loose", "wrapped", "lazy", "nested", "ordered inside",
        "code", "two digits", "wide", "indented", "inline", "empty",
    ],
)  # fmt: skip
def test_an_ordered_list_alone_gives_steps(text: str, steps: tuple[str, ...]) -> None:
    """Each item keeps its CommonMark, moved to the left edge."""
    (section,) = sections(f"## Step by step\n\n{text}\n")
    assert section.steps == steps


@pytest.mark.parametrize(
    "text",
    [
        "First this.\n\n1. Unplug it.",
        "1. Unplug it.\n\nThen that.",
        "- Unplug it.\n- Measure.",
        "1. Unplug it.\n\n2) Measure.",
        "4.7 kohm is the limit.",
        "1.Unplug it.",
        "> 1. Unplug it.",
        "² is a raised digit",
    ],
    ids=["before", "after", "bullets", "two lists", "value", "no blank", "quote", "raised"],
)
def test_other_text_gives_no_steps(text: str) -> None:
    """Only one ordered list and nothing else is a list of steps."""
    (section,) = sections(f"## Notes\n\n{text}\n")
    assert (section.text, section.steps) == (text, ())


_words = st.sampled_from(["Unplug", "it", "4.7", "1. kohm", "- C3", "`code`", "|", "#"])
_line = st.lists(_words, min_size=1, max_size=4).map(lambda words: f"Do {' '.join(words)}.")


@QUICK
@given(st.lists(st.lists(_line, min_size=1, max_size=2), min_size=1, max_size=11))
def test_steps_are_the_items_that_were_written(items: list[list[str]]) -> None:
    """Items of several paragraphs, numbered and indented by the rules, come back as they were."""
    steps = ["\n\n".join(item) for item in items]
    rows = []
    for number, step in enumerate(steps, 1):
        marker = f"{number}. "
        rows.append(marker + step.replace("\n\n", "\n\n" + " " * len(marker)))
    (section,) = sections("## Step by step\n\n" + "\n".join(rows))
    assert section.steps == tuple(steps)


_marks = ["# ", "## ", "=", "-", "\n", "\r", "\r\n", "\t", "    ", "> ", "1. ", "```", "~~~", "|"]
_bodies = st.lists(st.sampled_from([*_marks, "a", "b c", "\0", "\u2028", "\x0c"]), max_size=14)


@QUICK
@given(_bodies.map("".join))
def test_no_word_of_a_body_is_lost_in_its_sections(body: str) -> None:
    """Taken apart, any body still has each of its letters, in their order."""
    found = sections(body)
    told = "".join(f"{one.heading}\n{one.text}" for one in found)
    assert [sign for sign in told if sign in "abc"] == [sign for sign in body if sign in "abc"]
