"""What was typed outlives the screen: the words, the narrowings, the sums, the answers."""

from __future__ import annotations

import os
import signal

import pytest
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput
from terminal import KEYS

from fixbook.screen import drafts as drafts_module
from fixbook.screen.drafts import Drafts
from fixbook.screen.events import Answered, Typed
from fixbook.screen.input_line import input_line
from fixbook.screen.keeping import from_text, kept, to_text
from fixbook.screen.requests import Kept, LeftSum, Recalled
from fixbook.screen.runtime import REST_S, Runtime
from fixbook.screen.searching import narrow
from fixbook.screen.state import State
from fixbook.screen.step import step
from fixbook.screen.window import Screen


def again(player, **values: object) -> State:
    """Give the state of the next screen, once it knows what this one left."""
    left = from_text(to_text(kept(player.state)))
    return step(State(**values), Answered(Recalled(left)))


def fill(player, name: str, *texts: str):
    """Open a calculator from the list and type its lines."""
    player.do("sums")
    player.type(name)
    player.do("enter")
    for text in texts:
        player.type(text)
        player.do("other")
    return player


def test_the_words_and_what_they_are_narrowed_by_stand_there_next_time(player):
    """The search is as it was left, and its results with it."""
    player.type("drops")
    player.do("narrow", "enter")
    state = again(player)
    assert (state.words, state.narrowed) == ("drops", player.state.narrowed) != ("drops", ())


def test_a_sum_that_was_left_is_as_it_was_the_next_time(player):
    """Its lines are there when it is opened from the list, where it stands first."""
    fill(player, "divider", "9V", "1k")
    player.go_on(again(player, opened=player.state.opened))
    player.do("sums", "enter")
    assert player.state.filling.texts[:3] == ("9V", "1k", "")


def test_a_sum_that_was_closed_is_as_it_was_when_it_is_opened_again(player):
    """Escape keeps what stands in the form, as its hint says."""
    fill(player, "divider", "9V", "1k").do("back")
    assert fill(player, "divider").state.filling.texts[:2] == ("9V", "1k")


def test_a_sum_that_is_opened_again_has_its_answer(player):
    """What was worked out before is worked out again."""
    fill(player, "divider", "12V", "10k", "4k7").do("back")
    fill(player, "divider")
    assert "3.8367 V" in player.shown


def test_each_sum_keeps_its_own_lines(player):
    """Another form takes nothing away."""
    fill(player, "divider", "9V", "1k").do("back")
    fill(player, "ohms-law", "5V").do("back")
    assert [one.name for one in kept(player.state).sums] == ["ohms-law", "divider"]


def test_a_sum_of_a_sheet_and_the_same_from_the_list_are_two(player):
    """What was typed beside a sheet's values does not get into an empty form."""
    player.type("drops")
    player.do("enter", "sums")
    player.type("fits this sheet")
    player.do("enter", "down", "down")
    name = player.state.filling.form.name
    player.type("77")
    player.do("back")
    assert not any(fill(player, name).state.filling.texts)


def test_a_form_is_emptied_at_once(player):
    """A new sum is begun with one key, and the old lines are let go."""
    fill(player, "divider", "9V", "1k").do("empty")
    assert (any(player.state.filling.texts), kept(player.state).sums) == (False, ())


def test_the_first_letter_takes_the_place_of_a_line_from_before(player):
    """A line that was filled in is marked, until something is typed there."""
    fill(player, "divider", "9V", "1k").do("back")
    fill(player, "divider").do("up", "up")
    marked = input_line(player.state).before
    player.type("12V")
    assert (marked, input_line(player.state).before) == (True, False)


def test_answers_are_at_hand_the_next_time(player):
    """An answer that was kept can still go into a note tomorrow."""
    fill(player, "divider", "12V", "10k", "4k7").do("back")
    assert again(player).answers == player.state.answers != ()


def test_words_typed_before_the_last_ones_came_stay():
    """Whoever types at once is not interrupted; the old words are among those searched before."""
    state = step(step(State(), Typed("hum")), Answered(Recalled(Kept("left side fades"))))
    assert (state.words, state.before, state.recent) == ("hum", False, ("left side fades",))


