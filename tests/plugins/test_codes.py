"""The plugin `codes`: what its check values cannot say."""

from __future__ import annotations

from typing import Any

import pytest
from fixbook_plugins import codes
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.api import Entry, Part, Result
from fixbook.core.calculation import run
from fixbook.errors import CalculationError

CALCULATORS = {one.name: one for one in codes.fixbook_calculators()}
ENTRY = Entry(id="some-fault", kind="fault", title="Some fault", unit="optical-player")
COLOURS = ["black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white"]
E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)  # fmt: skip
calm = settings(deadline=None, max_examples=60)


def ask(name: str, **typed: str) -> Result:
    """Run a calculator on texts, as typed."""
    return run(CALCULATORS[name], {key: [text] for key, text in typed.items()})


def rows(name: str, **typed: str) -> list[dict[str, Any]]:
    """Give the readings of a marking."""
    found = ask(name, **typed).answer["readings"]
    assert isinstance(found, list)
    return found


def refused(name: str, **typed: str) -> CalculationError:
    """Give the error for a marking that is not decoded."""
    with pytest.raises(CalculationError) as caught:
        ask(name, **typed)
    return caught.value


@pytest.mark.parametrize("calculator", codes.fixbook_calculators(), ids=lambda one: one.name)
def test_a_marking_is_never_proof(calculator: Any) -> None:
    """Every decoder says that a marking has to be measured."""
    assert "A marking is never proof: measure before replacing." in calculator.cautions


@calm
@given(text=st.text(alphabet="0123456789RKMGTLkmrpnuFJZ", min_size=1, max_size=8))
def test_letter_and_digit_codes_agree_with_rkm_codes(text: str) -> None:
    """What both read as a resistance without a tolerance has the same value."""
    rkm = pytest.importorskip("rkm_codes")
    try:
        found = ask("rkm-code", text=text)
    except CalculationError:
        return
    other = rkm.from_rkm(text.replace("r", "R"))
    if found.answer["tolerance"] is None and "L" not in text:
        assert other is not None
        assert other.real == pytest.approx(found.answer["value"], rel=1e-9)


@calm
@given(whole=st.integers(0, 999), part=st.integers(0, 99), letter=st.sampled_from("pnum"))
def test_capacitances_agree_with_rkm_codes(whole: int, part: int, letter: str) -> None:
    """A capacitance with a letter for the decimal mark is read alike."""
    rkm = pytest.importorskip("rkm_codes")
    text = f"{whole}{letter}{part}"
    found = ask("rkm-code", text=text, field="C").answer["value"]
    assert rkm.from_rkm(text).real == pytest.approx(found, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "field", "value", "tolerance"),
    [
        ("4K7K", "R", 4700.0, 0.1),
        ("1M0M", "R", 1e6, 0.2),
        ("1R0F", "R", 1.0, 0.01),
        ("100nK", "C", 100e-9, 0.1),
        ("100nF", "C", 100e-9, None),
        ("4n7F", "C", 4.7e-9, 0.01),
        ("470K", "R", 470e3, None),
        ("10nZ", "C", 10e-9, [-0.2, 0.8]),
    ],
)
def test_only_the_position_tells_multiplier_from_tolerance(
    text: str, field: str, value: float, tolerance: object
) -> None:
    """The first letter multiplies, a letter after the last digit is the tolerance."""
    answer = ask("rkm-code", text=text, field=field).answer
    assert answer["value"] == pytest.approx(value)
    assert answer["tolerance"] == (tolerance if tolerance is None else pytest.approx(tolerance))


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("4E7", "R"),
        ("2m2", "R"),
        ("470K", "C"),
        ("4K7T", "R"),
        ("47", "R"),
        ("R", "R"),
        ("4k7k7", "R"),
        ("4n7", "R"),
        ("1234567890R12", "R"),
    ],
)
def test_a_code_in_doubt_is_refused(text: str, field: str) -> None:
    """What could be two things, or nothing, is not guessed."""
    assert refused("rkm-code", text=text, field=field).input == "text"


