"""A vocabulary file to words, and what is said of a wrong one."""

from __future__ import annotations

import pytest

from fixbook.core.problems import Problem
from fixbook.core.vocabulary import Hazard, Sign, Unit, Vocabulary
from fixbook.core.vocabulary_schema import read_vocabulary
from fixbook.store.document import compose

WHOLE = """\
units:
  test-supply: {name: test supply, aliases: [brick], contains: [test-bridge]}
  test-bridge: {}
signs:
  low-drone:
    ask: Does it drone?
    background: {seen: 0.1}
    minutes: 0.5
    hazards: [mains]
    customer: true
    lay: [low note all the time]
    says-the-same-as: [deep-tone]
  deep-tone:
    ask: Which tone?
    answers: [mains, twice, none]
    background: {mains: 0.1, twice: 0.2, none: 0.7}
hazards:
  mains:
    short: Mains can kill.
    full: Mains can kill. Local codes come first.
  hot-work: {short: Irons burn.}
synonyms:
  - [pot, potentiometer, variable resistor]
one-way:
  dead: [no power, no lights]
elsewhere: [dog, garden pond]
"""


def _read(yaml: str) -> tuple[Vocabulary, list[Problem]]:
    front, faults = compose(yaml, "words.yaml")
    assert front is not None and not faults
    return read_vocabulary(front, file="words.yaml")


def _sign(rows: str) -> tuple[Vocabulary, list[Problem]]:
    return _read(f"signs:\n  low-drone:\n    ask: Does it drone?\n{rows}")


def test_every_field_of_a_vocabulary_file_is_read() -> None:
    """A whole file is typed field by field, what is left out taking its plain default."""
    two = {"seen": 0.1, "not-seen": 0.9}
    three = {"mains": 0.1, "twice": 0.2, "none": 0.7}
    assert _read(WHOLE) == (
        Vocabulary(
            units={
                "test-supply": Unit("test-supply", "test supply", ("brick",), ("test-bridge",)),
                "test-bridge": Unit("test-bridge", "test bridge"),
            },
            signs={
                "low-drone": Sign(
                    "low-drone", "Does it drone?", two, 0.5, ("mains",), True,
                    ("low note all the time",), ("deep-tone",),
                ),
                "deep-tone": Sign("deep-tone", "Which tone?", three, 1.0),
            },
            hazards={
                "mains": Hazard(
                    "mains", "Mains can kill.", "Mains can kill. Local codes come first."
                ),
                "hot-work": Hazard("hot-work", "Irons burn.", "Irons burn."),
            },
            synonyms=(("pot", "potentiometer", "variable resistor"),),
            one_way={"dead": ("no power", "no lights")},
            elsewhere=("dog", "garden pond"),
        ),
        [],
    )  # fmt: skip


def test_an_empty_file_is_an_empty_vocabulary() -> None:
    """A file that says nothing has no fault."""
    assert _read("") == (Vocabulary(), [])


def test_an_unknown_heading_is_reported() -> None:
    """A misspelt top-level name is named with the right one."""
    _, problems = _read("synonims: []\n")
    assert [str(one) for one in problems] == [
        "words.yaml:1:1: 'synonims' is no field that is known; did you mean synonyms?"
    ]


@pytest.mark.parametrize(
    "rates",
    [
        "{seen: 0.1, not-seen: 0.5}",
        "{not-seen: 0.9}",
        "{seen: 1.5}",
        "{seen: often}",
        "{}",
        "{seen: 0.1, unsure: 0.9}",
    ],
    ids=["not one whole", "no seen", "above one", "a word", "empty", "a third answer"],
)
def test_rates_that_do_not_add_up_are_reported(rates: str) -> None:
    """A sign's rates are held against each other, never put right in silence."""
    _, problems = _sign(f"    background: {rates}\n")
    assert problems and {one.line for one in problems} == {4}


