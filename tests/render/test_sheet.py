"""A sheet's blocks as lines: their order, headings, cautions and readings."""

from __future__ import annotations

import pytest

from fixbook.core.sheet import (
    CautionBlock,
    PanelBlock,
    PictureBlock,
    ReadingBlock,
    StepsBlock,
    TableBlock,
    TextBlock,
)
from fixbook.render.lines import STYLES, text_of
from fixbook.render.sheet import block_lines, sheet_lines, title_lines

MAINS = CautionBlock("mains", "Mains can kill.\nUnplug it.", "Mains can kill. Local codes first.")
HEAT = CautionBlock("hot-work", "Irons burn.", "Irons burn. Wear nothing loose.")


def texts(lines) -> list[str]:
    """Give the lines without styles."""
    return [text_of(line) for line in lines]


def test_blocks_stand_in_the_order_given_with_a_blank_line_between():
    """The layout changes no order: what comes first is done first."""
    lines = sheet_lines([TextBlock("One", "first"), TextBlock("Two", "second")], 60)
    assert texts(lines) == ["One", "first", "", "Two", "second"]


def test_cautions_stand_together_under_one_heading():
    """Several hazards make one list, each short form in one piece."""
    lines = sheet_lines([MAINS, HEAT, TextBlock("Steps", "go")], 60, full=())
    assert texts(lines)[1:4] == ["Cautions", "! Mains can kill. Unplug it.", "! Irons burn."]


@pytest.mark.parametrize(
    ("full", "seen"),
    [(None, [True, True]), ((), [False, False]), (("mains",), [True, False])],
    ids=["all", "none", "one"],
)
def test_full_caution_texts_are_shown_for_those_asked_for(full, seen):
    """The whole text follows the short form for the hazards named, or for all."""
    text = "\n".join(texts(sheet_lines([MAINS, HEAT], 60, full=full)))
    assert ["Local codes first" in text, "nothing loose" in text] == seen


def test_steps_are_numbered_and_hang_under_their_number():
    """A long step goes on under its own beginning."""
    lines = block_lines(StepsBlock("Opening", ("lift the lid", "x" * 50), note="all back"), 40)
    assert texts(lines) == ["Opening", " 1. lift the lid", " 2. " + "x" * 36, "    " + "x" * 14,
                            "all back"]  # fmt: skip


def test_a_verdict_stands_behind_the_reading():
    """Verdict and sharper word follow the reading, with the weight's style and the reason under."""
    block = ReadingBlock("ripple, 2 V", "fail", "high", "Above the window.", "bad")
    assert block_lines(block, 60) == [
        [("heading", "ripple, 2 V"), ("bad", ": fail, high")],
        [("plain", "Above the window.")],
    ]


@pytest.mark.parametrize("heading", ["", "rail " * 12], ids=["none", "long"])
def test_a_verdict_is_never_lost(heading):
    """Whatever the heading, its every word and the verdict are there."""
    lines = block_lines(ReadingBlock(heading, "pass", "", "Inside."), 40)
    text = " ".join(texts(lines))
    assert (text.count("rail"), "pass" in text) == (heading.count("rail"), True)


def test_a_command_in_a_panel_stays_on_one_line():
    """What is to be typed again is never broken, however long."""
    command = "fixbook calc " + "input=4k7 " * 12
    lines = texts(block_lines(PanelBlock("Sums", {"this one": command}), 40))
    assert lines == ["Sums", "this one", f"  {command.strip()}"]


def test_short_values_of_a_panel_stand_beside_their_names():
    """Named figures read as name and value."""
    assert texts(block_lines(PanelBlock("Jobs", {"fixed": "3"}, note="of 4"), 40)) == [
        "Jobs", "fixed: 3", "of 4",
    ]  # fmt: skip


def test_a_picture_is_told_in_words():
    """A terminal shows what a drawing shows by its alternative text."""
    block = PictureBlock("", "a.svg", "pins of the relay")
    assert texts(block_lines(block, 60)) == ["[picture: pins of the relay]"]


def test_a_table_has_its_note_under_it():
    """What holds for the whole table stands below."""
    lines = block_lines(TableBlock("Parts", ("at",), (("RL1",),), note="as fitted"), 60)
    assert texts(lines) == ["Parts", "at", "RL1", "as fitted"]


def test_a_title_has_what_is_empty_left_out_under_it():
    """Id, unit and section stand under the title; what an entry does not say leaves no gap."""
    assert texts(title_lines("Hums", ("amp-hum", "", "supply"), 60)) == ["Hums", "amp-hum, supply"]


def test_an_empty_block_leaves_no_blank_line():
    """A block without words adds nothing."""
    lines = sheet_lines([TextBlock("", "a"), TextBlock("", "", markdown=True), MAINS], 60)
    assert texts(lines)[:3] == ["a", "", "Cautions"]


def test_every_style_is_a_known_one():
    """Screens map styles by name, so a sheet uses no other."""
    lines = sheet_lines([MAINS, TextBlock("a", "b", weight="doubt"), StepsBlock("c", ("d",))], 60)
    assert {style for line in lines for style, _ in line} <= set(STYLES)