def test_a_bare_capacitor_tolerance_is_asked_about() -> None:
    """470K on a capacitor could be pF or uF: both are offered."""
    assert set(refused("rkm-code", text="470K", field="C").choices) == {"470pK", "470uK"}


@pytest.mark.parametrize("letter", list("ELPWN"))
def test_letters_from_memory_say_so(letter: str) -> None:
    """A tolerance letter that nobody saw in a source is to be confirmed."""
    found = ask("rkm-code", text=f"4K7{letter}").assumptions
    assert f"tolerance letter {letter}: from memory, confirm" in found


@calm
@given(
    first=st.integers(1, 9),
    second=st.integers(0, 9),
    power=st.integers(0, 7),
    tolerance=st.sampled_from([("brown", 0.01), ("red", 0.02), ("gold", 0.05), ("silver", 0.1)]),
)
def test_four_bands_are_read_back(
    first: int, second: int, power: int, tolerance: tuple[str, float]
) -> None:
    """The value that was painted on is among the readings, from either end."""
    bands = [COLOURS[first], COLOURS[second], COLOURS[power], tolerance[0]]
    wanted = (pytest.approx((10 * first + second) * 10.0**power), tolerance[1])
    for order in (bands, bands[::-1]):
        found = rows("colour-bands", bands=" ".join(order))
        assert wanted in [(one["resistance"], one["tolerance"]) for one in found]


@calm
@given(bands=st.lists(st.sampled_from(COLOURS), min_size=3, max_size=6))
def test_turning_the_resistor_twice_changes_nothing(bands: list[str]) -> None:
    """Both ends give the same values, only their order may differ."""
    try:
        one_way = rows("colour-bands", bands=" ".join(bands))
    except CalculationError:
        refused("colour-bands", bands=" ".join(bands[::-1]))
        return
    other_way = rows("colour-bands", bands=" ".join(bands[::-1]))
    values = [
        {(row["resistance"], row["tolerance"]) for row in way} for way in (one_way, other_way)
    ]
    assert values[0] == values[1]


@pytest.mark.parametrize("value", E24)
def test_values_of_the_series_come_first(value: int) -> None:
    """A 5 % value of E24 is the only or the best reading of its bands."""
    tens, ones = divmod(value, 10)
    found = rows("colour-bands", bands=f"{COLOURS[tens]} {COLOURS[ones]} red gold")
    assert (found[0]["resistance"], found[0]["tolerance"]) == (value * 100.0, 0.05)


@pytest.mark.parametrize(
    ("colour", "tolerances"),
    [("grey", [0.0001, 0.0005]), ("orange", [0.0005, 0.03]), ("yellow", [0.0002, 0.04])],
)
def test_colours_that_changed_show_both_tolerances(colour: str, tolerances: list[float]) -> None:
    """Grey differs between editions; orange and yellow meant 3 % and 4 % on old parts."""
    found = rows("colour-bands", bands=f"brown black black black {colour}")
    forward = [one["tolerance"] for one in found if "other end" not in one["note"]]
    assert forward == tolerances


def test_a_gold_fourth_band_of_five_is_read_both_ways() -> None:
    """It is a multiplier, or the tolerance of four bands with an extra one."""
    found = rows("colour-bands", bands="yellow violet black gold brown")
    assert [(one["resistance"], one["tolerance"]) for one in found] == [(47.0, 0.01), (47.0, 0.05)]


def test_two_valid_ends_ask_for_a_measurement() -> None:
    """10 kohm from one end and 120 ohm from the other: measure."""
    result = ask("colour-bands", bands="brown black black red brown")
    assert result.answer.notes == ["more than one value is possible: measure"]


@pytest.mark.parametrize(
    "bands",
    ["gold brown gold", "brown red", "brown red red red red red red", "brown redd red", "-"],
    ids=["no end", "too few", "too many", "misspelt", "none"],
)
def test_bands_that_cannot_be_read_are_refused(bands: str) -> None:
    """The error names the input."""
    assert refused("colour-bands", bands=bands).input == "bands"


