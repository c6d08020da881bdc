"""Ranges and tolerances, as a technician types them."""

from __future__ import annotations

import pytest

from fixbook.core.quantity import (
    ANY,
    CELSIUS,
    FARADS,
    HOURS,
    OHMS,
    RATIO,
    SECONDS,
    VOLTS,
    Kind,
    Tolerance,
)
from fixbook.core.reading import read_range, read_tolerance
from fixbook.errors import QuantityError

INFINITE = float("inf")


@pytest.mark.parametrize(
    ("text", "kind", "low", "high"),
    [
        ("450..600", OHMS, 450, 600),
        ("450-600", OHMS, 450, 600),
        ("450 to 600", OHMS, 450, 600),
        ("450...600", OHMS, 450, 600),
        ("450\u2026600", OHMS, 450, 600),
        ("450 \u2013 600", OHMS, 450, 600),
        ("450..1k", OHMS, 450, 1000),
        ("4.7..10k", OHMS, 4700, 10000),
        ("10..10k", OHMS, 10, 10000),
        ("4k7-10k", OHMS, 4700, 10000),
        ("R47..4k7", OHMS, 0.47, 4700),
        ("1e-6-2e-6", OHMS, 1e-6, 2e-6),
        ("0 .. 100 mohm", OHMS, 0, 0.1),
        ("1k..1k", OHMS, 1000, 1000),
        ("1.2 .. 1.6 V", VOLTS, 1.2, 1.6),
        ("-15..-12 V", VOLTS, -15, -12),
        ("-10..5 mV", VOLTS, -0.01, 0.005),
        ("100..220nF", FARADS, 1e-7, 2.2e-7),
        ("-40..85C", CELSIUS, -40, 85),
        ("5..20 %", RATIO, 0.05, 0.2),
        ("1..2 min", SECONDS, 60, 120),
        ("1000..2000", HOURS, 3.6e6, 7.2e6),
        ("5..6 V", ANY, 5, 6),
    ],
)
def test_reads_a_range(text: str, kind: Kind, low: float, high: float) -> None:
    """The low end takes over prefix and unit where the range then rises, else the unit alone."""
    span = read_range(text, kind)
    assert (span.lowest, span.highest) == (low, high)


@pytest.mark.parametrize(
    ("text", "kind", "low", "high"),
    [
        ("1 Mohm ..", OHMS, 1e6, INFINITE),
        (".. 50 mV", VOLTS, -INFINITE, 0.05),
        ("-40 C ..", CELSIUS, -40, INFINITE),
        ("1 .. 2 V", VOLTS, 1, 2),
    ],
)
def test_an_open_end_is_no_limit(text: str, kind: Kind, low: float, high: float) -> None:
    """An end that is left out sets no limit on its side."""
    span = read_range(text, kind, open_ended=True)
    assert (span.lowest, span.highest) == (low, high)


def test_a_missing_end_is_none() -> None:
    """The end that was not typed is absent, not a number."""
    assert read_range("1 Mohm ..", OHMS, open_ended=True).high is None


REFUSED = [
    ("600..450", OHMS, False, ("450 .. 600",)),
    ("10k..22", OHMS, False, ("22 .. 10k", "10k .. 22 kohm")),
    ("10 mV .. 50", VOLTS, False, ("10 mV .. 50 mV", "10 mV .. 50 V")),
    ("100n..220", FARADS, False, ("100n .. 220 nF", "100n .. 220 uF")),
    ("1,000..2k", OHMS, False, ("1 ohm .. 2k", "1000 ohm .. 2k")),
    (".. 2.2m", OHMS, True, (".. 2.2 milliohm", ".. 2.2 megaohm")),
    ("5 V \u00b1 0.2 V", VOLTS, False, ("4.8 V .. 5.2 V",)),
    ("5 V \u00b15 %", VOLTS, False, ("4.75 V .. 5.25 V",)),
    ("-5 - +5 V", VOLTS, False, ("-5 .. +5 V",)),
    ("> 1M", OHMS, True, ("1M ..",)),
    ("<= 50 mV", VOLTS, True, (".. 50 mV",)),
    ("5", OHMS, True, ("5 ..", ".. 5")),
    ("5", OHMS, False, ()),
    ("1 Mohm ..", OHMS, False, ()),
    ("..", OHMS, True, ()),
    ("1..2..3", OHMS, False, ()),
    ("5 V .. 6 A", ANY, False, ()),
    ("16 V .. 20 V", OHMS, False, ()),
]
REFUSED_IDS = [f"{text!a}-{kind.name}" for text, kind, _, _ in REFUSED]


@pytest.mark.parametrize(("text", "kind", "open_ended", "choices"), REFUSED, ids=REFUSED_IDS)
def test_a_doubtful_range_is_refused_with_ranges(
    text: str, kind: Kind, open_ended: bool, choices: tuple[str, ...]
) -> None:
    """A range that falls or could be two is refused; the choices are whole ranges."""
    with pytest.raises(QuantityError) as caught:
        read_range(text, kind, open_ended=open_ended)
    assert caught.value.choices == choices


def test_an_inherited_unit_is_noted() -> None:
    """The reader is told which unit the low end took over."""
    assert read_range("4.7..10k", OHMS).notes == ("4.7 read as 4.7 kohm",)


@pytest.mark.parametrize(
    ("text", "minus", "plus"),
    [
        ("\u00b15 %", 0.05, 0.05),
        ("+/-5%", 0.05, 0.05),
        ("+-5%", 0.05, 0.05),
        ("5 %", 0.05, 0.05),
        ("5%", 0.05, 0.05),
        ("-20/+80 %", 0.2, 0.8),
        ("\u221220/+80 %", 0.2, 0.8),
        ("+80-20%", 0.2, 0.8),
        ("-20% +80%", 0.2, 0.8),
        ("-0/+100 %", 0.0, 1.0),
        ("\u00b10,5 %", 0.005, 0.005),
        ("0.05", 0.05, 0.05),
    ],
)
def test_reads_a_tolerance(text: str, minus: float, plus: float) -> None:
    """A tolerance is two fractions, each counted away from the marked value."""
    assert read_tolerance(text) == Tolerance(minus, plus)


@pytest.mark.parametrize(
    ("text", "choices"),
    [
        ("5", ("+-5 %",)),
        ("1", ("+-1 %", "+-100 %")),
        ("-20/+80", ("-20/+80 %",)),
        ("-5 %", ("-5 %/+0 %", "+-5 %")),
        ("10k \u00b15%", ("+-5%",)),
        ("-120/+5 %", ()),
        ("5 V", ()),
        ("", ()),
        ("nan", ()),
    ],
)
def test_a_doubtful_tolerance_is_refused(text: str, choices: tuple[str, ...]) -> None:
    """A bare number that could be per cent is refused; the choices are tolerances."""
    with pytest.raises(QuantityError) as caught:
        read_tolerance(text)
    assert caught.value.choices == choices


@pytest.mark.parametrize("text", ["5 %", "-20/+80 %", "0.5 %", "-0/+100 %", "-12.5/+7.5 %"])
def test_a_written_tolerance_is_read_back(text: str) -> None:
    """What a tolerance is written as gives the same tolerance again."""
    tolerance = read_tolerance(text)
    assert read_tolerance(str(tolerance)) == tolerance
