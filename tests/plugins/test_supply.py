"""The plugin `supply`: what its check values cannot say."""

from __future__ import annotations

import math

import fixbook_plugins.supply
import pytest
from fixbook_plugins.supply import _charge
from hypothesis import given
from hypothesis import strategies as st

from fixbook.core.calculation import Result, assign, run
from fixbook.core.entry import Entry, Part, Target, Window
from fixbook.core.quantity import AMPS, HERTZ, VOLTS
from fixbook.errors import CalculationError

CALCULATORS = {one.name: one for one in fixbook_plugins.supply.fixbook_calculators()}
ENTRY = Entry(id="made-up", kind="fault", title="Made up", unit="linear-supply")
farads = st.floats(1e-12, 1.0)
volts = st.floats(0.0, 50_000.0)
growth = st.floats(1.0, 100.0)
HOUSEHOLD_STEP = 15_000.0


def calculate(name: str, *words: str) -> Result:
    """Run a calculator on what is typed."""
    return run(CALCULATORS[name], assign(CALCULATORS[name], words))


def call(name: str, **values: object):
    """Call a calculator's function on numbers."""
    return CALCULATORS[name].function(**values)


def refusal(name: str, *words: str) -> CalculationError:
    """Give the error of a calculator that must refuse what is typed."""
    with pytest.raises(CalculationError) as refused:
        calculate(name, *words)
    return refused.value


@given(
    load=st.floats(1e-3, 100),
    capacitance=st.floats(1e-6, 1),
    mains=st.floats(16, 400),
    rectifier=st.sampled_from(["full", "half"]),
    peak=st.floats(1e-3, 20_000),
)
def test_closer_ripple_is_never_above_the_bound_or_the_peak(
    load, capacitance, mains, rectifier, peak
):
    """Taking the time of charging off only lowers the ripple, and no valley is below zero."""
    answer = call(
        "reservoir-ripple",
        load=load,
        capacitance=capacitance,
        mains=mains,
        rectifier=rectifier,
        peak=peak,
    )
    assert 0 <= answer["ripple"] <= min(answer["ripple_bound"], peak)


@pytest.mark.parametrize(("rectifier", "times"), [("full", 2), ("half", 1)])
def test_ripple_rule_counts_mains_frequency_and_halves_for_full_wave(rectifier, times):
    """I/(2 f C) belongs to full wave alone, and f is the mains frequency."""
    answer = calculate("reservoir-ripple", "1 A", "4700 uF", "60 Hz", rectifier).answer
    assert answer["ripple_bound"] == pytest.approx(1 / (times * 60 * 4700e-6))


def test_verdict_against_the_bound_says_what_it_can_hide():
    """Without the peak a capacitor down by a quarter may pass, and the answer says so."""
    answer = calculate("reservoir-ripple", "1 A", "4700 uF", "measured=2.1 V").answer
    assert answer.verdict == "pass"
    assert any("a quarter" in note for note in answer.notes)


def test_failed_ripple_names_its_causes_and_the_frequency_of_an_open_diode():
    """A fail says what to look for, with the numbers that decided it."""
    answer = calculate("reservoir-ripple", "1 A", "4700 uF", "measured=4 V").answer
    assert answer.why.startswith("4 V is 1.88 times the upper bound of 2.128 V: capacitance low")
    assert any("50 Hz instead of 100 Hz" in note for note in answer.notes)


def test_load_that_empties_the_capacitor_is_never_passed():
    """Where load, capacitance and peak contradict each other no ripple is called normal."""
    answer = calculate("reservoir-ripple", "10 A", "100 uF", "peak=17 V", "measured=16 V").answer
    assert answer.verdict == "cannot tell"


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("1 A", "4700 uF", "peak=17 V", "measured=18 V"), "measured"),
        (("1 A", "4700 uF", "peak=17 V", "wanted_ripple=18 V"), "wanted_ripple"),
        (("1 A", "wanted_ripple=1 V", "measured=2 V"), "capacitance"),
        (("0 A", "4700 uF"), "load"),
        (("1 A", "1e30 F"), "capacitance"),
        (("1 A", "4700"), "capacitance"),
        (("nan", "4700 uF"), "load"),
    ],
)
def test_ripple_that_cannot_be_is_refused_by_name(words, name):
    """The refusal names the input that cannot be used."""
    assert refusal("reservoir-ripple", *words).input == name


@pytest.mark.parametrize(("full_wave", "expected"), [(True, 2), (False, 1)])
def test_hum_multiple_is_that_of_the_rectified_sine(full_wave, expected):
    """The strongest line of a rectified sine is at the multiple that the table names."""
    fft = pytest.importorskip("scipy.fft")
    wave = [math.sin(2 * math.pi * 50 * at / 10_000) for at in range(10_000)]
    rectified = [abs(one) if full_wave else max(0.0, one) for one in wave]
    mean = sum(rectified) / len(rectified)
    lines = [abs(one) for one in fft.rfft([one - mean for one in rectified])]
    strongest = lines.index(max(lines))
    assert calculate("hum-frequency", f"{strongest} Hz", "50").answer["multiple"] == expected


