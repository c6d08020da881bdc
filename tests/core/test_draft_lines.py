"""One line of a technician: a sign, a target, a part."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixbook.core.draft_lines import (
    guess_reads,
    read_part_line,
    read_sign_line,
    read_target_line,
)
from fixbook.core.vocabulary import Sign, Vocabulary
from fixbook.errors import QueryError

WORDS = Vocabulary(
    signs={
        "no-bass": Sign("no-bass", "Is the bass gone?", {"seen": 0.1, "not-seen": 0.9}, 1.0,
                        lay=("sounds like a telephone",)),
        "hum-note": Sign("hum-note", "Which note?", {"none": 0.8, "mains": 0.1, "twice": 0.1}, 1.0),
    }
)  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("no-bass", ("no-bass", {"seen": "usually"})),
        ("No bass always", ("no-bass", {"seen": "always"})),
        ("no-bass: rarely", ("no-bass", {"seen": "rarely"})),
        ("Sounds like a telephone!", ("no-bass", {"seen": "usually"})),
        ("hum-note twice", ("hum-note", {"twice": "usually"})),
        ("hum-note=twice always", ("hum-note", {"twice": "always"})),
        ("it smells of fish", None),
        ("", None),
    ],
)
def test_a_sign_is_known_by_its_id_and_by_the_customers_words(typed, read):
    """Anything else is no sign, and is kept as the customer's words."""
    assert read_sign_line(typed, WORDS) == read


@pytest.mark.parametrize("typed", ["hum-note", "hum-note always", "hum-note thrice"])
def test_a_sign_with_its_own_answers_needs_one_of_them(typed):
    """The refusal names the answers."""
    with pytest.raises(QueryError, match="twice"):
        read_sign_line(typed, WORDS)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("no-bass: alwys", "did you mean always?"),
        ("no-bass often", "did you mean usually?"),
        ("no-bass: x", "one of always, usually, sometimes, rarely, never"),
        ("no-bass: not-sen", "did you mean not-seen?"),
        ("hum-note: twice alwys", "did you mean always?"),
        ("no-bas: always", "there is no sign 'no-bas'; did you mean no-bass?"),
        ("telephon: always", "there is no sign 'telephon'; did you mean no-bass?"),
    ],
)
def test_a_misspelt_word_is_answered_with_the_right_list(typed, said):
    """How often has its own words, and a sign is near by its id or by how it is said."""
    with pytest.raises(QueryError) as refused:
        read_sign_line(typed, WORDS)
    assert said in refused.value.why


@pytest.mark.parametrize(
    "typed",
    ["sounds like a telephone to me", "hum: there it goes", '"one-sided"', "no bass when cold"],
)
def test_a_customers_words_are_taken_for_no_sign(typed):
    """Even where they begin like one; quotes keep the form of a sign from being read."""
    assert read_sign_line(typed, WORDS) is None


@pytest.mark.parametrize(
    ("window", "why"),
    [
        ("10V .. 5V", "10V .. 5V falls; type the low end first, as in 5V .. 10V"),
        ("10 .. 5 mohm", "10 .. 5 mohm falls; type the low end first, as in 5 mohm .. 10 mohm"),
        ("5 V .. 10 A", "its ends are of two kinds, voltage and current"),
        ("3 bananas .. 4", "bananas is no unit known here; write lowest .. highest and the unit"),
        ("5 V", "5 V is no range; write 5 V .. or .. 5 V"),
    ],
)
def test_a_wrong_window_is_told_in_its_own_quantity(window, why):
    """A voltage that falls is not answered with a resistance."""
    with pytest.raises(QueryError) as refused:
        guess_reads(window, "rail")
    assert why in refused.value.why


@pytest.mark.parametrize(
    ("window", "about", "reads"),
    [
        ("0 .. 100 mohm", "contact", "ohms"),
        ("0 .. 1 ohm", "ESR of C4", "esr"),
        ("30 .. 33 V", "rail", "dc"),
        ("0 .. 50 mV", "ripple on the rail", "peak-to-peak"),
        ("1 .. 2 V", "signal at the socket", "ac-rms"),
        ("3 .. 4 kHz", "tone", "hertz"),
        ("2 .. 2.4 uF", "coupling", "farads"),
        ("-10 .. 10 %", "difference", "percent"),
    ],
)
def test_the_unit_tells_what_is_read(window, about, reads):
    """Nobody is asked for a word that the unit says already."""
    assert guess_reads(window, about) == reads


@pytest.mark.parametrize("window", ["100 .. 0 mohm", "3 .. 4", "good", "3 .. 4 bananas"])
def test_a_window_that_says_nothing_is_refused(window):
    """It falls, has no unit, or is no range."""
    with pytest.raises(QueryError):
        guess_reads(window, "contact")


def test_a_target_has_its_four_parts():
    """Semicolons part them; what is left out is left out."""
    assert read_target_line("rail; across C4, idle; 30 .. 33 V; from the card") == {
        "name": "rail", "at": "across C4, idle", "reads": "dc", "window": "30 .. 33 V",
        "note": "from the card",
    }  # fmt: skip


def test_a_part_has_what_value_and_place():
    """Where nothing is said of the place, it says so."""
    assert [read_part_line("relay; 24 V coil; RL1"), read_part_line("belt")] == [
        {"at": "RL1", "is": "relay", "value": "24 V coil"},
        {"at": "as found", "is": "belt"},
    ]


@given(st.text(max_size=80))
def test_any_line_is_read_or_refused_in_words(text):
    """Nothing that is typed breaks the form."""
    for read in (lambda line: read_sign_line(line, WORDS), read_target_line, read_part_line):
        try:
            read(text)
        except QueryError as error:
            assert error.why