def test_a_misspelt_colour_is_guessed_at() -> None:
    """The close colour is offered."""
    assert "violet" in str(refused("colour-bands", bands="brown voilet red gold"))


def test_all_96_chip_codes_agree_with_eseries() -> None:
    """01 to 96 count the values of E96."""
    eseries = pytest.importorskip("eseries")
    wanted = [float(one) for one in eseries.series(eseries.E96)]
    found = [
        ask("eia96-code", code=f"{number:02}A").answer["resistance"] for number in range(1, 97)
    ]
    assert found == wanted


@calm
@given(number=st.integers(1, 96), letter=st.sampled_from("ZYXABCDEF"))
def test_a_chip_code_goes_there_and_back(number: int, letter: str) -> None:
    """Decoding and encoding again gives the code."""
    value = ask("eia96-code", code=f"{number:02}{letter}").answer["resistance"]
    assert ask("eia96-code", resistance=f"{value!r} ohm").answer["code"] == f"{number:02}{letter}"


@pytest.mark.parametrize(("second", "first"), [("R", "Y"), ("S", "X"), ("H", "B")])
def test_second_letters_mean_the_same_and_say_so(second: str, first: str) -> None:
    """R, S and H are from memory; H is ten, not ten million."""
    found = ask("eia96-code", code=f"24{second}")
    assert found.answer["resistance"] == ask("eia96-code", code=f"24{first}").answer["resistance"]
    assert any("from memory" in one for one in found.assumptions)


def test_a_value_between_two_says_how_far_it_is_off() -> None:
    """50 ohm is not in the series: the nearest code says by how much."""
    found = ask("eia96-code", resistance="50 ohm")
    assert found.answer["code"] == "68X"
    assert "nearest value of E96, -0.200 % off" in found.assumptions


@calm
@given(mantissa=st.sampled_from(E24), power=st.integers(-1, 7))
def test_a_three_digit_chip_goes_there_and_back(mantissa: int, power: int) -> None:
    """The first code of a value is read as that value first."""
    value = float(f"{mantissa}e{power}")
    code = rows("chip-resistor-code", resistance=f"{value!r} ohm")[0]["code"]
    assert rows("chip-resistor-code", code=code)[0]["resistance"] == value


@pytest.mark.parametrize(
    ("code", "ohms"), [("220", 22.0), ("1000", 100.0), ("4R7", 4.7), ("0", 0.0), ("R47", 0.47)]
)
def test_chip_digits_are_not_plain_numbers(code: str, ohms: float) -> None:
    """220 is 22 ohm and 1000 is 100 ohm."""
    assert rows("chip-resistor-code", code=code)[0]["resistance"] == ohms


@pytest.mark.parametrize("code", ["01R", "12345", "47K", "1R", "R", "-10", "1 k"])
def test_other_chip_markings_are_refused(code: str) -> None:
    """What is no code of three or four digits is left to a measurement."""
    error = refused("chip-resistor-code", code=code)
    assert (error.input, error.hint) == ("code", "measure it")


@calm
@given(mantissa=st.integers(10, 99), power=st.integers(-2, 6))
def test_a_capacitor_code_goes_there_and_back(mantissa: int, power: int) -> None:
    """The code of a value is read as that value first."""
    value = float(f"{mantissa}e{power - 12}")
    code = rows("capacitor-code", capacitance=f"{value!r} F")[0]["code"]
    assert rows("capacitor-code", code=code)[0]["capacitance"] == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("code", "body", "farads"),
    [
        ("100", "ceramic", [10e-12, 100e-12]),
        ("100", "aluminium", [100e-6, 10e-12, 100e-12]),
        ("474", "aluminium", [470e-9, 474e-6]),
        ("4R7", "aluminium", [4.7e-6, 4.7e-12]),
        ("22", "ceramic", [22e-12]),
        ("100N", "film", [100e-9, 10e-12, 100e-12]),
        ("47P", "ceramic", [47e-12, 47e-12]),
    ],
)
def test_all_capacitances_are_listed_best_first(code: str, body: str, farads: list[float]) -> None:
    """Digits on a can are microfarads, and every other reading is still shown."""
    found = [one["capacitance"] for one in rows("capacitor-code", code=code, body=body)]
    assert found == pytest.approx(farads)


