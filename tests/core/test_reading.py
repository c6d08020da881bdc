"""One value, as a technician types it."""

from __future__ import annotations

import pytest

from fixbook.core.quantity import (
    AMPS,
    ANY,
    CELSIUS,
    CENTIMETRES,
    COULOMBS,
    COUNT,
    DECIBELS,
    DEGREES,
    FARADS,
    HENRIES,
    HERTZ,
    HOURS,
    JOULES,
    KELVIN,
    KELVIN_PER_WATT,
    METRES,
    MINUTES,
    NEWTONS,
    NUMBER,
    OHMS,
    PERCENT,
    RATIO,
    SECONDS,
    SQUARE_MM,
    VOLTS,
    WATTS,
    YEARS,
    Kind,
)
from fixbook.core.reading import read
from fixbook.errors import QuantityError

ACCEPTED = [
    # resistance
    ("4k7", OHMS, 4700),
    ("4K7", OHMS, 4700),
    ("4.7k", OHMS, 4700),
    ("4.7K", OHMS, 4700),
    ("4.7 kohm", OHMS, 4700),
    ("4k7\u03a9", OHMS, 4700),
    ("4k7\u2126", OHMS, 4700),
    ("4.7 k\u2126", OHMS, 4700),
    ("4.7 \u33c0", OHMS, 4700),
    ("4\u03a97", OHMS, 4.7),
    ("4,7k", OHMS, 4700),
    ("47", OHMS, 47),
    ("47R", OHMS, 47),
    ("47r", OHMS, 47),
    ("47 R", OHMS, 47),
    ("47 ohm", OHMS, 47),
    ("47 OHMS", OHMS, 47),
    ("R47", OHMS, 0.47),
    ("0R47", OHMS, 0.47),
    ("0R22", OHMS, 0.22),
    ("R005", OHMS, 0.005),
    ("4L7", OHMS, 0.0047),
    ("2.2 mohm", OHMS, 0.0022),
    ("2.2 m\u03a9", OHMS, 0.0022),
    ("2.2 Mohm", OHMS, 2.2e6),
    ("2.2 M\u03a9", OHMS, 2.2e6),
    ("25 milliohm", OHMS, 0.025),
    ("10meg", OHMS, 1e7),
    ("10 megohm", OHMS, 1e7),
    ("4.7 kilohm", OHMS, 4700),
    ("2.2M", OHMS, 2.2e6),
    ("2M2", OHMS, 2.2e6),
    ("1 M", OHMS, 1e6),
    ("1 000", OHMS, 1000),
    ("1\u202f000 000", OHMS, 1e6),
    ("1e-6", OHMS, 1e-6),
    ("\uff14\uff17", OHMS, 47),
    # capacitance
    ("4u7", FARADS, 4.7e-6),
    ("4\u00b57", FARADS, 4.7e-6),
    ("4\u03bc7", FARADS, 4.7e-6),
    ("4.7uF", FARADS, 4.7e-6),
    ("4.7 \u00b5F", FARADS, 4.7e-6),
    ("4.7 \u03bcF", FARADS, 4.7e-6),
    ("4.7 \u338c", FARADS, 4.7e-6),
    ("4.7 microfarad", FARADS, 4.7e-6),
    ("100n", FARADS, 1e-7),
    ("100 nF", FARADS, 1e-7),
    ("100 NF", FARADS, 1e-7),
    ("0.1uF", FARADS, 1e-7),
    (".1uF", FARADS, 1e-7),
    ("0,1uF", FARADS, 1e-7),
    ("0,100uF", FARADS, 1e-7),
    ("p68", FARADS, 6.8e-13),
    ("n47", FARADS, 4.7e-10),
    ("33 pF", FARADS, 3.3e-11),
    ("2200uF", FARADS, 0.0022),
    ("2m2", FARADS, 0.0022),
    ("2.2 millifarad", FARADS, 0.0022),
    ("10 mfd", FARADS, 1e-5),
    ("10 MFD", FARADS, 1e-5),
    ("10 MF", FARADS, 1e-5),
    ("33 mmf", FARADS, 3.3e-11),
    ("33 MMFD", FARADS, 3.3e-11),
    # voltage, current, power, frequency
    ("16V", VOLTS, 16),
    ("16 V", VOLTS, 16),
    ("16VDC", VOLTS, 16),
    ("16 V DC", VOLTS, 16),
    ("230 VAC", VOLTS, 230),
    ("230 V~", VOLTS, 230),
    ("1 Vrms", VOLTS, 1),
    ("20 mVpp", VOLTS, 0.02),
    ("6V3", VOLTS, 6.3),
    ("3V3", VOLTS, 3.3),
    ("3V3DC", VOLTS, 3.3),
    ("6.3V", VOLTS, 6.3),
    ("10mV", VOLTS, 0.01),
    ("10 mv", VOLTS, 0.01),
    ("\u221215 V", VOLTS, -15),
    ("- 15 V", VOLTS, -15),
    ("+5V", VOLTS, 5),
    ("2.2 mA", AMPS, 0.0022),
    ("2A5", AMPS, 2.5),
    ("0.5 W", WATTS, 0.5),
    ("10u", HENRIES, 1e-5),
    ("120 Hz", HERTZ, 120),
    ("32k768", HERTZ, 32768),
    ("1.5 mhy", HENRIES, 0.0015),
    # temperature
    ("105C", CELSIUS, 105),
    ("105 \u00b0C", CELSIUS, 105),
    ("105 \u2103", CELSIUS, 105),
    ("105\u00ba", CELSIUS, 105),
    ("105 degrees Celsius", CELSIUS, 105),
    ("\u221240 \u00b0C", CELSIUS, -40),
    ("-40 \u00b0C", CELSIUS, -40),
    ("378 K", CELSIUS, 104.85),
    ("20 \u00b0C", KELVIN, 20),
    ("20 k", KELVIN, 20),
    # time, charge, energy
    ("2000 h", SECONDS, 7.2e6),
    ("1 min", SECONDS, 60),
    ("40 min", HOURS, 2400),
    ("50 mAh", COULOMBS, 180),
    ("1.5 Ah", COULOMBS, 5400),
    ("50 uC", COULOMBS, 5e-5),
    ("5 C", COULOMBS, 5),
    ("350 mJ", JOULES, 0.35),
    # ratios and counts
    ("5 %", RATIO, 0.05),
    ("5%", RATIO, 0.05),
    ("0.05", RATIO, 0.05),
    ("1", RATIO, 1),
    ("150 %", RATIO, 1.5),
    ("50 ppm", RATIO, 5e-5),
    ("0.5 %", PERCENT, 0.5),
    ("5", COUNT, 5),
    ("3 digits", COUNT, 3),
    ("-2.5", NUMBER, -2.5),
    # the rest
    ("4m", METRES, 4),
    ("12 mm", METRES, 0.012),
    ("1.8 cm", METRES, 0.018),
    ("18 mm", CENTIMETRES, 0.018),
    ("4m", CENTIMETRES, 4),
    ("1.5 mm\u00b2", SQUARE_MM, 1.5e-6),
    ("1.5 mm2", SQUARE_MM, 1.5e-6),
    ("2.5 \u00b0C/W", KELVIN_PER_WATT, 2.5),
    ("-60 dB", DECIBELS, -60),
    ("15 mN", NEWTONS, 0.015),
    ("90\u00b0", DEGREES, 90),
]
BARE = [
    (OHMS, 25),
    (HENRIES, 25),
    (VOLTS, 25),
    (AMPS, 25),
    (WATTS, 25),
    (HERTZ, 25),
    (CELSIUS, 25),
    (KELVIN, 25),
    (SECONDS, 25),
    (MINUTES, 25 * 60),
    (HOURS, 25 * 3600),
    (YEARS, 25 * 365.25 * 86400),
    (COULOMBS, 25),
    (JOULES, 25),
    (PERCENT, 25),
    (COUNT, 25),
    (NUMBER, 25),
    (METRES, 25),
    (CENTIMETRES, 0.25),
    (SQUARE_MM, 25e-6),
    (KELVIN_PER_WATT, 25),
    (DECIBELS, 25),
    (NEWTONS, 25),
    (DEGREES, 25),
    (ANY, 25),
]
REFUSED = [
    ("2.2m", OHMS, ("2.2 milliohm", "2.2 megaohm")),
    ("2m2", OHMS, ("2.2 milliohm", "2.2 megaohm")),
    ("4E7", OHMS, ("4.7 ohm", "40 Mohm")),
    ("4e7 ohm", OHMS, ("4.7 ohm", "40 Mohm")),
    ("1,000", OHMS, ("1 ohm", "1000 ohm")),
    ("12,345k", OHMS, ("12.345 k", "12345 k")),
    ("1.000,5", OHMS, ("1000.5 ohm",)),
    ("1.000,500", OHMS, ("1000.500 ohm", "1.000500 ohm")),
    ("1,000,000", OHMS, ("1000000 ohm",)),
    ("450..600", OHMS, ("450", "600")),
    ("450\u2026600", OHMS, ("450", "600")),
    ("450-600", OHMS, ("450", "600")),
    ("450 to 600", OHMS, ("450", "600")),
    ("1k5%", OHMS, ("1.5 k", "1 k")),
    ("10k \u00b15%", OHMS, ("10k",)),
    ("104", FARADS, ("100 nF", "104 pF", "104 uF")),
    ("479", FARADS, ("4.7 pF", "479 pF", "479 uF")),
    ("47", FARADS, ("47 pF", "47 uF")),
    ("104K", FARADS, ("100 nF",)),
    ("4R7", FARADS, ("4.7 pF",)),
    ("220uF 16V", FARADS, ("220uF",)),
    ("47uF/25V", FARADS, ("47uF",)),
    ("47 uF, 25 V", FARADS, ("47 uF",)),
    ("2.2 mF", FARADS, ("2.2 millifarad", "2.2 microfarad")),
    ("2.2m", FARADS, ("2.2 millifarad", "2.2 microfarad")),
    ("2.2 mF", ANY, ("2.2 millifarad", "2.2 microfarad")),
    ("105 F", CELSIUS, ("105 degC", "40.56 degC")),
    ("1/4W", WATTS, ("0.25 W",)),
    ("1 1/2 W", WATTS, ("1.5 W",)),
    ("\u00bd W", WATTS, ("0.5 W",)),
    ("5 m", SECONDS, ("5 ms", "5 min")),
    ("10 MV", VOLTS, ("10 mV", "10000 kV")),
    ("5 mHz", HERTZ, ("5 MHz", "0.005 Hz")),
    ("1.5", RATIO, ("1.5 %", "150 %")),
    ("47E", OHMS, ("47 ohm",)),
    ("47L", OHMS, ("47 milliohm",)),
    ("<50 mV", VOLTS, ("50 mV",)),
]
WITHOUT_CHOICE = [
    ("", OHMS, "nothing"),
    ("   ", OHMS, "nothing"),
    ("ohm", OHMS, "no digit"),
    ("nan", OHMS, "no value that can be measured"),
    ("inf", VOLTS, "no value that can be measured"),
    ("-inf V", VOLTS, "no value that can be measured"),
    ("\u221e", OHMS, "no value that can be measured"),
    ("OL", OHMS, "overload"),
    ("4" * 41, OHMS, "41 characters"),
    ("4\u200b7", OHMS, "U+200B"),
    ("4\n7", OHMS, "U+000A"),
    ("4\x1b[7m", OHMS, "U+001B"),
    ("\ud8004", OHMS, "U+D800"),
    ("10\u00b2", OHMS, "small digit"),
    ("4\u00bd", OHMS, "small digit"),
    ("\u0661\u0662", OHMS, "no digit"),
    ("47 ohm ohm", OHMS, "more than one unit"),
    ("5VV", VOLTS, "more than one unit"),
    ("4.7 kkohm", OHMS, "more than one unit or prefix"),
    ("1e400 V", VOLTS, "proportion"),
    ("1e-400 V", VOLTS, "proportion"),
    ("1e99999", NUMBER, "proportion"),
    ("47 xyz", OHMS, "no unit known"),
    ("-5 ohm", OHMS, "below the lowest resistance"),
    ("-300 C", CELSIUS, "below the lowest temperature"),
    ("-5 %", RATIO, "below the lowest ratio"),
    ("2.5", COUNT, "not whole"),
]
WRONG_KIND = [
    ("16 V", OHMS, "16 V is a voltage; a resistance is wanted here, as in 4k7 or 47 ohm"),
    ("6V3", OHMS, "6V3 is a voltage; a resistance is wanted here, as in 4k7 or 47 ohm"),
    ("105 C", OHMS, "105 C is a temperature; a resistance is wanted here, as in 4k7 or 47 ohm"),
    ("10 uH", FARADS, "10 uH is an inductance; a capacitance is wanted here, as in 100n or 4.7 uF"),
    ("2 h", VOLTS, "2 h is a time; a voltage is wanted here, as in 16 V or 6V3"),
    ("5 %", NUMBER, "5 % is a percentage; a number is wanted here, as in 0.5 or 12"),
    ("0.5 mm2", METRES, "0.5 mm2 is an area; a length is wanted here, as in 4 m or 12 mm"),
    ("100 ohm", HERTZ, "100 ohm is a resistance; a frequency is wanted here, as in 50 Hz or 100 kHz"),
    ("5 K", KELVIN_PER_WATT, "5 K is a temperature; a thermal resistance is wanted here, as in 2.5 K/W"),
]  # fmt: skip