@given(frequency=st.floats(10, 5000), tolerance=st.floats(0.005, 0.05))
def test_hum_multiple_lies_within_the_tolerance(frequency, tolerance):
    """Whatever is accepted is as near to a multiple as was asked for."""
    answer = call("hum-frequency", frequency=frequency, mains="auto", tolerance=tolerance)
    offs = [row["off"] for row in answer["meanings"] if row["multiple"]]
    assert all(abs(off) <= tolerance * 1.000001 for off in offs)


def test_hum_between_the_multiples_is_not_mains_related():
    """75 Hz is no multiple of either mains."""
    answer = calculate("hum-frequency", "75 Hz").answer
    assert answer["multiple"] is None
    assert "not mains related" in str(answer["meanings"])


def test_high_hum_frequency_is_said_to_prove_nothing():
    """At high multiples any frequency fits one, which is no finding."""
    notes = calculate("hum-frequency", "1337 Hz").answer.notes
    assert any("proves nothing" in note for note in notes)


@given(
    capacitance=st.floats(1e-9, 1),
    resistance=st.floats(1e-3, 1e12),
    levels=st.lists(st.floats(1, 20_000), min_size=3, max_size=3, unique=True),
)
def test_discharge_time_adds_up_over_levels(capacitance, resistance, levels):
    """From V0 to Va and from there to Vs takes as long as from V0 to Vs."""
    low, middle, high = sorted(levels)

    def time(start: float, end: float) -> float:
        return call(
            "discharge",
            capacitance=capacitance,
            start=start,
            down_to=end,
            resistance=resistance,
        )["time"]

    whole = time(high, middle) + time(middle, low)
    assert whole == pytest.approx(time(high, low), rel=1e-6, abs=1e-300)


@given(capacitance=st.floats(1e-9, 1), start=st.floats(11, 20_000), time=st.floats(1e-3, 1e5))
def test_discharge_resistor_takes_the_time_it_was_chosen_for(capacitance, start, time):
    """The resistor for a time and the time of that resistor belong together."""
    chosen = call("discharge", capacitance=capacitance, start=start, time=time)["resistance"]
    back = call("discharge", capacitance=capacitance, start=start, resistance=chosen)["time"]
    assert back == pytest.approx(time, rel=1e-12)


def test_discharge_never_calls_anything_safe():
    """The answer is a calculation to be measured, whatever comes out."""
    result = calculate("discharge", "1 nF", "12 V", "10 V", "1 Mohm", "continuous=yes")
    said = str(result.to_json()).lower()
    assert "safe" not in said
    assert "below 10 v after 182.3 us by calculation: measure." in said


def test_discharge_tells_first_current_time_constant_and_bleeder_rating():
    """The figures of the rules stand in the notes."""
    notes = " ".join(calculate("discharge", "220 uF", "385 V", "res=2.2k", "cont=yes").answer.notes)
    assert "First current 175 mA, time constant 484 ms." in notes
    assert "134.8 W" in notes


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("100 uF", "325 V"), "resistance"),
        (("100 uF", "325 V", "resistance=1k", "time=1 s"), "resistance"),
        (("100 uF", "8 V", "resistance=1k"), "down_to"),
        (("100 uF", "10 V", "time=1 s"), "down_to"),
        (("100 uF", "-325 V", "resistance=1k"), "start"),
    ],
)
def test_discharge_that_cannot_be_is_refused_by_name(words, name):
    """The refusal names the input that cannot be used."""
    assert refusal("discharge", *words).input == name


@given(capacitance=farads, voltage=volts, more=growth, higher=growth)
def test_charge_flags_never_relax_but_for_the_household_step(capacitance, voltage, more, higher):
    """More capacitance or voltage never lowers a flag; at 15 kV the quoted rule itself does."""
    before = {one.name: one.reached for one in _charge.flags(capacitance, voltage)}
    after = {one.name: one.reached for one in _charge.flags(capacitance * more, voltage * higher)}
    # one laboratory line ends at 100 V where the other, with a lower joule limit, begins
    for flags in (before, after):
        flags["laboratory"] = flags.pop("laboratory shock hazard") | flags.pop(
            "laboratory burn and arc hazard"
        )
    if voltage <= HOUSEHOLD_STEP < voltage * higher:
        before["household"] = False
    assert [name for name, reached in before.items() if reached and not after[name]] == []


def test_household_rule_relaxes_across_15_kilovolts_only_as_quoted():
    """45 uC at 15 kV are 337.5 mJ, and above 15 kV 350 mJ are allowed."""
    at = {one.name: one for one in _charge.flags(3.05e-9, 15_000.0)}
    above = {one.name: one for one in _charge.flags(3.05e-9, 15_001.0)}
    assert (at["household"].reached, above["household"].reached) == (True, False)