def test_a_tolerance_below_ten_picofarad_is_absolute() -> None:
    """C is a quarter of a picofarad there, and a quarter of a per cent above."""
    small = rows("capacitor-code", code="4R7C")[0]["tolerance"]
    large = rows("capacitor-code", code="104C")[0]["tolerance"]
    assert (small, large) == (pytest.approx(0.25 / 4.7), 0.0025)


def test_an_uneven_tolerance_is_written_out() -> None:
    """Z is no single share of the value."""
    assert rows("capacitor-code", code="104Z")[0]["tolerance"] == "-20/+80 %"


@pytest.mark.parametrize(
    "code", ["107", "4n7", "4N7", "100n", "2A104 50V", "104X", "1047", "1S104"]
)
def test_other_capacitor_markings_are_refused(code: str) -> None:
    """An unused digit, another scheme or two voltages are left to a measurement."""
    assert refused("capacitor-code", code=code).input == "code"


def test_another_scheme_is_pointed_to() -> None:
    """A letter-and-digit code is named as one."""
    assert refused("capacitor-code", code="4n7").choices == ("rkm-code 4n7 field=C",)


@calm
@given(digit=st.integers(0, 4), letter=st.sampled_from("ABCDEFGHJKQZPVWLN"))
def test_a_voltage_code_goes_there_and_back(digit: int, letter: str) -> None:
    """Decoding and encoding again gives the code."""
    volts = ask("voltage-code", code=f"{digit}{letter}").answer["voltage"]
    assert ask("voltage-code", voltage=f"{volts!r} V").answer["code"] == f"{digit}{letter}"


def test_a_lone_voltage_letter_is_only_likely() -> None:
    """It is each maker's own, and its case matters."""
    found = ask("voltage-code", code="e")
    assert found.answer["voltage"] == 2.5
    assert any(one.startswith("likely 2.5 V") for one in found.assumptions)


def test_the_voltage_code_is_kept_off_mains_capacitors() -> None:
    """It states direct voltages."""
    assert any("mains capacitor" in one for one in ask("voltage-code", code="2G").cautions)


def test_a_voltage_without_a_code_offers_the_nearest() -> None:
    """17 V is no code: those around it are offered."""
    assert refused("voltage-code", voltage="17 V").choices[0] == "1C = 16 V"


@pytest.mark.parametrize(
    "name", ["eia96-code", "chip-resistor-code", "voltage-code", "capacitor-code"]
)
def test_a_coder_wants_one_of_two(name: str) -> None:
    """Neither the code nor the value, or both, is refused."""
    value = {"voltage-code": "voltage", "capacitor-code": "capacitance"}.get(name, "resistance")
    number = {"voltage": "16 V", "capacitance": "1 nF", "resistance": "1 kohm"}[value]
    assert refused(name).choices == ("code", value)
    assert refused(name, **{"code": "1C", value: number}).choices == ("code", value)


@pytest.mark.parametrize("code", ["H", "3S", "I3", "A8", "c1", "S33"])
def test_other_small_markings_are_refused(code: str) -> None:
    """Without the digit an older code means something else: unknown, measure."""
    assert refused("chip-capacitor-code", code=code).hint == "measure it"


def test_case_matters_on_a_small_capacitor() -> None:
    """A small letter has other figures, from memory."""
    capital, small = (ask("chip-capacitor-code", code=code) for code in ("A1", "a1"))
    assert (capital.answer["capacitance"], small.answer["capacitance"]) == (1e-11, 2.5e-11)
    assert any("from memory" in one for one in small.assumptions)


