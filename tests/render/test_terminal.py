"""Hostile text judged by a terminal emulator: it prints, and does nothing else."""

from __future__ import annotations

import json
from pathlib import Path

import pyte
import pytest

from fixbook.core.query import Findings, Hit
from fixbook.core.sheet import (
    CautionBlock,
    PanelBlock,
    PictureBlock,
    ReadingBlock,
    StepsBlock,
    TableBlock,
    TextBlock,
)
from fixbook.render.lines import text_of
from fixbook.render.results import results_lines
from fixbook.render.sheet import sheet_lines, title_lines

PART = json.loads(Path(__file__).with_name("blns_part.json").read_text(encoding="utf-8"))
SEQUENCES = {
    "title": "\x1b]0;mine\x07",
    "icon name": "\x1b]1;mine\x1b\\",
    "8-bit title": "\x9d0;mine\x9c",
    "clipboard": "\x1b]52;c;bWluZQ==\x07",
    "link": "\x1b]8;;http://example.invalid\x1b\\here\x1b]8;;\x1b\\",
    "cursor home": "\x1b[H",
    "cursor place": "\x1b[5;5Hhere",
    "8-bit cursor place": "\x9b5;5Hhere",
    "cursor up": "\x1b[9A",
    "erase all": "\x1b[2J",
    "erase line": "\x1b[1K",
    "insert lines": "\x1b[3L",
    "scroll region": "\x1b[2;3r",
    "alternate screen": "\x1b[?1049h",
    "no cursor": "\x1b[?25l",
    "no wrap": "\x1b[?7l",
    "reset": "\x1bc",
    "save and restore": "\x1b7\x1b8",
    "reverse index": "\x1bM\x1bM\x1bM",
    "colour": "\x1b[8m\x1b[41m",
    "character set": "\x1b(0\x0e",
    "device control": "\x1bP$q\x1b\\",
    "report": "\x1b[6n\x1b[c\x05",
    "backspaces": "safe\x08\x08\x08\x08evil",
    "carriage return": "safe\revil",
    "form feed": "\x0c\x0b",
    "null": "\x00\x00",
    "bell": "\x07\x07",
    "direction": "\u202etxet\u2066\u200f",
    "newlines": "a\n\n\r\nb\u2028c\u2029d\x85e",
    "tabs": "\t\t\t",
    "unfinished": "\x1b[",
    "surrogate": "\ud83d\udca9"[:1],
}
WIDE = 300
"""Columns of the terminal: wide signs are counted in more than one way, and no line may wrap."""
HOSTILE = {**SEQUENCES, **{f"list {at}": text for at, text in enumerate(PART["strings"])}}


def blocks(text: str) -> list[object]:
    """Make one block of each kind with the text in every place."""
    return [
        CautionBlock(text, text, f"{text}\n{text} more"),
        TextBlock(text, text),
        TextBlock(
            text, f"# {text}\n\n{text}\n\n- {text}\n\n| {text} |\n|-|\n| {text} |", markdown=True
        ),
        TextBlock(text, f"```\n{text}\n```\n\n    {text}\n\n> {text}\n\n`{text}`", markdown=True),
        TableBlock(text, (text, "b"), ((text, text), ("x", text)), note=text),
        StepsBlock(text, (text, f"{text} again"), note=text),
        PictureBlock(text, text, text),
        ReadingBlock(text, text, text, text),
        PanelBlock(text, {text: text, "b": text}, note=text),
    ]


def sheet(text: str) -> list[str]:
    """Lay out a sheet with the text in every place."""
    lines = title_lines(text, (text, text), 80) + sheet_lines(blocks(text), 80)
    return [text_of(line) for line in lines]


def results(text: str) -> list[str]:
    """Lay out search results with the text in every place."""
    shown = {"id": text, "title": text, "unit": text, "section": text, "state": text}
    found = Findings(
        query=text,
        searched=text,
        mended={text: text},
        weak=True,
        total=1,
        hits=(Hit(text, shown, 1.0, (text,), text),),
        facets={"unit": ((text, 1), ("b", 1))},
        notes=(text,),
    )
    return [text_of(line) for line in results_lines(found, 80, summaries={text: text})]


def shown(lines: list[str]) -> pyte.Screen:
    """Print lines on a terminal, between a line above and a line below."""
    screen = pyte.Screen(WIDE, len(lines) + 3)
    pyte.Stream(screen).feed("\r\n".join(["ABOVE", *lines, "BELOW"]))
    return screen


def row(screen: pyte.Screen, at: int) -> str:
    """Give the text of one row."""
    return "".join(cell.data for cell in screen.buffer[at].values()).rstrip()


@pytest.mark.parametrize("lay", [sheet, results], ids=["sheet", "results"])
@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_hostile_text_does_nothing_to_the_terminal(text, lay):
    """Title, cursor, modes and the lines above and below are as plain text leaves them."""
    lines = lay(text)
    screen, plain = shown(lines), pyte.Screen(WIDE, 2)
    assert (screen.title, screen.icon_name, screen.mode) == ("", "", plain.mode)
    assert (screen.cursor.y, screen.cursor.x, screen.cursor.hidden) == (len(lines) + 1, 5, False)
    assert (row(screen, 0), row(screen, len(lines) + 1)) == ("ABOVE", "BELOW")


@pytest.mark.parametrize("text", SEQUENCES.values(), ids=SEQUENCES)
def test_hostile_text_colours_nothing(text):
    """No character on the screen has a colour or style that the text asked for."""
    screen = shown(sheet(text))
    styles = {
        (cell.fg, cell.bg, cell.bold, cell.reverse)
        for row in screen.buffer.values()
        for cell in row.values()
    }
    assert styles <= {("default", "default", False, False)}


def test_the_emulator_is_fooled_by_raw_text():
    """The judge can tell: printed as it is, the first sequence does set the title."""
    assert shown([SEQUENCES["title"]]).title == "mine"