def _ids(rows: list[tuple[str, Kind, object]]) -> list[str]:
    return [f"{text!a}-{kind.name}" for text, kind, _ in rows]


def _refusal(text: str, kind: Kind) -> QuantityError:
    with pytest.raises(QuantityError) as caught:
        read(text, kind, name="field")
    return caught.value


@pytest.mark.parametrize(("text", "kind", "value"), ACCEPTED, ids=_ids(ACCEPTED))
def test_reads_a_value_as_typed(text: str, kind: Kind, value: float) -> None:
    """What a technician types gives the number that is meant, to the last bit."""
    assert read(text, kind).value == value


@pytest.mark.parametrize(("kind", "value"), BARE, ids=[kind.name for kind, _ in BARE])
def test_a_bare_number_takes_the_unit_of_its_kind(kind: Kind, value: float) -> None:
    """A bare 25 means 25 of the unit that the kind names."""
    assert read("25", kind).value == value


@pytest.mark.parametrize(("text", "kind", "choices"), REFUSED, ids=_ids(REFUSED))
def test_a_doubtful_text_is_refused_with_its_readings(
    text: str, kind: Kind, choices: tuple[str, ...]
) -> None:
    """Nothing that could mean two things is read; the readings are offered."""
    assert _refusal(text, kind).choices == choices


