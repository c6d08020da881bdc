"""Quantities written for people."""

from __future__ import annotations

import pytest

from fixbook.core.quantity import KINDS, Kind, Quantity, echo, exact, show
from fixbook.core.reading import read

SHOWN = [
    (4700, "ohms", "4.7 kohm"),
    (0.0022, "ohms", "2.2 mohm"),
    (2.2e6, "ohms", "2.2 Mohm"),
    (999.96, "ohms", "1 kohm"),
    (0, "ohms", "0 ohm"),
    (-0.0, "volts", "0 V"),
    (1e17, "ohms", "100000 Tohm"),
    (1e30, "ohms", "1e+30 ohm"),
    (1e-7, "farads", "100 nF"),
    (6.8e-13, "farads", "0.68 pF"),
    (0.0022, "farads", "2200 uF"),
    (0.00099999, "farads", "1000 uF"),
    (0.47, "farads", "0.47 F"),
    (0.022, "farads", "22000 uF"),
    (0.5, "hertz", "0.5 Hz"),
    (-0.0123456, "volts", "-12.35 mV"),
    (1234567.0, "volts", "1235 kV"),
    (32768, "hertz", "32.77 kHz"),
    (105, "celsius", "105 degC"),
    (-40, "celsius", "-40 degC"),
    (12345.678, "celsius", "12346 degC"),
    (7200, "seconds", "2 h"),
    (0.0022, "seconds", "2.2 ms"),
    (90, "seconds", "90 s"),
    (5400, "seconds", "90 min"),
    (7.2e6, "hours", "2000 h"),
    (1800, "hours", "30 min"),
    (315576000, "years", "10 y"),
    (0.033, "ratio", "3.3 %"),
    (3.3, "percent", "3.3 %"),
    (5, "count", "5"),
    (12345, "count", "12345"),
    (0.0125, "number", "0.0125"),
    (4.7e-6, "number", "4.7e-6"),
    (0.018, "centimetres", "1.8 cm"),
    (1.5e-6, "square_mm", "1.5 mm2"),
    (0.012, "metres", "12 mm"),
    (2.5, "kelvin_per_watt", "2.5 K/W"),
    (float("inf"), "ohms", "no finite value"),
    (float("nan"), "ohms", "no finite value"),
]


@pytest.mark.parametrize(
    ("value", "name", "text"), SHOWN, ids=[f"{value}-{name}" for value, name, _ in SHOWN]
)
def test_shows_a_value_with_a_handy_unit(value: float, name: str, text: str) -> None:
    """A value is rounded to four digits and given the prefix that a technician would use."""
    assert show(value, KINDS[name]) == text


@pytest.mark.parametrize(("digits", "text"), [(1, "5 kohm"), (2, "4.7 kohm"), (6, "4.65432 kohm")])
def test_shows_so_many_digits(digits: int, text: str) -> None:
    """The caller says how many digits mean something."""
    assert show(4654.321, KINDS["ohms"], digits=digits) == text


def test_shows_the_same_beside_other_users_of_its_library() -> None:
    """Another library that changes the formatter's shared settings changes nothing here."""
    pytest.importorskip("rkm_codes")
    assert show(47e3, KINDS["ohms"]) == "47 kohm"


@pytest.mark.parametrize(
    ("text", "name", "words"),
    [
        ("4k7", "ohms", "4.7 kiloohm"),
        ("2.2M", "ohms", "2.2 megaohm"),
        ("2.2 mohm", "ohms", "2.2 milliohm"),
        ("100n", "farads", "100 nanofarad"),
        ("105C", "celsius", "105 degrees Celsius"),
        ("5 %", "ratio", "5 per cent"),
        ("2000", "hours", "2000 hours"),
        ("1 h", "hours", "1 hour"),
        ("16 V", "any", "16 volt"),
        ("5", "count", "5"),
    ],
)
def test_echoes_in_words(text: str, name: str, words: str) -> None:
    """The prefix is said as a word, so that milli and mega cannot be mixed up."""
    assert echo(read(text, KINDS[name])) == words


@pytest.mark.parametrize(
    ("value", "name", "text"),
    [
        (4700.0, "ohms", "4.7 kohm"),
        (32768.0, "hertz", "32768 Hz"),
        (0.1 + 0.2, "volts", "300.00000000000004 mV"),
        (1e-7, "farads", "100 nF"),
        (0.0022, "farads", "2200 uF"),
        (7.2e6, "hours", "2000 h"),
        (7.2e6 + 1e-3, "hours", "7200000.001 s"),
        (0.07, "ratio", "7 %"),
        (1e300, "number", "1e+300"),
    ],
)
def test_writes_exactly(value: float, name: str, text: str) -> None:
    """The shortest text that is read as the same float."""
    assert exact(value, KINDS[name]) == text


def test_refuses_to_write_what_is_no_number() -> None:
    """Infinity has no exact text."""
    with pytest.raises(ValueError, match="exactly"):
        exact(float("inf"), KINDS["ohms"])


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_an_echo_is_finite_words(kind: Kind) -> None:
    """Every kind can be said, and what is said is read back."""
    value = 1.0 if kind.whole or kind.name == "ratio" else 25.0
    assert read(echo(Quantity(value, kind)), kind).value == value
