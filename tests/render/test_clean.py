"""Text from files on its way to a terminal: nothing in it can do anything there."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixbook.render.clean import MARK, clean, clean_letters, clean_line

DIRECTION = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
LINE_ENDS = "\x0b\x0c\x1c\x1d\x1e\x85\u2028\u2029"
ANY = st.text(st.characters(codec=None, exclude_categories=()), max_size=80)


def is_control(letter: str) -> bool:
    """Say whether a terminal could act on a letter; a newline is the renderer's own."""
    return unicodedata.category(letter) in ("Cc", "Cs") and letter != "\n"


@given(ANY)
def test_no_control_character_survives(text):
    """Whatever the text, no control character is left, and no half of a surrogate pair."""
    assert [letter for letter in clean(text) if is_control(letter)] == []


@given(st.text(st.sampled_from(DIRECTION + "ab "), max_size=40))
def test_no_direction_mark_survives(text):
    """A line cannot be made to read as another by turning parts of it round."""
    assert set(clean(text)) <= {"a", "b", " "}


@given(ANY)
def test_what_is_clean_stays_as_it_is(text):
    """Cleaning twice is cleaning once."""
    assert clean(clean(text)) == clean(text)


@given(st.text(st.characters(categories=("L", "N", "P", "S", "Zs")), max_size=80))
def test_plain_text_of_any_script_is_untouched(text):
    """Letters, digits, signs and blanks of every script pass unchanged."""
    assert clean(text) == text


@given(ANY)
def test_one_line_has_no_line_end_of_any_kind(text):
    """A title can never take more than the line it was given."""
    assert len(clean_line(text).splitlines()) <= 1


@pytest.mark.parametrize("letter", LINE_ENDS, ids=lambda one: f"U+{ord(one):04X}")
def test_no_hidden_line_end_survives(letter):
    """What some programs take for the end of a line is none any more."""
    assert clean(f"a{letter}b").splitlines() == [clean(f"a{letter}b")]


@pytest.mark.parametrize(
    ("dirty", "shown"),
    [
        ("\x1b[31mred", f"{MARK}[31mred"),
        ("\x9b31mred", f"{MARK}31mred"),
        ("beep\x07", f"beep{MARK}"),
        ("del\x7f", f"del{MARK}"),
        ("a\tb", "a    b"),
        ("over\rwrite", "over write"),
        ("soft\u00adhyphen", "softhyphen"),
        ("zero\u200bwidth", "zerowidth"),
        ("tag\U000e0041", "tag"),
        ("heart \u2764\ufe0f", "heart \u2764"),
        ("thumb \U0001f44d\U0001f3fd", "thumb \U0001f44d"),
        ("half \ud800", f"half {MARK}"),
        ("47 kΩ, 10 µF, ±5 %", "47 kΩ, 10 µF, ±5 %"),
    ],
    ids=[
        "escape",
        "8-bit",
        "bell",
        "delete",
        "tab",
        "return",
        "hyphen",
        "zero",
        "tag",
        "selector",
        "tone",
        "half",
        "ok",
    ],
)
def test_what_becomes_of_it(dirty, shown):
    """A control character becomes a visible mark, what is invisible goes, the rest stays."""
    assert clean(dirty) == shown


@given(ANY)
def test_a_line_that_is_typed_into_keeps_the_place_of_every_letter(text):
    """The cursor stands where it did: as many letters, and none that does anything."""
    shown = clean_letters(text)
    assert (len(shown), [one for one in shown if is_control(one) or one in DIRECTION]) == (
        len(text),
        [],
    )
