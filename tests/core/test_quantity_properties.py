"""Promises about every text and every number."""

from __future__ import annotations

import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.core.quantity import KINDS, NUMBER, OHMS, Kind, Quantity, Range, echo, exact, show
from fixbook.core.reading import read, read_range, read_tolerance
from fixbook.errors import QuantityError

PIECES = [
    *("4", "47", "1000", "0", ".", ",", "..", "...", "-", "+", "+-", "\u00b1", "/", "e", "E", " "),
    *("k", "K", "M", "m", "u", "\u00b5", "n", "p", "G", "R", "L", "\u03a9", "\u2126", "ohm", "Mohm"),
    *("V", "VDC", "pp", "F", "mF", "MFD", "H", "A", "W", "Hz", "C", "\u00b0C", "\u2103", "%", "h"),
    *("min", "mm2", "K/W", "Ah", "meg", "milli", "to", " to ", "104", "1,000", "\u00bd", "\u00b2"),
    *("nan", "inf", "OL", "<", "\u2026", "\u200b", "x", ";", "deg", "dB", "N", "ppm", "9999999"),
]  # fmt: skip
typed = st.lists(st.sampled_from(PIECES), min_size=1, max_size=7).map("".join)
texts = st.one_of(st.text(max_size=45), typed)
kinds = st.sampled_from(list(KINDS.values()))
floats = st.floats(allow_nan=False, allow_infinity=False, allow_subnormal=False)
OK_NUMBERS = settings(max_examples=150, deadline=None)


def _fit(value: float, kind: Kind) -> float:
    """Bring a float into the range of a kind."""
    if kind.whole:
        return float(math.floor(abs(value) % kind.high))
    value = abs(value) if kind.low == 0 else value
    return max(kind.low, value if value <= kind.high else value % kind.high)


@OK_NUMBERS
@given(text=texts, kind=kinds)
def test_any_text_is_read_or_refused_in_words(text: str, kind: Kind) -> None:
    """No text gives anything but a value inside its kind, or a refusal in words."""
    try:
        quantity = read(text, kind, name="field")
    except QuantityError as error:
        assert error.why and error.input == "field"
    else:
        assert quantity.kind.low <= quantity.value <= quantity.kind.high


@OK_NUMBERS
@given(text=texts, kind=kinds, open_ended=st.booleans())
def test_any_text_is_a_rising_range_or_refused(text: str, kind: Kind, open_ended: bool) -> None:
    """No text gives anything but a rising range, or a refusal in words."""
    try:
        span = read_range(text, kind, open_ended=open_ended)
    except QuantityError as error:
        assert error.why
    else:
        assert span.lowest <= span.highest


@OK_NUMBERS
@given(left=typed, right=typed, kind=kinds)
def test_any_two_texts_are_a_rising_range_or_refused(left: str, right: str, kind: Kind) -> None:
    """The same for texts that are split in the middle."""
    try:
        span = read_range(f"{left} .. {right}", kind, open_ended=True)
    except QuantityError as error:
        assert all(
            isinstance(read_range(choice, kind, open_ended=True), Range) for choice in error.choices
        )
    else:
        assert span.lowest <= span.highest


@OK_NUMBERS
@given(text=texts)
def test_any_text_is_a_tolerance_or_refused(text: str) -> None:
    """No text gives anything but a tolerance, or a refusal whose choices are tolerances."""
    try:
        tolerance = read_tolerance(text)
    except QuantityError as error:
        assert all(read_tolerance(choice).plus >= 0 for choice in error.choices)
    else:
        assert read_tolerance(str(tolerance)) == tolerance


@OK_NUMBERS
@given(text=typed, kind=kinds)
def test_every_choice_is_read(text: str, kind: Kind) -> None:
    """Whatever a refusal offers is read by the same field."""
    try:
        read(text, kind)
    except QuantityError as error:
        assert all(isinstance(read(choice, kind), Quantity) for choice in error.choices)


@OK_NUMBERS
@given(text=typed, kind=kinds)
def test_what_is_read_is_shown_so_that_it_is_read_again(text: str, kind: Kind) -> None:
    """A value that was read, written exactly, gives the same value."""
    try:
        quantity = read(text, kind)
    except QuantityError:
        return
    assert read(exact(quantity.value, quantity.kind), quantity.kind).value == quantity.value


@OK_NUMBERS
@given(value=floats, kind=kinds)
def test_an_exact_text_is_read_as_the_same_float(value: float, kind: Kind) -> None:
    """Every float of every kind makes the round trip to the last bit."""
    fitting = _fit(value, kind)
    assert read(exact(fitting, kind), kind).value == fitting


@OK_NUMBERS
@given(value=st.floats(min_value=1e-12, max_value=1e12), kind=kinds)
def test_an_echo_is_read_as_the_same_float(value: float, kind: Kind) -> None:
    """What is said in words is exactly the value, for every size a bench meets."""
    fitting = _fit(value, kind)
    assert read(echo(Quantity(fitting, kind)), kind).value == fitting


@OK_NUMBERS
@given(value=st.floats(min_value=1e-9, max_value=1e12), kind=kinds, digits=st.integers(1, 15))
def test_a_shown_value_is_within_its_rounding(value: float, kind: Kind, digits: int) -> None:
    """A shown value, typed back, differs by no more than the digits that were left out."""
    fitting = _fit(value, kind)
    shown = read(show(fitting, kind, digits=digits), kind).value
    assert shown == pytest.approx(fitting, rel=0.5000001 * 10.0 ** (1 - digits), abs=1e-30)


@OK_NUMBERS
@given(digits=st.integers(0, 10**12), power=st.integers(-12, 12))
def test_a_number_is_rounded_once(digits: int, power: int) -> None:
    """A plain decimal gives the float that the language itself gives."""
    assert read(f"{digits}e{power}", NUMBER).value == float(f"{digits}e{power}")


@pytest.mark.parametrize(
    "text",
    ["9" * 40, "1e999999999", "." * 40, "-" * 40, "4k" * 20, " to " * 10, "\u00b1" * 40, "\ufdfa" * 40],
)  # fmt: skip
def test_a_hostile_text_is_refused_quickly(text: str) -> None:
    """A text made to be slow takes no longer than a key press."""
    began = time.perf_counter()
    for kind in KINDS.values():
        for reader in (read, read_range):
            try:
                reader(text, kind)
            except QuantityError:
                continue
    assert time.perf_counter() - began < 2.0


@OK_NUMBERS
@given(whole=st.integers(0, 999), fraction=st.integers(0, 999))
def test_a_code_and_a_decimal_are_the_same(whole: int, fraction: int) -> None:
    """4k7 and 4.7 kohm are one value, whatever the digits."""
    assert read(f"{whole}k{fraction}", OHMS).value == read(f"{whole}.{fraction} kohm", OHMS).value
