"""The screen's own application, fed through prompt-toolkit's pipe, without a terminal."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from prompt_toolkit.data_structures import Size
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from fixbook.screen.cells import class_names
from fixbook.screen.events import Event
from fixbook.screen.state import KEYS, NARROW, SEARCH, State
from fixbook.screen.step import step
from fixbook.screen.window import STYLES, Screen


class Still:
    """A runtime that asks for nothing: the state alone."""

    def __init__(self) -> None:
        self.state = State()
        self.events: list[Event] = []
        self.begun = 0

    def send(self, event: Event) -> None:
        """Take an event."""
        self.events.append(event)
        self.state = step(self.state, event)

    def begin(self) -> None:
        """Count how often the book is opened."""
        self.begun += 1


class Sized(DummyOutput):
    """An output of a given size."""

    def get_size(self) -> Size:
        """Give the size."""
        return Size(rows=30, columns=110)


@pytest.fixture
def after() -> Callable[[str], Still]:
    """Give the runtime after these keys and leaving."""

    def play(keys: str) -> Still:
        runtime = Still()
        with create_pipe_input() as pipe:
            pipe.send_text(f"{keys}\x11")
            Screen(runtime, environment={}, input=pipe, output=Sized()).run()
        return runtime

    return play


def test_letters_reach_the_state(after):
    """What is typed stands in the search."""
    assert after("hum left").state.words == "hum left"


def test_what_is_pasted_is_kept_as_it_was(after):
    """A letter that the line shows a mark for is still the letter that was pasted."""
    assert after("\x1b[200~a\u202eb\x1b[201~").state.words == "a\u202eb"


def test_the_state_knows_the_size_of_the_terminal(after):
    """The first painting has the terminal's size already."""
    assert (after("").state.columns, after("").state.rows) == (110, 30)


def test_the_book_is_opened_once_after_the_first_painting(after):
    """Nothing is opened twice however often the screen is painted."""
    assert after("hum").begun == 1


def test_function_keys_lead_to_their_places(after):
    """F2 narrows."""
    assert after("\x1bOQ").state.place == NARROW


def test_keys_in_a_list_shorten_it_and_leave_the_search_alone(after):
    """The one input line serves the place that is in sight."""
    runtime = after("hum\x1bOQamp")
    assert (runtime.state.words, runtime.state.filter) == ("hum", "amp")


def test_the_line_shows_the_search_again_after_coming_back(after):
    """Coming back finds the words, and typing goes on behind them."""
    assert after("hum\x1bOQamp\x1bOQ left").state.words == "hum left"


def test_a_paste_of_several_lines_becomes_one(after):
    """A pasted line end opens nothing."""
    runtime = after("\x1b[200~hum\nleft\r\nside\x1b[201~")
    assert (runtime.state.words, runtime.state.place) == ("hum left side", SEARCH)


def test_a_long_paste_is_taken_in_part(after):
    """What is too long is cut, and the screen goes on."""
    assert len(after("\x1b[200~" + "drone " * 8_000 + "\x1b[201~").state.words) == 1_000


def test_typing_where_nothing_is_typed_changes_nothing(after):
    """Letters on the screen of keys are harmless."""
    assert after("\x1bOPxyz").state.place == KEYS


def test_editing_keys_work_in_the_line(after):
    """The line is edited as any other: begin, end, delete."""
    assert after("um\x1b[Hh\x1b[Fs\x7f").state.words == "hum"


def test_every_style_but_the_plain_ones_looks_like_something():
    """What the renderers give is known to the screen."""
    from fixbook.render.lines import STYLES as NAMES

    known = {name for name, _ in STYLES.style_rules}
    assert {name for name in NAMES if class_names(name)} - known == {"found"}
