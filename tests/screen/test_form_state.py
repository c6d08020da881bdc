"""Calculators on the screen: forms, live verdicts, and answers that stay at hand."""

from __future__ import annotations

import pytest

from fixbook.screen.events import Answered, Do, Typed
from fixbook.screen.requests import Sums, WantForm, WantSums
from fixbook.screen.state import FORM, SEARCH, SUMS, State
from fixbook.screen.step import step


def fill(player, name: str, *texts: str):
    """Open a calculator from the list and type its fields."""
    player.do("sums")
    player.type(name)
    player.do("enter")
    for at, text in enumerate(texts):
        player.type(text)
        if at < len(texts) - 1:
            player.do("down")
    return player


def test_the_list_of_sums_is_shortened_by_typing(player):
    """A calculator is found by its name or by what it answers."""
    player.do("sums")
    player.type("divider give")
    assert "divider" in player.shown
    assert "ohms-law" not in player.shown


def test_enter_waits_for_the_list_of_sums():
    """Who knows the name types it and presses Enter at once."""
    state = step(step(State(), Do("sums")), Typed("divider"))
    state = step(state, Do("enter"))
    state = step(state, Answered(Sums(WantSums(0), (("ohms-law", "…"), ("divider", "…")))))
    assert state.want == WantForm("divider", ())


def test_a_form_says_what_is_still_needed(player):
    """An unfinished form is no error."""
    assert "still needed: upper, lower" in fill(player, "divider", "12V").shown


def test_the_answer_stands_there_while_typing(player):
    """No key is needed to calculate."""
    assert "3.8367 V" in fill(player, "divider", "12V", "10k", "4k7").shown


def test_a_value_that_cannot_be_used_says_why(player):
    """The reason names the field and what was typed."""
    shown = fill(player, "divider", "12V", "10k", "forty").shown
    assert "forty" in shown
    assert "lower" in shown


def test_escape_keeps_the_answer_and_closes(player):
    """An answer is at hand without a key of its own."""
    fill(player, "divider", "12V", "10k", "4k7").do("back")
    assert player.state.place == SEARCH
    assert player.state.answers[0].startswith("divider supply=12 V, upper=10 kohm")


def test_an_unfinished_form_keeps_nothing(player):
    """Only answers are kept."""
    fill(player, "divider", "12V").do("back")
    assert player.state.answers == ()


def test_the_same_answer_is_kept_once(player):
    """Pressing Enter again at the end keeps no copy."""
    fill(player, "divider", "12V", "10k", "4k7")
    for _ in range(8):
        player.do("enter")
    assert len(player.state.answers) == 1


def test_sums_that_fit_the_sheet_stand_first_and_are_filled_in(player):
    """A sheet's own targets fill a form in."""
    player.type("drops")
    player.do("enter", "sums")
    player.type("fits this sheet")
    player.do("enter")
    assert player.state.place == FORM
    assert any(player.state.filling.texts)


def test_an_unknown_calculator_is_told_and_leaves_the_screen_as_it_was(player):
    """A wish for what is not there is words, no more."""
    from dataclasses import replace

    player.state = replace(player.state, want=WantForm("divder", ()))
    player.do("keys", "keys")
    assert player.state.place == SEARCH
    assert player.state.want is None


def test_enter_goes_from_field_to_field(player):
    """Values can be typed one after another with Enter alone."""
    fill(player, "divider")
    for text in ("12V", "10k", "4k7"):
        player.type(text)
        player.do("enter")
    assert player.state.filling.texts[:3] == ("12V", "10k", "4k7")


@pytest.mark.parametrize("place", ["narrow", "recent", "sums", "answers", "keys"])
def test_the_key_that_opens_a_list_closes_it(player, place):
    """The same key goes there and back."""
    player.do(place, place)
    assert player.state.place == SEARCH


def test_narrowing_by_a_sign_asks_its_question(player):
    """A sign is chosen by what it asks, not by its id alone."""
    player.do("narrow")
    player.type("drone")
    shown = player.shown
    player.do("enter")
    assert "Does it drone?" in shown
    assert player.state.narrowed == (("sign", "low-drone"),)


def test_choosing_a_narrowing_again_takes_it_away(player):
    """What narrows is the first in the list, to be undone there."""
    for _ in range(2):
        player.do("narrow")
        player.type("sign: does it drone")
        player.do("enter")
    assert player.state.narrowed == ()


def test_words_searched_before_are_searched_again(player):
    """A search of this morning is two keys away."""
    player.type("drops out")
    player.do("enter", "back", "back", "recent", "enter")
    assert (player.state.words, player.state.found.findings.hits[0].key) == ("drops out", "amp-one")


def test_misspelt_words_are_mended_and_it_says_so(player):
    """The answer names the nearest words that it took."""
    player.type("crackels ")
    assert "crackels read as crackles" in player.shown


def test_a_list_without_anything_says_what_would_be_there(player):
    """An empty place explains itself."""
    player.do("answers")
    assert "No answers yet" in player.shown
    assert player.state.place != SUMS
