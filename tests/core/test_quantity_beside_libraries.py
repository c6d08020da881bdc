"""Values read here against libraries that read some of the same texts."""

from __future__ import annotations

import warnings
from collections.abc import Iterator

import pytest

from fixbook.core.quantity import FARADS, HENRIES, HERTZ, OHMS, VOLTS, Kind, exact, show
from fixbook.core.reading import read

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # old helper packages of these libraries
    quantiphy = pytest.importorskip("quantiphy")
    rkm_codes = pytest.importorskip("rkm_codes")
    eseries = pytest.importorskip("eseries")

CODES = [
    *((code, OHMS) for code in ("R47", "4R7", "470R", "4K7", "47K", "47K3", "470K", "4M7", "1G5")),
    *((code, OHMS) for code in ("R005", "0R22", "12R0", "4k7", "2M2", "1T0", "4L7")),
    *((code, FARADS) for code in ("p68", "n47", "4n7", "4u7", "2m2", "100n", "22p", "1F5")),
]
"""Codes of IEC 60062; the library's own map of that standard is the reference."""


@pytest.fixture(autouse=True)
def standard_codes() -> Iterator[None]:
    """Let rkm_codes use its map of the standard, and leave it as it was."""
    rkm_codes.set_prefs(rkm_maps=rkm_codes.IEC60062_MAPS)
    yield
    rkm_codes.set_prefs(rkm_maps=None)


@pytest.mark.parametrize(("code", "kind"), CODES, ids=[code for code, _ in CODES])
def test_a_code_is_read_as_the_library_reads_it(code: str, kind: Kind) -> None:
    """Letter-and-digit codes agree with rkm_codes 1.0 and its map of IEC 60062."""
    reference = rkm_codes.from_rkm(code)
    assert read(code, kind).value == pytest.approx(reference.real, rel=1e-15)


@pytest.mark.parametrize("series", ["E24", "E96"])
def test_every_preferred_value_makes_the_trip_through_codes(series: str) -> None:
    """Values of IEC 60063 (table of eseries 1.2.1), written by rkm_codes, are read back."""
    values = list(eseries.erange(getattr(eseries, series), 1, 9.9e6))
    codes = [rkm_codes.to_rkm(quantiphy.Quantity(value, "\u03a9"), prec=3) for value in values]
    read_back = [read(code, OHMS).value for code in codes]
    assert read_back == pytest.approx(values, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("4.7k", OHMS),
        ("2.2 m\u03a9", OHMS),
        ("2.2 M\u03a9", OHMS),
        ("47 ohm", OHMS),
        ("4.7 uF", FARADS),
        ("100n", FARADS),
        (".1uF", FARADS),
        ("33 pF", FARADS),
        ("2200uF", FARADS),
        ("10mV", VOLTS),
        ("-16 V", VOLTS),
        ("120 Hz", HERTZ),
        ("10 uH", HENRIES),
    ],
)
def test_a_plain_value_is_read_as_the_formatter_reads_it(text: str, kind: Kind) -> None:
    """Texts that quantiphy 2.23 reads rightly give the same number here."""
    assert read(text, kind).value == pytest.approx(quantiphy.Quantity(text).real, rel=1e-15)


@pytest.mark.parametrize("series", ["E24", "E96"])
def test_every_preferred_value_is_shown_and_read_back(series: str) -> None:
    """Preferred values of IEC 60063 survive showing and reading, as they have three digits."""
    values = list(eseries.erange(getattr(eseries, series), 0.1, 9.9e6))
    shown = [read(show(value, OHMS), OHMS).value for value in values]
    assert shown == pytest.approx(values, rel=1e-12)


def test_a_value_of_the_libraries_is_written_exactly() -> None:
    """A value computed elsewhere is written without a rounding error."""
    assert exact(quantiphy.Quantity("4.7k").real, OHMS) == "4.7 kohm"
