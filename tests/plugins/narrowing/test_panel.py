"""The panel of the bench screen: a pure function of state and event, and its work."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from fixbook_plugins.narrowing.panel import panel
from fixbook_plugins.narrowing.panel_work import Worker

from fixbook.api import FixbookError, PanelEvent, PanelState, PanelWork
from fixbook.app.bench import LibraryBench
from fixbook.app.folders import user_folders
from fixbook.app.library import Library
from fixbook.settings import find_book


@pytest.fixture(scope="module")
def bench(tmp_path_factory):
    """Open the starter book once."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        folders = user_folders()
        yield LibraryBench(Library(find_book(None, {}, Path("/"), folders.data), folders))


class Screen:
    """Drives the panel as the screen does: events in, its work done at once."""

    def __init__(self, bench: LibraryBench, state: PanelState | None = None) -> None:
        self.bench = bench
        self.panel = panel()
        self.state = state or self.panel.begin

    def send(self, kind: str, name: str = "", text: str = "", entry: object = None) -> PanelState:
        """Let something happen, and do what the panel asks for."""
        self.state = self.panel.step(self.state, PanelEvent(kind, name, text, entry))
        while self.state.work is not None:
            wanted = self.state.work
            self.state = replace(self.state, work=None)
            try:
                event = PanelEvent("done", wanted.name, answer=self.panel.work(self.bench, wanted))
            except FixbookError as error:
                event = PanelEvent("failed", wanted.name, error.why)
            self.state = self.panel.step(self.state, event)
        return self.state

    def type(self, name: str, text: str) -> None:
        """Type into a line."""
        fields = tuple(
            replace(one, text=text) if one.name == name else one for one in self.state.fields
        )
        self.state = replace(self.state, fields=fields)
        self.send("typed", name, text)

    @property
    def text(self) -> str:
        """All that the blocks say."""
        return "\n".join(map(str, self.state.blocks))

    @property
    def actions(self) -> list[str]:
        """The names of what can be done."""
        return [one.name for one in self.state.actions]


@pytest.fixture
def screen(bench):
    """Give a panel that has begun with a complaint."""
    made = Screen(bench)
    made.type("unit", "appliance")
    made.type("words", "display goes faint when it starts")
    made.send("chosen", "begin")
    return made


def test_a_complaint_is_narrowed_down_to_its_sheet(screen):
    """Answers are actions; at the stop the sheet is one."""
    assert "Does the display dim or restart" in screen.text
    while any(one.startswith("answer") for one in screen.actions):
        screen.send("chosen", "answer seen" if "dim" in screen.text else "answer not-seen")
    assert "sheet timer-board-dropper" in screen.actions
    screen.send("chosen", "sheet timer-board-dropper")
    assert "Step by step" in screen.text


def test_the_unit_is_found_in_the_words(bench):
    """As on the command line."""
    screen = Screen(bench)
    screen.type("words", "my record player hums")
    assert screen.send("chosen", "begin").badge == "narrowing down: turntable"


def test_words_that_name_no_unit_are_said_to(bench):
    """And nothing that was typed is lost."""
    screen = Screen(bench)
    screen.type("words", "broken")
    screen.send("chosen", "begin")
    assert ("which kind of apparatus" in screen.text, screen.state.fields[1].text) == (
        True, "broken",
    )  # fmt: skip


def test_a_step_back_brings_the_check_before_back(screen):
    """One answer less."""
    before = screen.state.memory["sign"]
    screen.send("chosen", "answer not-seen")
    screen.send("chosen", "back")
    assert (screen.state.memory["sign"], screen.state.memory["said"]) == (before, "[]")


def test_the_reason_is_told(screen):
    """Why this check, and what the chances rest on."""
    screen.send("chosen", "why")
    assert "Why this check" in screen.text


def test_the_sheet_on_the_screen_says_the_unit(bench):
    """The panel begins beside the result one is looking at."""
    screen = Screen(bench)
    screen.send("opened", entry=bench.entry("amp-relay-contacts"))
    assert screen.state.fields[0].text == "power-amplifier"


def test_what_is_searched_is_filled_in_and_what_was_typed_stays(bench):
    """The words of the search are the complaint, until another is typed."""
    screen = Screen(bench)
    screen.send("opened", text="left side fades")
    screen.send("opened", text="no sound")
    first = screen.state.fields[1].text
    screen.type("words", "no sound at all")
    screen.send("opened", text="hums")
    assert (first, screen.state.fields[1].text) == ("no sound", "no sound at all")


def test_beginning_anew_begins_with_what_is_searched(screen):
    """The next unit's complaint is filled in at once."""
    screen.send("chosen", "clear", text="hums")
    assert [one.text for one in screen.state.fields] == ["", "hums"]


def test_lines_that_were_not_begun_with_survive_the_screen(bench):
    """What was typed is there again, and nothing is begun by itself."""
    screen, again = Screen(bench), Screen(bench)
    screen.type("words", "left side fa")
    again.send("begun", text=screen.state.draft)
    assert (again.state.fields[1].text, again.state.badge) == ("left side fa", "")


def test_the_screen_is_not_told_to_type_commands(screen):
    """What can be done there is done there."""
    assert not re.search(r"--\w|fixbook ", screen.text)


def test_what_was_answered_survives_the_screen(screen, bench):
    """A draft brings it back, to the last answer."""
    screen.send("chosen", "answer not-seen")
    again = Screen(bench)
    again.send("begun", text=screen.state.draft)
    assert (again.state.memory["said"], again.actions) == (
        screen.state.memory["said"], screen.actions,
    )  # fmt: skip


@pytest.mark.parametrize(
    "draft", ["{", "[]", "7", '{"said": "x"}', '{"unit": "appliance", "said": "[[1]]"}']
)
def test_a_damaged_draft_is_let_go(bench, draft):
    """It is no reason to end the panel."""
    screen = Screen(bench)
    screen.send("begun", text=draft)
    assert screen.state.memory == {}


def test_the_path_is_not_kept_where_nobody_keeps_jobs(screen):
    """With words; the starter book alone has no jobs."""
    screen.send("chosen", "answer not-seen")
    screen.type("job", "7")
    screen.send("chosen", "keep")
    assert "nothing here keeps jobs" in screen.text or "fixbook book new" in screen.text


def test_beginning_anew_forgets_everything(screen):
    """The next unit is another one."""
    screen.send("chosen", "clear")
    assert (screen.state.memory, screen.state.draft, screen.actions) == ({}, "", [])


def test_the_model_is_read_once(bench, monkeypatch):
    """A step does not read the book again."""
    worker = Worker()
    values = {"unit": "appliance", "words": "", "said": ""}
    worker.work(bench, PanelWork("begin", values))
    monkeypatch.setattr(LibraryBench, "entries", None)
    said = json.dumps([["motor-sparks", "not-seen"]])
    assert worker.work(bench, PanelWork("step", {**values, "said": said}))["sign"]
