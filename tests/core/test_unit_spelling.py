"""Units are spelt as books spell them, and never another value."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixbook.core.quantity import FARADS, OHMS, VOLTS
from fixbook.core.reading import read
from fixbook.core.unit_spelling import spell_units


@pytest.mark.parametrize(
    ("typed", "spelt"),
    [
        ("0 .. 100 mohms", "0 .. 100 mohm"),
        ("4700uf 35v", "4700 uF 35 V"),
        ("16 volts", "16 V"),
        ("100 KHz", "100 kHz"),
        ("47 Kohm", "47 kohm"),
        ("85 °C", "85 degC"),
        ("50hz", "50 Hz"),
    ],
)
def test_what_is_mended(typed, spelt):
    """A known other spelling becomes the book's."""
    assert spell_units(typed) == spelt


@pytest.mark.parametrize(
    "text",
    ["0 .. 100 mohm", "4k7", "12V to 30 V", "1 Mohm", "3 MA", "5 a side", "IEC 60127", "as marked",
     "TDA1234V", "1N4007", ""],
)  # fmt: skip
def test_what_is_left_alone(text):
    """Right spellings, part numbers, words and unclear prefixes stay."""
    assert spell_units(text) == text


@given(st.integers(1, 9999), st.sampled_from(["", "m", "k", "M"]), st.sampled_from(
    ["ohms", "Ohm", "Ohms", "OHMS"]))  # fmt: skip
def test_a_prefix_never_changes_its_meaning(number, prefix, unit):
    """milli stays milli and mega stays mega."""
    typed = f"{number} {prefix}{unit}"
    assert read(spell_units(typed), OHMS).value == read(typed, OHMS).value


@given(st.text(alphabet="0123456789 .mMkKuUnpfFvVohmsHzZaA°C", max_size=40))
def test_mending_twice_is_mending_once(text):
    """What is spelt right is not touched again, whatever is typed."""
    assert spell_units(spell_units(text)) == spell_units(text)


@pytest.mark.parametrize(("text", "kind"), [("10 uf", FARADS), ("10 v", VOLTS)])
def test_the_spelling_reads(text, kind):
    """What comes out can be read as the kind it is."""
    assert read(spell_units(text), kind).kind == kind
