"""Reading a mapping field by field, with every fault collected."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.core.fields import MOST_SUGGESTIONS, FieldReader
from fixbook.core.problems import Problem
from fixbook.core.raw import Fields, Items, Raw, Text
from fixbook.store.document import compose


def _reader(yaml: str) -> tuple[FieldReader, list[Problem]]:
    front, faults = compose(yaml, "hum.md")
    assert front is not None and not faults
    problems: list[Problem] = []
    return FieldReader("hum.md", front, problems), problems


def test_a_text_is_given_without_the_blanks_around_it() -> None:
    """A field's text is what was typed, trimmed."""
    read, problems = _reader("title: '  Hum on one side '\n")
    assert (read.text("title"), problems) == ("Hum on one side", [])


@pytest.mark.parametrize(
    "typed", ["", "''", '"   "', "|\n  \n"], ids=["none", "quotes", "blank", "block"]
)
def test_a_required_text_that_is_empty_is_missing(typed: str) -> None:
    """Nothing, empty quotes and blanks are all reported, at the field's name."""
    read, problems = _reader(f"unit: amp\ntitle: {typed}\n")
    assert read.text("title", required=True) == ""
    assert [(one.line, one.column, one.rule) for one in problems] == [(2, 1, "missing-field")]


def test_a_required_text_that_is_left_out_is_reported_at_the_mapping() -> None:
    """A field that is nowhere is reported where its mapping begins."""
    read, problems = _reader("unit: amp\n")
    read.text("title", required=True)
    assert [str(one) for one in problems] == [
        "hum.md:1:1: title is missing; add title: with its value"
    ]


@pytest.mark.parametrize(
    ("ask", "yaml", "found"),
    [
        (lambda read: read.text("x"), "x: [a]", "x is a list; expected a text"),
        (lambda read: read.text("x"), "x: {a: b}", "x is a mapping; expected a text"),
        (lambda read: read.texts("x"), "x: a", "x is 'a'; expected a list, as in [a]"),
        (lambda read: read.texts("x"), "x: {a: b}", "x is a mapping; expected a list, as in […]"),
        (
            lambda read: read.texts("x"),
            "x: [[a]]",
            "x holds a list; each item of this list is a text",
        ),
        (
            lambda read: read.texts("x"),
            "x: [a, '']",
            "x holds ''; each item of this list is a text",
        ),
        (lambda read: read.mapping("x"), "x: a", "x is 'a'; expected a mapping of names to values"),
        (
            lambda read: list(read.rows("x")),
            "x: a",
            "x is 'a'; expected a list of mappings, each begun with a hyphen",
        ),
        (
            lambda read: list(read.rows("x")),
            "x: [a]",
            "x[1] is 'a'; write a mapping of fields, as in '- name: …'",
        ),
    ],
    ids=[
        "list for text",
        "mapping for text",
        "text for list",
        "mapping for list",
        "list in list",
        "empty item",
        "text for mapping",
        "text for rows",
        "text for row",
    ],
)
def test_a_wrong_shape_is_named(
    ask: Callable[[FieldReader], object], yaml: str, found: str
) -> None:
    """The message says what stands there and what was expected."""
    read, problems = _reader(yaml)
    ask(read)
    assert [f"{one.problem}; {one.do}" for one in problems] == [found]


@pytest.mark.parametrize(
    ("typed", "number"),
    [("0", 0), ("40", 40), ("007", 7), ("100000", 100_000), ("0" * 5000, 0)],
    ids=["zero", "plain", "leading noughts", "the most", "5000 noughts"],
)
def test_a_whole_number_is_read(typed: str, number: int) -> None:
    """Digits are a number, however many noughts stand before them."""
    read, problems = _reader(f"minutes: '{typed}'")
    assert (read.whole("minutes"), problems) == (number, [])


@pytest.mark.parametrize(
    "typed",
    ["-1", "1.5", "1e3", "forty", "100001", "0" * 20 + "999999999", "9" * 5000, "٤", "²", "4_0"],
    ids=[
        "minus",
        "point",
        "power",
        "word",
        "too many",
        "hidden",
        "huge",
        "arabic",
        "raised",
        "bar",
    ],
)
def test_what_is_no_whole_number_is_refused(typed: str) -> None:
    """A text that is no whole number inside the limits gives none, and says so."""
    read, problems = _reader(f"minutes: '{typed}'")
    assert read.whole("minutes") is None
    assert [one.do for one in problems] == ["expected a whole number from 0 to 100000"]


