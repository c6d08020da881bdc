"""Units and what they contain, how likely an answer is, and joining vocabularies."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.core.entry import HOW_OFTEN, Entry
from fixbook.core.vocabulary import (
    Hazard,
    Sign,
    Unit,
    Vocabulary,
    likelihoods,
    listed_signs,
    merge,
)

QUICK = settings(max_examples=60, deadline=None)

HUM = Sign("hum", "Does it hum?", {"seen": 0.1, "not-seen": 0.9}, 1.0)
TONE = Sign("tone", "Which tone?", {"mains": 0.1, "twice": 0.2, "other": 0.1, "none": 0.6}, 2.0)


def _entry(**signs: dict[str, str]) -> Entry:
    return Entry("dried-reservoir", "fault", "Hum", "linear-supply", signs=signs)


def _units(**contains: tuple[str, ...]) -> Vocabulary:
    return Vocabulary({id: Unit(id, id, contains=inner) for id, inner in contains.items()})


@pytest.mark.parametrize(
    ("unit", "found"),
    [
        ("desk", ("desk", "amp", "meter", "supply", "lamp")),
        ("supply", ("supply",)),
        ("unknown", ("unknown",)),
    ],
    ids=["any depth", "nothing inside", "a unit nobody knows"],
)
def test_a_unit_takes_in_what_it_contains(unit: str, found: tuple[str, ...]) -> None:
    """The unit comes first, then what it contains at any depth, each once."""
    words = _units(desk=("amp", "meter"), amp=("supply",), meter=("lamp", "supply"), supply=())
    assert words.unit_and_contents(unit) == found


def test_units_that_contain_each_other_come_to_an_end() -> None:
    """A circle in the vocabulary is walked once."""
    assert _units(a=("b",), b=("c",), c=("a", "c")).unit_and_contents("b") == ("b", "c", "a")


def test_a_sign_left_out_keeps_its_background_rates() -> None:
    """A fault that says nothing of a sign shows it as often as any repair."""
    assert likelihoods(_entry(), TONE) == TONE.background


@pytest.mark.parametrize(("word", "rate"), HOW_OFTEN.items(), ids=list(HOW_OFTEN))
def test_a_word_is_its_rate(word: str, rate: float) -> None:
    """For a sign that is seen or not, the word's rate and the rest."""
    found = likelihoods(_entry(hum={"seen": word}), HUM)
    assert found == pytest.approx({"seen": rate, "not-seen": 1 - rate})


def test_unnamed_answers_share_what_is_left_by_their_background() -> None:
    """0.2 is left beside 'usually'; it is shared 1 to 1 to 6, worked out by hand."""
    found = likelihoods(_entry(tone={"twice": "usually"}), TONE)
    assert found == pytest.approx({"mains": 0.025, "twice": 0.8, "other": 0.025, "none": 0.15})


def test_words_that_say_too_much_are_scaled_to_one() -> None:
    """Two answers that are each 'usually' share the whole evenly."""
    found = likelihoods(_entry(tone={"twice": "usually", "mains": "usually"}), TONE)
    assert found == pytest.approx({"mains": 0.5, "twice": 0.5, "other": 0.0, "none": 0.0})


@QUICK
@given(
    background=st.lists(st.floats(0.01, 1.0), min_size=2, max_size=6),
    words=st.lists(st.sampled_from(list(HOW_OFTEN)), min_size=1, max_size=6),
)
def test_likelihoods_add_up_to_one(background: list[float], words: list[str]) -> None:
    """Whatever the words, the answers' chances are a distribution over all answers."""
    rates = {f"answer-{at}": rate / sum(background) for at, rate in enumerate(background)}
    said = dict(zip(rates, words, strict=False))
    found = likelihoods(_entry(tone=said), Sign("tone", "Which?", rates, 1.0))
    assert list(found) == list(rates)
    assert sum(found.values()) == pytest.approx(1.0)
    assert all(0.0 <= chance <= 1.0 for chance in found.values())


@pytest.mark.parametrize(
    ("answers", "listed"),
    [
        ({"seen": "sometimes"}, True),
        ({"seen": "rarely"}, False),
        ({"not-seen": "always"}, False),
        ({"none": "usually", "twice": "rarely"}, False),
        ({"none": "rarely", "twice": "usually"}, True),
    ],
    ids=["sometimes", "rarely", "its absence", "none of them", "one of them"],
)
def test_a_sign_is_listed_from_sometimes_on(answers: dict[str, str], listed: bool) -> None:
    """An entry is found under the signs it shows at least sometimes, not under their absence."""
    assert listed_signs(_entry(hum=answers)) == (("hum",) if listed else ())


def test_the_later_definition_holds() -> None:
    """A shop's own words replace those of the starter book, one by one."""
    starter = Vocabulary(
        {"amp": Unit("amp", "amplifier")}, {}, {"mains": Hazard("mains", "a", "b")}
    )
    shop = Vocabulary({"amp": Unit("amp", "our amplifier")})
    merged = merge([starter, shop])
    assert (merged.units["amp"].name, list(merged.hazards)) == ("our amplifier", ["mains"])


def test_synonyms_are_gathered_once() -> None:
    """Groups of all files are kept, a repeated one once; one-way words are joined."""
    first = Vocabulary(
        synonyms=(("pot", "potentiometer"),), one_way={"dead": ("no power",)}, elsewhere=("dog",)
    )
    second = Vocabulary(
        synonyms=(("cap", "capacitor"), ("pot", "potentiometer")),
        one_way={"dead": ("no lights", "no power")},
        elsewhere=("cat", "dog"),
    )
    merged = merge([first, second])
    assert merged.synonyms == (("pot", "potentiometer"), ("cap", "capacitor"))
    assert merged.one_way == {"dead": ("no power", "no lights")}
    assert merged.elsewhere == ("dog", "cat")


def test_joining_nothing_gives_an_empty_vocabulary() -> None:
    """A book without words is a book all the same."""
    assert merge([]) == Vocabulary()


NAMED = Vocabulary(
    {
        "kitchen": Unit("kitchen", "kitchen machine", ("mixer", "Big Mixer")),
        "mixer": Unit("mixer", "mixing desk", ("desk",)),
        "desk-lamp": Unit("desk-lamp", "desk"),
    }
)


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("mixer", "mixer"), ("Mixing  Desk", "mixer"), ("desk", "desk-lamp"),
        ("desk lamp", "desk-lamp"), ("big mixer", "kitchen"), ("bench", ""), ("", ""),
    ],
)  # fmt: skip
def test_a_unit_is_known_by_its_names(typed: str, unit: str) -> None:
    """By its id, then by its name, then by another name, whatever the case."""
    assert NAMED.unit_named(typed) == unit
