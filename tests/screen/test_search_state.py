"""Searching on the screen: the state after each event, without a terminal."""

from __future__ import annotations

from dataclasses import replace

from fixbook.core.query import Findings, Hit
from fixbook.screen.events import Answered, Do, Resized, Typed, Wheel
from fixbook.screen.requests import Found, Opened
from fixbook.screen.state import SEARCH, SHEET, State
from fixbook.screen.step import step
from fixbook.screen.wants import wants


def opened(**values: object) -> State:
    """Give a state whose book is open."""
    return step(replace(State(), **values), Answered(Opened()))


def findings(*keys: str, total: int = 0) -> Findings:
    """Give findings with these hits."""
    hits = tuple(Hit(key, {"title": f"title of {key}"}, 1.0) for key in keys)
    return Findings("", "", total=total or len(hits), hits=hits)


def answered(state: State, *keys: str, total: int = 0) -> State:
    """Answer the search that a state asks for."""
    return step(state, Answered(Found(state.search(), findings(*keys, total=total))))


def test_nothing_is_searched_before_the_book_is_open():
    """The first paint waits for nothing, and asks for nothing."""
    assert wants(step(State(), Typed("hum"))) == {}


def test_typing_asks_for_what_is_typed():
    """Each key changes what is searched for."""
    state = step(opened(), Typed("hum"))
    assert wants(state)["search"].words == "hum"


def test_an_older_answer_never_replaces_a_newer_one():
    """The newest result wins, whatever order the answers come in."""
    first = step(opened(), Typed("hu"))
    second = answered(step(first, Typed("hum")), "newer")
    late = step(second, Answered(Found(first.search(), findings("older"))))
    assert late.found.findings.hits[0].key == "newer"


def test_an_answer_to_what_was_typed_before_is_shown_meanwhile():
    """Something that is nearly asked for is better than what was there before."""
    first = step(opened(), Typed("hu"))
    state = step(first, Typed("hum"))
    state = step(state, Answered(Found(first.search(), findings("meanwhile"))))
    assert state.found.findings.hits[0].key == "meanwhile"


def test_enter_waits_for_the_results_of_what_was_typed():
    """A fast typist opens what was found for the whole word, not for half of it."""
    state = answered(step(opened(), Typed("hu")), "half")
    state = step(step(state, Typed("hum")), Do("enter"))
    assert (state.place, answered(state, "whole").open.key) == (SEARCH, "whole")


def test_enter_opens_the_chosen_hit():
    """Down chooses the next hit; Enter opens it."""
    state = answered(opened(), "a", "b", "c")
    state = step(step(state, Do("down")), Do("enter"))
    assert (state.place, state.open.key) == (SHEET, "b")


def test_typing_before_the_results_came_takes_a_waiting_enter_back():
    """Who goes on typing wants to search on."""
    state = step(step(opened(), Typed("hum")), Do("enter"))
    state = step(state, Typed("hum left"))
    assert answered(state, "a").place == SEARCH


def test_the_chosen_hit_stays_chosen_when_the_book_changes():
    """A refresh in the background does not move the mark under the user's finger."""
    state = step(answered(opened(), "a", "b"), Do("down"))
    state = step(state, Answered(Opened()))
    again = answered(state, "new", "a", "b")
    assert again.found.findings.hits[again.chosen].key == "b"


def test_going_down_to_the_last_hit_asks_for_more():
    """Results go on as far as there are any."""
    state = answered(opened(), "a", "b", total=500)
    before = state.search().limit
    assert step(state, Do("down")).search().limit > before or state.limit > before


def test_backspace_in_an_empty_line_takes_the_last_narrowing_away():
    """Stepping back undoes one narrowing at a time."""
    state = opened(narrowed=(("unit", "test-amp"), ("sign", "low-drone")))
    assert step(state, Do("erase")).narrowed == (("unit", "test-amp"),)


def test_escape_clears_the_words_first():
    """Words go before narrowings do."""
    state = step(opened(narrowed=(("unit", "test-amp"),)), Typed("hum"))
    state = step(state, Do("back"))
    assert (state.words, state.narrowed) == ("", (("unit", "test-amp"),))


def test_what_was_searched_is_remembered_when_something_was_opened():
    """Words that led somewhere can be searched again."""
    state = answered(step(opened(), Typed("low hum")), "a")
    assert step(state, Do("enter")).recent == ("low hum",)


def test_a_paste_of_a_hundred_thousand_letters_is_cut():
    """A paste cannot make a search that takes for ever."""
    state = step(opened(), Typed("x y\n" * 25_000))
    assert len(state.words) == 1_000
    assert "\n" not in state.words


def test_two_sides_ask_for_the_sheet_beside_the_results():
    """Where there is room the sheet of the chosen hit stands beside it."""
    wide = answered(step(opened(), Resized(120, 40)), "a")
    narrow = answered(opened(), "a")
    assert ("sheet" in wants(wide), "sheet" in wants(narrow)) == (True, False)


def test_the_wheel_over_the_results_chooses():
    """The mouse does what the keys do."""
    state = answered(step(opened(), Resized(120, 40)), "a", "b", "c")
    assert step(state, Wheel("left", 3)).chosen == 1


def test_a_click_chooses_and_another_opens():
    """The first click shows, the second goes inside."""
    state = step(answered(opened(), "a", "b"), Do("hit", "1"))
    assert (state.chosen, state.place, step(state, Do("hit", "1")).place) == (1, SEARCH, SHEET)


def test_a_search_that_cannot_be_done_says_why():
    """A problem is told and the words stay."""
    state = step(opened(), Typed("hum"))
    state = step(state, Answered(Found(state.search(), findings(), "there is no unit x")))
    assert (state.told, state.words) == ("there is no unit x", "hum")
