"""From a complaint in words to signs and units: proposed, never assumed."""

from __future__ import annotations

import re

import pytest
from fixbook_plugins.narrowing.complaint import Wordings, found_units
from hypothesis import given
from hypothesis import strategies as st

from fixbook.api import Unit, Vocabulary

from .conftest import sign
from .simulation import starter_book

SIGNS = (
    sign("hum", lay=("drones", "low note all the time")),
    sign("one-side-missing", lay=("left channel dead", "only one speaker")),
    sign("will-not-start", lay=("will not turn on", "nothing happens")),
    sign("lamp-dim", lay=("light is weak",)),
)
WORDS = Vocabulary(
    {
        "power-amplifier": Unit("power-amplifier", "power amplifier", ("amp", "amplifier")),
        "valve-amplifier": Unit("valve-amplifier", "valve amplifier", ("tube amp",)),
        "turntable": Unit("turntable", "turntable", ("record player",)),
    },
    {one.id: one for one in SIGNS},
    synonyms=(("lamp", "light", "dial bulb"),),
    one_way={"buzz": ("drones",)},
)


def terms(text: str) -> list[tuple[str, ...]]:
    """Cut a text into words, the emptiest left out."""
    words = re.findall(r"[a-z]+", text.lower())
    return [(word,) for word in words if word not in ("the", "is", "a", "it")]


def proposed(text: str) -> list[str]:
    """Give the signs that a complaint may mean."""
    return [one.sign for one in Wordings(SIGNS, WORDS, terms).propose(text)]


@pytest.mark.parametrize(
    ("complaint", "signs"),
    [
        ("it drones", ["hum"]),
        ("there is a low note all the time, and the left channel is dead",
         ["hum", "one-side-missing"]),
        ("one side is missing", ["one-side-missing"]),
        ("buzz", ["hum"]),
        ("the dial bulb is weak", ["lamp-dim"]),
        ("will turn on", []),
        ("will not turn on", ["will-not-start"]),
        ("it fell in the pond", []),
        ("", []),
    ],
    ids=["one word", "two signs", "its name", "one way", "a phrase for a word", "no not", "not",
         "nothing", "empty"],
)  # fmt: skip
def test_signs_are_found_in_a_complaint(complaint, signs):
    """By what customers say, by the sign's own words, and by what means the same."""
    assert sorted(proposed(complaint)) == signs


def test_the_wording_that_was_found_is_told():
    """The user sees why a sign is proposed."""
    found = Wordings(SIGNS, WORDS, terms).propose("only one speaker plays")
    assert [(one.sign, one.wording) for one in found] == [("one-side-missing", "only one speaker")]


@pytest.mark.parametrize(
    ("complaint", "units"),
    [
        ("my amp hums", ["power-amplifier"]),
        ("the tube amp hums", ["valve-amplifier"]),
        ("the amp and the record player", ["power-amplifier", "turntable"]),
        ("it hums", []),
    ],
    ids=["other name", "the longer name", "two, the first first", "none"],
)
def test_units_are_found_in_a_complaint(complaint, units):
    """By name or other name, whole words only."""
    assert list(found_units(complaint, WORDS, terms)) == units


def test_every_lay_wording_of_the_starter_book_proposes_its_sign():
    """What the book says customers say is understood when they say it."""
    _, words = starter_book()
    from fixbook.app.bench import LibraryBench

    cut = LibraryBench.terms
    bench = LibraryBench.__new__(LibraryBench)
    bench._analyser = None
    wordings = Wordings(words.signs.values(), words, lambda text: cut(bench, text))
    missed = [
        f"{one.id}: {text}"
        for one in list(words.signs.values())[::8]
        for text in one.lay
        if one.id not in [made.sign for made in wordings.propose(text)]
    ]
    assert len(missed) <= 2, missed


@given(st.text(max_size=300))
def test_any_text_is_a_complaint(text):
    """Nothing that is typed is an error."""
    assert len(proposed(text)) <= 4


def test_a_complaint_of_a_megabyte_takes_no_time():
    """Only its beginning is read."""
    assert proposed("drones " * 200_000) == ["hum"]