def test_new_words_are_not_narrowed_by_what_narrowed_the_old(player):
    """A search that takes the place of yesterday's begins anew."""
    state = step(State(), Answered(Recalled(Kept("hum", (("kind", "job"),)))))
    assert (step(state, Typed("")).narrowed, step(state, Typed("hums")).narrowed) == (
        (), (("kind", "job"),),
    )  # fmt: skip


def test_a_narrowing_of_today_stays_when_the_words_of_yesterday_go():
    """What was chosen on this screen is meant."""
    state = step(State(), Answered(Recalled(Kept("hum", (("kind", "job"),)))))
    state = step(narrow(state, "unit", "x"), Typed(""))
    assert state.narrowed == (("unit", "x"),)


@pytest.mark.parametrize(
    "text", ["{", "7", "[]", '{"words": 7, "sums": [1, {"texts": [["a"]]}]}', "[" * 100_000]
)
def test_what_cannot_be_read_of_it_counts_as_never_Typed(text):
    """A damaged file stops no screen."""
    found = from_text(text)
    assert (found.words, found.narrowed, found.answers) == ("", (), ())


def test_what_was_written_down_is_read_as_it_was():
    """All of it comes back."""
    what = Kept("a b", (("unit", "x"),), (LeftSum("s", (("a", "1"),), (("b", "2"),)),), ("c",))
    assert from_text(to_text(what)) == what


def test_the_next_screen_is_given_what_was_typed(tmp_path):
    """Words alone are left behind too."""
    first = Drafts(tmp_path, "book")
    first.open()
    first.save_typed("words")
    first.close()
    assert Drafts(tmp_path, "book").open()[2] == "words"


def test_a_draft_of_a_panel_is_taken_before_words_alone(tmp_path):
    """A job that is on comes back, even if another screen searched for something later."""
    first, second = Drafts(tmp_path, "book"), Drafts(tmp_path, "book")
    for one, draft in ((first, {"job": "on"}), (second, {})):
        one.open()
        one.save(draft)
        one.save_typed("words")
    first.close()
    second.close()
    assert Drafts(tmp_path, "book").open()[0] == {"job": "on"}


def test_nothing_is_written_where_nothing_changed(tmp_path, monkeypatch):
    """The disk is left alone while the user reads."""
    one = Drafts(tmp_path, "book")
    one.open()
    written = []
    monkeypatch.setattr(drafts_module, "write_text", lambda path, *_, **__: written.append(path))
    for _ in range(3):
        one.save({"job": "x"})
        one.save_typed("words")
        one.save_recent(("words",))
    assert len(written) == 3


def test_many_keys_are_written_once(library):
    """What is typed between two writings is one writing."""
    runtime = Runtime(library, lambda event: None)
    runtime.send(Answered(Recalled()))
    for number in range(50):
        runtime.send(Typed("x" * (number + 1)))
    assert (len(runtime._saver._jobs), REST_S > 0) == (1, True)


class Shown:
    """A runtime whose state is given, and that does something once it is painted."""

    def __init__(self, state: State, begun=lambda: None) -> None:
        self.state = state
        self.begin = begun

    def send(self, event: object) -> None:
        """Let something happen."""
        self.state = step(self.state, event)


def run(runtime: Shown, *keys: str) -> int:
    """Show a screen without a terminal, press keys, and leave; the exit status."""
    with create_pipe_input() as pipe:
        pipe.send_text("".join(KEYS.get(key, key) for key in keys))
        return Screen(runtime, environment={}, input=pipe, output=DummyOutput()).run()


def test_typing_replaces_the_words_from_last_time_on_the_screen():
    """They are selected, as in any form."""
    runtime = Shown(step(State(), Answered(Recalled(Kept("left side fades")))))
    run(runtime, "Ctrl-F", "hum", "Ctrl-Q")
    assert runtime.state.words == "hum"


def test_right_goes_into_the_words_from_last_time():
    """They can be gone on with."""
    runtime = Shown(step(State(), Answered(Recalled(Kept("hum")))))
    run(runtime, "Ctrl-F", "Right", "s", "Ctrl-Q")
    assert runtime.state.words == "hums"


@pytest.mark.skipif(not hasattr(signal, "SIGHUP"), reason="this system closes terminals otherwise")
def test_a_terminal_that_is_closed_ends_the_screen_in_good_order():
    """What was typed last is saved after it, as when the user leaves."""
    runtime = Shown(State(), lambda: os.kill(os.getpid(), signal.SIGHUP))
    assert run(runtime) == 128 + signal.SIGHUP