@pytest.mark.parametrize(("text", "kind", "choices"), REFUSED, ids=_ids(REFUSED))
def test_each_choice_can_be_typed_back(text: str, kind: Kind, choices: tuple[str, ...]) -> None:
    """A choice that was offered is read by the field that offered it."""
    assert all(read(choice, kind).text == choice for choice in choices)


@pytest.mark.parametrize(("text", "kind", "words"), WITHOUT_CHOICE, ids=_ids(WITHOUT_CHOICE))
def test_a_text_that_is_no_value_is_refused_in_words(text: str, kind: Kind, words: str) -> None:
    """The refusal says what is the matter."""
    assert words in _refusal(text, kind).why


@pytest.mark.parametrize(("text", "kind", "why"), WRONG_KIND, ids=_ids(WRONG_KIND))
def test_a_value_of_the_wrong_kind_is_named(text: str, kind: Kind, why: str) -> None:
    """A value of another quantity is called by its name, behind the field's, beside what is wanted."""
    assert _refusal(text, kind).why == f"field: {why}"


def test_a_refusal_carries_field_and_text() -> None:
    """The error says which field it is about and what was read there."""
    error = _refusal("4E7", OHMS)
    assert (error.input, error.read) == ("field", "4E7")


@pytest.mark.parametrize(
    ("text", "kind", "notes"),
    [
        ("4,7k", OHMS, ("comma read as decimal",)),
        ("47", OHMS, ("unit assumed: ohm",)),
        (
            "472",
            OHMS,
            (
                "unit assumed: ohm",
                "as the code on a chip resistor 472 would be 4.7 kohm",
            ),
        ),
        (
            "220",
            OHMS,
            ("unit assumed: ohm", "as the code on a chip resistor 220 would be 22 ohm"),
        ),
        ("10 mfd", FARADS, ("mfd read as microfarad",)),
        ("33 MMFD", FARADS, ("MMFD read as picofarad",)),
        ("220UF", FARADS, ("U read as micro",)),
        ("2 Vpp", VOLTS, ("given as peak to peak",)),
        ("300 K", CELSIUS, ("kelvin turned into degrees Celsius",)),
        ("2000", HOURS, ("unit assumed: h",)),
        ("4k7", OHMS, ()),
        ("5", COUNT, ()),
    ],
)
def test_assumptions_are_noted(text: str, kind: Kind, notes: tuple[str, ...]) -> None:
    """Whatever had to be assumed is said, and nothing else."""
    assert read(text, kind).notes == notes


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("5", NUMBER, 5),
        ("4k7", NUMBER, 4700),
        ("47R", OHMS, 47),
        ("16 V", VOLTS, 16),
        ("6V3", VOLTS, 6.3),
        ("100nF", FARADS, 1e-7),
        ("105 C", CELSIUS, 105),
        ("5 %", PERCENT, 5),
        ("2 h", SECONDS, 7200),
        ("50 mAh", COULOMBS, 180),
        ("5 deg", DEGREES, 5),
        ("20 K", NUMBER, 20000),
    ],
)
def test_any_keeps_the_kind_that_was_typed(text: str, kind: Kind, value: float) -> None:
    """A field that takes any unit says which one it got, so that fields can be compared."""
    quantity = read(text, ANY)
    assert (quantity.kind, quantity.value) == (kind, value)