def test_rates_of_own_answers_must_name_each() -> None:
    """Every answer that is listed needs a rate, and the message lists them."""
    vocabulary, problems = _sign("    answers: [hot, cold]\n    background: {hot: 1}\n")
    assert vocabulary.signs == {}
    assert [one.do for one in problems] == ["give one to each of hot, cold"]


def test_a_sign_whose_two_rates_are_both_given_is_read() -> None:
    """Both rates may be written where they add up to one."""
    vocabulary, problems = _sign("    background: {seen: 0.25, not-seen: 0.75}\n")
    assert (dict(vocabulary.signs["low-drone"].background), problems) == (
        {"seen": 0.25, "not-seen": 0.75},
        [],
    )


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ("", "signs.low-drone.background is missing"),
        ("    background:\n", "signs.low-drone.background is missing"),
        ("    background: [1]\n", "signs.low-drone.background is a list"),
        (
            "    background: {seen: 0.1}\n    customer: maybe\n",
            "signs.low-drone.customer: 'maybe' is no answer, true or false that is known",
        ),
        ("    background: {seen: 0.1}\n    minutes: 0\n", "signs.low-drone.minutes is '0'"),
        ("    background: {seen: 0.1}\n    minutes: -1\n", "signs.low-drone.minutes is '-1'"),
        (
            "    background: {seen: 0.1}\n    lays: [hum]\n",
            "'signs.low-drone.lays' is no field that is known",
        ),
    ],
    ids=["no rates", "empty rates", "a list of rates", "customer", "no time", "less", "unknown"],
)
def test_a_wrong_field_of_a_sign_is_named_once(rows: str, found: str) -> None:
    """Each fault of a sign is one message that names the field."""
    _, problems = _sign(rows)
    assert [one.problem for one in problems] == [found]


@pytest.mark.parametrize(
    "yaml",
    [
        "units:\n  Amp Two: {name: x}\n",
        "units:\n  con: {name: x}\n",
        "signs:\n  a: {ask: x}\n",
        "hazards:\n  ../etc: {short: x}\n",
    ],
    ids=["blanks", "device", "too short", "path"],
)
def test_a_name_that_is_no_id_is_refused(yaml: str) -> None:
    """Units, signs and hazards are named as write-ups are."""
    vocabulary, problems = _read(yaml)
    assert (vocabulary, [(one.rule, one.line) for one in problems]) == (Vocabulary(), [("id", 2)])


@pytest.mark.parametrize("field", ["units", "signs", "hazards"])
def test_a_definition_that_is_no_mapping_is_named(field: str) -> None:
    """A text where fields are expected is reported with its full name."""
    _, problems = _read(f"{field}:\n  low-drone: hum\n")
    assert [one.problem for one in problems] == [f"{field}.low-drone is 'hum'"]


def test_a_hazard_without_its_short_form_is_kept_and_reported() -> None:
    """A caution never vanishes over a missing line."""
    vocabulary, problems = _read("hazards:\n  laser: {full: Never look in.}\n")
    assert vocabulary.hazards["laser"].full == "Never look in."
    assert [one.problem for one in problems] == ["hazards.laser.short is missing"]


@pytest.mark.parametrize(
    "groups",
    ["pot", "[pot]", "[[pot]]", "[[]]", "[[pot, '']]", "[[pot, [trimmer, preset]]]", "{pot: x}"],
    ids=["text", "texts", "one word", "none", "empty word", "list inside", "mapping"],
)
def test_a_group_of_synonyms_has_two_words_or_more(groups: str) -> None:
    """What is no group of words is reported and left out."""
    vocabulary, problems = _read(f"synonyms: {groups}\n")
    assert (vocabulary.synonyms, [one.rule for one in problems]) == ((), ["synonyms"])


def test_one_wrong_definition_leaves_the_others() -> None:
    """A faulty sign takes no other sign with it."""
    vocabulary, problems = _read(WHOLE.replace("    ask: Which tone?\n", ""))
    assert (list(vocabulary.signs), len(problems)) == (["low-drone"], 1)