@given(capacitance=farads, voltage=volts, more=growth, higher=growth)
def test_charge_verdict_never_grows_milder(capacitance, voltage, more, higher):
    """More capacitance or voltage never makes the verdict milder."""
    order = ["info", "marginal", "fail"]
    first, _, _ = _charge.judge(capacitance, voltage)
    second, _, _ = _charge.judge(capacitance * more, voltage * higher)
    assert order.index(first) <= order.index(second)


def test_class_from_memory_only_sharpens_the_message():
    """The remembered pairs add a caution to a verdict, and never lower it."""
    result = calculate("stored-energy", "100 nF", "400 V")
    assert result.answer.verdict == "marginal"
    assert any("highest class, 3 (from memory, confirm)" in one for one in result.cautions)


def test_instrument_limit_is_that_of_the_third_edition():
    """60 V DC, not the 70 V of the edition before it."""
    flags = {one.name: one.reached for one in _charge.flags(1e-6, 65.0)}
    assert flags["instrument"]


def test_high_current_at_low_voltage_warns_of_rings():
    """A low voltage with a joule behind it heats a ring."""
    cautions = calculate("stored-energy", "47000 uF", "16 V").cautions
    assert any("rings and bracelets" in one for one in cautions)


def test_mains_capacitor_above_both_limits_must_have_a_bleeder():
    """0.47 uF at 373 V is above 0.1 uF and above 60 uC."""
    notes = calculate("stored-energy", "0.47 uF", "373 V").answer.notes
    assert any("must have a bleeder" in note for note in notes)


def test_cell_life_beyond_the_shelf_is_shown_as_the_shelf_limit():
    """Beyond ten years is arithmetic, not chemistry: the answer says both."""
    shown = {one.name: one.shown() for one in calculate("backup-life", "drain=2 uA").answer.values}
    assert shown == {
        "life": "97728 h by arithmetic alone",
        "years": "10 years (shelf limit)",
        "capped": "yes",
    }


@given(drain=st.floats(0, 0.1), self_discharge=st.floats(0, 0.3))
def test_cell_never_outlives_its_shelf(drain, self_discharge):
    """No drain is too small for an answer, and none gives more years than the shelf."""
    years = call("backup-life", drain=drain, self_discharge=self_discharge)["years"]
    assert 0 < years <= 10


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("capacity=220",), "drain"),
        (("drain=3 uA", "start=5 V"), "start"),
        (("drain=3 uA", "capacitance=0.1 F"), "start"),
        (("drain=3 uA", "capacitance=0.1 F", "start=5 V"), "end"),
        (("drain=0 A", "capacitance=0.1 F", "start=5 V", "end=2 V"), "drain"),
        (("drain=-3 uA",), "drain"),
    ],
)
def test_backup_that_cannot_be_is_refused_by_name(words, name):
    """The refusal names the input that cannot be used."""
    assert refusal("backup-life", *words).input == name


def reads(name: str, reads: str, window: Window, kind=VOLTS) -> Target:
    """Make up a target."""
    return Target(name=name, at="across the part", reads=reads, kind=kind, windows=(window,))


@pytest.mark.parametrize(
    ("calculator", "where", "filled"),
    [
        (
            "reservoir-ripple",
            Part("C1", "reservoir capacitor", value="4700 uF"),
            {"capacitance": "4700 uF"},
        ),
        (
            "reservoir-ripple",
            reads("ripple on the unregulated rail", "peak-to-peak", Window(0, 2, "0 .. 2 V")),
            {"wanted_ripple": "2 V"},
        ),
        ("reservoir-ripple", Part("C1", "reservoir capacitor", value="as marked"), None),
        (
            "hum-frequency",
            reads("ripple frequency", "hertz", Window(98, 122, "98 .. 122 Hz"), HERTZ),
            {"mains": "auto"},
        ),
        (
            "stored-energy",
            Part("C2", "electrolytic capacitor", value="220 uF", volts="400 V"),
            {"capacitance": "220 uF", "voltage": "400 V"},
        ),
        (
            "discharge",
            Part("C2", "electrolytic capacitor", value="220 uF", volts="400 V"),
            {"capacitance": "220 uF", "start": "400 V"},
        ),
        ("stored-energy", Part("C3", "electrolytic capacitor", value="10 uF", volts="16 V"), None),
        ("stored-energy", Part("C4", "capacitor", value="10 uF or 22 uF", volts="400 V"), None),
        ("backup-life", Part("BT1", "coin cell", value="3 V, 220 mAh"), {"capacity": "220 mAh"}),
        (
            "backup-life",
            reads("drain from the cell", "dc-amps", Window(0, 10e-6, "0 .. 10 uA"), AMPS),
            {"drain": "10 uA"},
        ),
        ("backup-life", Part("F1", "fuse", value="T 2 A"), None),
    ],
)
def test_write_ups_fill_in_what_they_state(calculator, where, filled):
    """A part or target gives texts that the calculator reads, or nothing."""
    fits = CALCULATORS[calculator].fits(where, ENTRY)
    assert fits == filled
    for name, text in (fits or {}).items():
        given_input = CALCULATORS[calculator].input(name)
        assert assign(CALCULATORS[calculator], [f"{name}={text}"]) == {given_input.name: [text]}
