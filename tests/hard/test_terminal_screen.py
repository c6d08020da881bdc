"""The short form of terminal_screen.py: a few hostile texts on the bench screen, every painting judged."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path[:0] = [str(Path(__file__).parents[1] / "screen"), str(Path(__file__).parent)]
import common
import terminal_screen
from judged import Judged, controls, hidden

USED = re.compile(
    "[\b\r\n]|\x1b\\[(?:#[ACDHJK]|0(?:;(?:1|4|7|30|97|41|42|43))*m"
    "|\\?(?:1000|1003|1006|1015|1049|12|1|2004|25|7)[hl])"
)
"""What the screen needs: moving, erasing, its own styles, and modes that it leaves as they were."""
FAULTS = [one for one in terminal_screen.FAULTS if one != "foreign"]
TEXTS = [
    "".join(common.module("render/test_terminal.py").SEQUENCES.values()),
    "\n".join(one for one in terminal_screen.OWN if len(one) < 100),
]


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory, plugin_list: Path) -> Iterator[Judged]:
    """Walk the screen of a hostile book, type and paste into its lines, and leave."""
    book = terminal_screen.hostile_book(tmp_path_factory.mktemp("screen") / "book", TEXTS)
    cache = common.folders(book).cache
    cache.mkdir(parents=True)
    (cache / plugin_list.name).write_bytes(plugin_list.read_bytes())
    with Judged(common.library(book)) as made:
        terminal_screen.walk_sheet(made, TEXTS[0])
        made.paste(TEXTS[1])
        made.press("Down")
        terminal_screen.walk_job(made, TEXTS[1])
        made.leave()
        yield made


def test_only_the_sequences_that_painting_needs_are_written(judged):
    """No title, link, clipboard, device string, bell or other mode."""
    assert [ascii(one) for one in judged.controls if not USED.fullmatch(one)] == []


@pytest.mark.parametrize("kind", FAULTS)
def test_no_painting_of_hostile_text_has_a_fault(judged, kind):
    """Rows are as they were painted, in their own styles, and the screen leaves when told to."""
    assert [what for found, what in judged.faults if found == kind] == []


def test_the_judge_tells_sequences_from_text():
    """A title, a device string and a direction mark are seen where they stand in the text."""
    raw = "a\x1b]0;mine\x07b\x1bPq\x1b\\c\u202ed\x9b5m"
    assert (controls(raw), hidden(raw)) == (
        {"\x1b]0;mine\x07", "\x1bPq\x1b\\", "\x9b"},
        {"\u202e"},
    )