@pytest.mark.parametrize(
    ("typed", "number"), [("0.5", 0.5), ("12", 12.0), (".5", 0.5), ("5.", 5.0)]
)
def test_a_decimal_number_is_read(typed: str, number: float) -> None:
    """A plain decimal number is read as one."""
    read, problems = _reader(f"rate: {typed}")
    assert (read.number("rate"), problems) == (number, [])


@pytest.mark.parametrize(
    "typed", ["nan", "inf", "1e3", "-1", ".", "1.2.3", "1,5", "٣", "²", "9" * 5000, "1 %"]
)
def test_what_is_no_decimal_number_is_refused(typed: str) -> None:
    """Words, powers, signs and digits of other scripts are no numbers here."""
    read, problems = _reader(f"rate: '{typed}'")
    assert read.number("rate") is None
    assert [one.do for one in problems] == ["expected a number from 0 to 1e+06"]


def test_an_unknown_word_is_reported_with_close_matches() -> None:
    """A misspelt word is named at its own place, with the one that was meant."""
    read, problems = _reader("skill: trough-hole")
    assert read.choice("skill", ["no-soldering", "through-hole"], "skill") == ""
    assert [str(one) for one in problems] == [
        "hum.md:1:8: skill: 'trough-hole' is no skill that is known; did you mean through-hole?"
    ]


def test_an_unknown_word_unlike_any_is_reported_with_the_choices() -> None:
    """Where nothing is near, a short list of choices is given whole."""
    read, problems = _reader("skill: wizard")
    read.choice("skill", ["no-soldering", "through-hole"], "skill")
    assert problems[0].do == "one of no-soldering, through-hole"


def test_unknown_names_of_a_list_are_left_out_one_by_one() -> None:
    """One wrong item of a list never takes the others with it."""
    read, problems = _reader("hazards: [mains, manis, laser]")
    assert read.names("hazards", ["mains", "laser"], "hazard") == ("mains", "laser")
    assert [(one.column, one.rule) for one in problems] == [(18, "unknown-hazard")]


def test_a_row_is_named_by_its_number() -> None:
    """A fault inside the second mapping of a list says so."""
    read, problems = _reader("parts:\n  - at: C1\n  - is: relay\n")
    for row in read.rows("parts"):
        row.text("at", required=True)
    assert [(one.line, one.problem) for one in problems] == [(3, "parts[2].at is missing")]


def test_a_field_nobody_asked_for_is_unknown() -> None:
    """A misspelt field is reported at its name, with the field that was meant."""
    read, problems = _reader("title: Hum\ntitel: Hum\n")
    read.text("title")
    read.unread()
    assert [str(one) for one in problems] == [
        "hum.md:2:1: 'titel' is no field that is known; did you mean title?"
    ]


def test_a_flood_of_unknown_words_stops_getting_guesses() -> None:
    """A hostile file of unknown fields gets each of them reported, but not a guess for each."""
    many = 10 * MOST_SUGGESTIONS
    read, problems = _reader("".join(f"titel{number}:\n" for number in range(many)))
    read.text("title")
    read.unread()
    guesses = [one for one in problems if one.do.startswith("did you mean")]
    assert len(problems) == many
    assert len(guesses) == MOST_SUGGESTIONS + 1


_texts = st.builds(Text, st.text(max_size=12), st.just(1), st.just(1), st.booleans())


def _deeper(inner: st.SearchStrategy[Raw]) -> st.SearchStrategy[Raw]:
    lists = st.builds(Items, st.lists(inner, max_size=3).map(tuple), st.just(1), st.just(1))
    names = st.dictionaries(st.sampled_from(["x", "y", ""]), inner, max_size=3)
    return lists | names.map(_fields)


def _fields(fields: dict[str, Raw]) -> Fields:
    return Fields(fields, {name: Text(name, 1, 1) for name in fields}, 1, 1)


@settings(max_examples=80, deadline=None)
@given(value=st.recursive(_texts, _deeper, max_leaves=6))
def test_any_value_is_read_or_reported(value: Raw) -> None:
    """Whatever stands in a field, every way to read it gives a value of its own type."""
    problems: list[Problem] = []
    read = FieldReader("hum.md", _fields({"x": value}), problems)
    got = (
        read.text("x", required=True),
        read.texts("x"),
        read.names("x", ["a"], "word"),
        read.choice("x", ["a"], "word"),
        read.whole("x"),
        read.number("x"),
        [type(row) for row in read.rows("x")],
        read.mapping("x"),
    )
    types = (str, tuple, tuple, str, int | None, float | None, list, Fields | None)
    assert [isinstance(one, type_) for one, type_ in zip(got, types, strict=True)] == [True] * 8