@calm
@given(
    letter=st.sampled_from("ABCDEFHJKLMNPRSTUVWX"),
    month=st.sampled_from("123456789OND"),
    latest=st.integers(1990, 2060),
)
def test_dates_come_round_every_twenty_years(letter: str, month: str, latest: int) -> None:
    """All years of a letter are twenty apart, none after the latest one, the latest first."""
    found = ask("date-code", code=letter + month, not_after=str(latest)).answer["dates"]
    assert isinstance(found, list)
    years = [int(one[:4]) for one in found]
    assert years == list(range(years[0], 1969, -20))
    assert latest - 20 < years[0] <= latest


def test_the_nearest_to_the_sets_own_date_comes_first() -> None:
    """A set of 1985 most likely has a part of 1983."""
    found = ask("date-code", code="R1", not_after="2026", set_date="1985-06").answer["dates"]
    assert found == ["1983-01", "2003-01", "2023-01"]


def test_today_is_the_latest_date_unless_said() -> None:
    """Without a latest date today is taken, and that is said."""
    found = ask("date-code", code="R1")
    assert "2003-01" in str(found.answer["dates"])
    assert any(one.startswith("not after today, 20") for one in found.assumptions)


def test_a_date_can_also_be_a_capacitance() -> None:
    """A5 is May, or 100 nF: which line of the marking is it?"""
    notes = ask("date-code", code="A5", not_after="2026").answer.notes
    assert notes == ["A5 is also the capacitor code of 100 nF: which line of the marking is it?"]


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ({"code": "1254"}, "code"),
        ({"code": "1200"}, "code"),
        ({"code": "R0"}, "code"),
        ({"code": "I5"}, "code"),
        ({"code": "X1", "not_after": "1970"}, "code"),
        ({"code": "R1", "not_after": "2026-13"}, "not_after"),
        ({"code": "R1", "set_date": "old"}, "set_date"),
    ],
    ids=["week 54", "week 0", "month 0", "letter I", "too late", "month 13", "no date"],
)
def test_a_date_that_cannot_be_is_refused(typed: dict[str, str], name: str) -> None:
    """The error names the input."""
    assert refused("date-code", **({"not_after": "2026"} | typed)).input == name


@pytest.mark.parametrize("name", list(CALCULATORS))
@calm
@given(text=st.text(min_size=1, max_size=14))
def test_any_text_is_read_or_refused(name: str, text: str) -> None:
    """Whatever is typed as a marking, nothing but a sentence for the user comes of it."""
    field = CALCULATORS[name].inputs[0].name
    try:
        result = ask(name, **{field: text})
    except CalculationError as error:
        assert str(error)
    else:
        assert result.answer.values


@pytest.mark.parametrize(
    ("name", "part", "filled"),
    [
        (
            "chip-resistor-code",
            Part("R5", "resistor, chip", "4.7 kohm"),
            {"resistance": "4.7 kohm"},
        ),
        ("chip-resistor-code", Part("R5", "resistor, chip", "4.711 kohm"), None),
        ("chip-resistor-code", Part("R5", "resistor, wire-wound", "4.7 ohm"), None),
        ("capacitor-code", Part("C5", "capacitor, ceramic", "100 nF"), {"capacitance": "100 nF"}),
        ("capacitor-code", Part("C5", "capacitor, electrolytic", "100 uF"), None),
        ("voltage-code", Part("C5", "capacitor", "1 uF", volts="16 V"), {"voltage": "16 V"}),
        ("voltage-code", Part("C5", "capacitor", "1 uF", volts="17 V"), None),
        ("voltage-code", Part("C5", "capacitor", "1 uF"), None),
    ],
)
def test_a_part_fills_in_what_its_marking_will_be(
    name: str, part: Part, filled: dict[str, str] | None
) -> None:
    """Parts that bear such a code show it; what is filled in is accepted."""
    fits = CALCULATORS[name].fits
    assert fits is not None
    found = fits(part, ENTRY)
    assert found == filled
    if found is not None:
        assert ask(name, **found).answer.values
