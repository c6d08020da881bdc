"""The job panel of the bench screen: its state after each event, and its work in a real book."""

from __future__ import annotations

import json
import re

import pytest
from fixbook_plugins.job_history.panel import panel, step
from fixbook_plugins.job_history.panel_work import work

from fixbook.api import PanelEvent, PanelState, PanelWork
from fixbook.app.bench import LibraryBench
from fixbook.app.folders import user_folders
from fixbook.app.library import Library
from fixbook.errors import FixbookError
from fixbook.settings import Place

WHEN = "2026-11-25T14:30"


@pytest.fixture
def bench(book):
    """Give the bench of a book with one write-up."""
    book.add("amp-one", title="One side drops out")
    return LibraryBench(Library(Place(book.folder, "--book"), user_folders()))


def typed(state: PanelState, **texts: str) -> PanelState:
    """Type into lines, as the screen does."""
    from dataclasses import replace

    for name, text in texts.items():
        fields = tuple(replace(one, text=text) if one.name == name else one for one in state.fields)
        state = step(replace(state, fields=fields), PanelEvent("typed", name, text))
    return state


def done(bench: LibraryBench, state: PanelState) -> PanelState:
    """Do the work that a state asks for, and give the state after it."""
    from dataclasses import replace

    wanted = state.work
    assert wanted is not None
    free = replace(state, work=None)
    try:
        return step(free, PanelEvent("done", wanted.name, answer=work(bench, wanted)))
    except FixbookError as error:
        return step(free, PanelEvent("failed", wanted.name, error.why))


def chosen(state: PanelState, name: str, bench: LibraryBench) -> PanelState:
    """Choose an action with the write-up in sight."""
    return step(state, PanelEvent("chosen", name, entry=bench.entry("amp-one"), when=WHEN))


def started(bench: LibraryBench) -> PanelState:
    """Give the panel with a job that was just started."""
    state = typed(
        step(panel().begin, PanelEvent("begun")), complaint="drops out", note="looks worn"
    )
    return done(bench, chosen(state, "start", bench))


def test_a_job_is_started_from_the_sheet_in_sight(bench, fixbook):
    """What stands in the lines is in the job, linked to the write-up."""
    state = started(bench)
    job = json.loads(fixbook("job", "show", "1", "--json").out)
    assert state.badge == "job 1 is on"
    assert (job["complaint"], job["faults"], job["stage"]) == ("drops out", ["amp-one"], "on-bench")
    assert job["notes"][0]["text"] == "looks worn"


def test_what_is_typed_is_in_the_draft_and_comes_back():
    """A draft gives every line again."""
    state = typed(step(panel().begin, PanelEvent("begun")), complaint="drops out", model="M-100")
    again = step(panel().begin, PanelEvent("begun", text=state.draft))
    assert {one.name: one.text for one in again.fields if one.text} == {
        "complaint": "drops out",
        "model": "M-100",
    }


def test_a_note_stays_in_the_draft_until_it_is_written(bench):
    """Between Enter and the database nothing is lost."""
    state = chosen(typed(started(bench), note="3 ohm"), "note", bench)
    assert json.loads(state.draft)["memory"]["sent"] == "3 ohm"
    assert "sent" not in json.loads(done(bench, state).draft)["memory"]


def test_a_note_that_was_being_written_is_not_written_twice(bench):
    """After a kill the screen looks whether the note is in the job already."""
    state = chosen(typed(started(bench), note="3 ohm"), "note", bench)
    work(bench, state.work)
    again = done(bench, step(panel().begin, PanelEvent("begun", text=state.draft)))
    assert next(one.text for one in again.fields if one.name == "note") == ""


def test_a_note_that_was_never_written_comes_back_into_the_line(bench):
    """After a kill before the database had it, the note stands there again."""
    state = chosen(typed(started(bench), note="3 ohm"), "note", bench)
    again = done(bench, step(panel().begin, PanelEvent("begun", text=state.draft)))
    assert next(one.text for one in again.fields if one.name == "note") == "3 ohm"


def test_readings_before_the_start_are_recorded_at_the_start(bench, fixbook):
    """Measuring first and booking in later loses no reading."""
    entry = bench.entry("amp-one")
    state = step(panel().begin, PanelEvent("read", "contact resistance", "3 ohm", entry, WHEN))
    done(bench, chosen(state, "start", bench))
    job = json.loads(fixbook("job", "show", "1", "--json").out)
    assert job["readings"][0]["before"] == 3.0


def test_a_second_reading_is_the_one_after_the_repair(bench, fixbook):
    """The first reading of a target is from before, the next from after."""
    state, entry = started(bench), bench.entry("amp-one")
    for text in ("3 ohm", "40 mohm"):
        state = done(
            bench, step(state, PanelEvent("read", "contact resistance", text, entry, WHEN))
        )
    reading = json.loads(fixbook("job", "show", "1", "--json").out)["readings"][0]
    assert (reading["before"], reading["after"]) == (3.0, 0.04)


def test_closing_without_an_outcome_says_what_is_missing(bench):
    """The job stays on, and what was typed stays in its lines."""
    state = done(bench, chosen(typed(started(bench), work="cleaned"), "close", bench))
    assert state.badge == "job 1 is on"
    assert next(one.text for one in state.fields if one.name == "work") == "cleaned"


def test_an_answer_is_put_into_the_note():
    """A calculation lands in the note line, behind what stands there."""
    state = typed(step(panel().begin, PanelEvent("begun")), note="limit:")
    state = step(state, PanelEvent("offered", text="esr-limit 0.2 ohm"))
    assert next(one.text for one in state.fields if one.name == "note") == (
        "limit: esr-limit 0.2 ohm"
    )


def test_without_a_book_of_ones_own_it_says_how_to_make_one(isolation):
    """The starter book keeps no jobs."""
    bench = LibraryBench(Library(Place(None, "nothing"), user_folders()))
    assert "fixbook book new DIR" in work(bench, PanelWork("look", {"most": "5"}))["said"]


def test_a_damaged_draft_is_kept_as_a_note():
    """What can be read of a draft is better than nothing."""
    state = step(panel().begin, PanelEvent("begun", text="{half"))
    assert next(one.text for one in state.fields if one.name == "note") == "{half"


@pytest.mark.parametrize("text", ["[x](fault:amp-on)", "[x](fault:zzzz)"])
def test_what_is_said_of_a_note_ends_with_one_mark(bench, text):
    """A question about a link is no sentence with a full stop after it."""
    state = typed(started(bench), note=text)
    said = done(bench, chosen(state, "note", bench)).blocks[0].text
    assert said.startswith("Noted. There is no write-up")
    assert not re.search(r"[.?!][.?!]", said)


def test_why_a_job_cannot_be_closed_ends_with_one_mark(bench):
    """The safety rule is a sentence of its own."""
    said = (
        done(bench, chosen(typed(started(bench), outcome="fixed"), "close", bench)).blocks[0].text
    )
    assert not re.search(r"[.?!][.?!]", said)


def test_readings_that_wait_can_be_thrown_away(bench):
    """Readings of a unit that was never booked in do not get into the next one's job."""
    entry = bench.entry("amp-one")
    state = step(panel().begin, PanelEvent("read", "contact resistance", "3 ohm", entry))
    assert "clear" in [one.name for one in state.actions]
