"""Whole journeys on a real pseudo-terminal, read by a terminal emulator."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from terminal import Terminal, steady

SNAPSHOTS = Path(__file__).parents[1] / "snapshots" / "screen"
SIZES = [(80, 24), (120, 40), (250, 70)]


def compare(name: str, screen: Terminal, wanted: Callable[[str], bool]) -> None:
    """Wait for a screen to be as its snapshot; SNAPSHOTS=write makes them anew."""
    path = SNAPSHOTS / f"{name}.txt"
    if os.environ.get("SNAPSHOTS") == "write":
        path.write_text(steady(screen.settled(wanted)), encoding="utf-8")
    snapshot = path.read_text(encoding="utf-8")
    try:
        screen.until(lambda shown: steady(shown) == snapshot)
    except AssertionError:
        assert steady(screen.shown) == snapshot


@pytest.mark.parametrize(("columns", "rows"), SIZES, ids=lambda one: str(one))
def test_results_and_sheet_at_three_sizes(columns, rows, terminal):
    """Side by side where there is room, one at a time where not."""
    screen = terminal(columns, rows)
    screen.until("F6 job")
    screen.press("drops")
    screen.until("1 of 1 found")
    last = "[ ] 2. Measure" if columns >= 100 else "Does it drone?"
    compare(
        f"results-{columns}x{rows}",
        screen,
        lambda shown: (last if columns >= 100 else "matched drops in title") in shown,
    )
    screen.press("Enter")
    compare(
        f"sheet-{columns}x{rows}", screen, lambda shown: "Local codes" in shown and last in shown
    )


def test_the_whole_card_is_done_on_the_screen_alone(terminal, shelf, fixbook):
    """Search, tick, read, calculate, note the answer in a job, close it, and come away."""
    screen = terminal(110, 40)
    screen.until("F6 job")
    screen.press("drops")
    screen.until("1 of 1 found")
    screen.press("Enter")
    screen.until("Local codes")
    screen.press("Down")
    screen.until("reading of contact resistance")
    screen.press("3 ohm")
    screen.until("fail, high")
    screen.press("Enter")
    screen.until("read 3 ohm: fail, high")
    screen.press("F6")
    screen.until("start a job from amp-one")
    screen.press("left side comes and goes", "Down", "M-100", "Down", "Down", "Enter")
    screen.until("job 1 is on")
    screen.press("F4")
    screen.until("sums:")
    screen.press("divider give")
    screen.until("sums: 1")
    screen.press("Enter")
    screen.until("sum: divider")
    screen.press("12V", "Enter", "10k", "Enter", "4k7")
    screen.until("3.8367 V")
    screen.press("F5")
    screen.until("last answers: 0")
    screen.press("F5")
    screen.until("sum: divider")
    screen.press("Escape")
    screen.until("job 1 is on")
    screen.press("F5")
    screen.until("last answers: 1")
    screen.press("Enter")
    screen.until("the answer went to: job")
    screen.until("divider supply=12 V")
    screen.press("Enter")
    screen.until("Noted.")
    screen.press("Down", "cleaned the contact", "Down", "fixed", "Down", "30")
    screen.press("Down", "earth and leakage by the code", "Down", "60", "Down", "Enter")
    screen.until("Job 1 is closed: fixed")
    screen.press("Ctrl-Q")
    assert screen.ended() == 0
    job = json.loads(fixbook("job", "show", "1", "--json").out)
    assert (job["outcome"], job["faults"], job["minutes"]) == ("fixed", ["amp-one"], 30)
    assert job["readings"][0]["before"] == 3.0
    assert "divider supply=12 V" in job["notes"][0]["text"]


def test_what_was_typed_survives_a_kill(terminal):
    """A terminal that dies loses no letter of a note."""
    first = terminal(80, 24)
    first.until("F6 job")
    first.press("F6")
    first.until("no job is on")
    first.press("left side comes and goes")
    first.until("complaint:  left side comes and goes")
    path = Path(os.environ["XDG_DATA_HOME"])
    first.until(lambda _: any("goes" in one.read_text() for one in path.rglob("draft.json")))
    first.kill()
    second = terminal(80, 24)
    second.until("F6 job")
    second.press("F6")
    assert "left side comes and goes" in second.until("This is from last time")


def test_a_file_changed_on_the_disk_is_shown_and_found(terminal, shelf):
    """A write-up that changes shows its new text while the screen is open."""
    screen = terminal(120, 40)
    screen.until("F6 job")
    screen.press("drops")
    screen.until("1 of 1 found")
    screen.press("Enter")
    screen.until("Local codes")
    shelf.add("amp-one", title="One side drops out, quibblewort", body="\n## News\n\nIt was loose.")
    assert screen.until("quibblewort")


def test_a_terminal_that_changes_its_size_is_painted_anew(terminal):
    """Growing brings the second side, shrinking takes it away, and nothing is lost."""
    screen = terminal(80, 24)
    screen.until("F6 job")
    screen.press("drops")
    screen.until("1 of 1 found")
    screen.resize(120, 40)
    screen.until("sheet, lines")
    screen.resize(60, 15)
    assert screen.until(lambda shown: "sheet, lines" not in shown and "drops" in shown)


def test_a_paste_of_a_hundred_kilobytes_does_no_harm(terminal):
    """The screen takes what it can use and answers the next key."""
    screen = terminal(80, 24)
    screen.until("of 3 found")
    screen.paste("drone and hum\n" * 7_500)
    screen.until("find:  ")
    screen.press("Escape")
    screen.until("of 3 found")
    screen.press("crackles")
    assert screen.until("1 of 1 found")


def test_the_mouse_does_what_the_keys_do(terminal):
    """A click on a result and on a key's words."""
    screen = terminal(120, 40)
    screen.until("of 3 found")
    screen.click(*screen.place("Hums at switch-on"))
    screen.until("> Hums at switch-on")
    screen.click(*screen.place("F2"))
    assert screen.until("narrow by:")


def test_without_colour_no_colour_is_sent(terminal):
    """NO_COLOR leaves attributes and words alone."""
    screen = terminal(80, 24, NO_COLOR="1")
    screen.until("F6 job")
    screen.press("zzzz")
    screen.until("nothing found")
    assert not any(f"\x1b[{code}m".encode() in screen.raw for code in ("0;30;42;1", "42", "43"))


def test_a_broken_write_up_is_told_and_the_others_are_shown(terminal, shelf):
    """A mistake in a file hides nothing else."""
    shelf.add("amp-bad", text="---\nid: amp-bad\nkind: what\n---\n")
    screen = terminal(80, 24)
    assert screen.until(lambda shown: "has faults" in shown and "of 3 found" in shown)


def test_a_pipe_is_told_what_there_is(fixbook):
    """Bare `fixbook` without a terminal explains itself, and waits for nobody."""
    done = fixbook()
    assert (done.status, "usage:" in done.out) == (0, True)


def test_a_book_that_is_not_there_is_an_error_before_the_screen(terminal):
    """Nothing is painted over the message."""
    screen = terminal(80, 24, FIXBOOK_BOOK="/no/such/book")
    assert screen.ended() == 2
    assert "/no/such/book does not exist" in screen.errors
