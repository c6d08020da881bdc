"""The plugin `power`: what its check values cannot say."""

from __future__ import annotations

import math

import fixbook_plugins.power
import pytest
from fixbook_plugins.power._marking import BREAKING, CHARACTERISTICS, read_marking
from hypothesis import given
from hypothesis import strategies as st

from fixbook.core.calculation import Result, assign, run
from fixbook.core.entry import Entry, Part
from fixbook.core.quantity import Tolerance
from fixbook.errors import CalculationError

CALCULATORS = {one.name: one for one in fixbook_plugins.power.fixbook_calculators()}
ENTRY = Entry(id="made-up", kind="fault", title="Made up", unit="linear-supply")
sizes = st.floats(1e-6, 1e9)
FOUR = ("voltage", "current", "resistance", "power")
PAIRS = [(one, other) for at, one in enumerate(FOUR) for other in FOUR[at + 1 :]]


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


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_any_two_of_four_give_the_same_four(pair):
    """12 V, 0.12 A, 100 ohm and 1.44 W come out of any two of them."""
    whole = {"voltage": 12.0, "current": 0.12, "resistance": 100.0, "power": 1.44}
    answer = call("ohms-law", **{name: whole[name] for name in pair})
    assert {name: answer[name] for name in FOUR} == pytest.approx(whole)


@given(pair=st.sampled_from(PAIRS), one=sizes, other=sizes)
def test_ohms_law_holds_for_any_two(pair, one, other):
    """Whatever two are given, V = I R and P = V I hold in the answer."""
    answer = call("ohms-law", **{pair[0]: one, pair[1]: other})
    assert answer["voltage"] == pytest.approx(answer["current"] * answer["resistance"], rel=1e-9)
    assert answer["power"] == pytest.approx(answer["voltage"] * answer["current"], rel=1e-9)


@given(power=st.floats(1e-6, 30), derating=st.floats(0.1, 1), temperature=st.floats(-20, 150))
def test_standard_rating_is_never_below_the_rating_needed(power, derating, temperature):
    """The part named stands the power at that temperature; above 20 W none is named."""
    answer = call(
        "ohms-law",
        power=power,
        resistance=100.0,
        derating=derating,
        temperature=temperature,
    )
    chosen = answer["standard_rating"] or math.inf
    assert chosen >= answer["rating"] * (1 - 1e-8)


def test_film_resistor_above_its_own_voltage_is_pointed_out():
    """1 Mohm at 0.25 W is 500 V by power, but 250 V by the film."""
    notes = calculate("ohms-law", "resistance=1M", "power=0.25 W").answer.notes
    assert any("500 V is more than the 250 V" in note for note in notes)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "nothing was given"),
        (("current=1 A",), "current alone was given"),
        (("1 V", "1 A", "1 ohm"), "voltage, current, resistance were given"),
    ],
)
def test_ohms_law_asks_for_two_of_four(words, said):
    """The refusal lists the four and says what was given."""
    found = str(refusal("ohms-law", *words))
    assert found == f"give two of voltage, current, resistance, power; {said}"


def test_resistor_hotter_than_its_limit_is_refused():
    """At its limit temperature no rating is large enough."""
    words = ("12 V", "resistance=100", "temperature=150 C", "limit_temperature=150 C")
    assert refusal("ohms-law", *words).input == "temperature"


@given(values=st.lists(st.floats(1e-3, 1e9), min_size=2, max_size=20))
def test_network_of_resistors_lies_beyond_its_extremes(values):
    """In series more than the largest, in parallel less than the smallest."""
    texts = tuple(repr(one) for one in values)
    assert call("network", values=texts, topology="series")["total"] >= max(values)
    assert call("network", values=texts, topology="parallel")["total"] <= min(values)


@given(values=st.lists(st.integers(1, 10**6), min_size=2, max_size=20))
def test_capacitors_combine_the_other_way_round(values):
    """In parallel, n picofarads make what n ohms make in series."""
    ohms = call("network", values=tuple(f"{one} ohm" for one in values), topology="series")
    farads = call(
        "network", values=tuple(f"{one} pF" for one in values), kind="C", topology="parallel"
    )
    assert farads["total"] == pytest.approx(ohms["total"] * 1e-12)


def test_network_agrees_with_the_harmonic_mean_of_a_library():
    """Three in parallel are a third of their harmonic mean."""
    stats = pytest.importorskip("scipy.stats")
    answer = calculate("network", "100 ohm; 220 ohm; 470 ohm", "top=parallel").answer
    assert answer["total"] == pytest.approx(stats.hmean([100, 220, 470]) / 3, rel=1e-12)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("100 ohm", "topology=series"), "values"),
        (("100 ohm; 0 ohm", "topology=series"), "values"),
        (("100 ohm; 16 V", "topology=series"), "values"),
        (("104; 104", "C", "topology=series"), "values"),
        (("10 uF; 22 uF", "topology=series"), "kind"),
        (("100 ohm; 220 ohm", "topology=star"), "topology"),
        (("100 ohm; 220 ohm",), "topology"),
    ],
)
def test_network_that_cannot_be_is_refused_by_name(words, name):
    """The refusal names the input that cannot be used."""
    assert refusal("network", *words).input == name


@given(
    supply=st.floats(-1000, 1000),
    upper=sizes,
    lower=sizes,
    minus=st.floats(0, 0.99),
    plus=st.floats(0, 5),
)
def test_divider_band_holds_the_output(supply, upper, lower, minus, plus):
    """The output without tolerance lies within the band, for either sign of the supply."""
    answer = call(
        "divider", supply=supply, upper=upper, lower=lower, tolerance=Tolerance(minus, plus)
    )
    slack = abs(supply) * 1e-12
    assert answer["low"] - slack <= answer["output"] <= answer["high"] + slack


def test_divider_tolerance_agrees_with_a_library_to_first_order():
    """A small tolerance moves the output as the derivatives of the uncertainties package say."""
    uncertainties = pytest.importorskip("uncertainties")
    upper, lower = uncertainties.ufloat(3300, 3.3), uncertainties.ufloat(1000, 1)
    output = 12 * lower / (upper + lower)
    worst = sum(abs(part) for part in output.error_components().values())
    answer = calculate("divider", "12 V", "3.3k", "1k", "tol=0.1 %").answer
    assert answer["high"] - answer["output"] == pytest.approx(worst, rel=1e-3)


def test_divider_with_a_load_gives_the_band_of_the_loaded_output():
    """The band is that of the voltage that is really there."""
    answer = calculate("divider", "5 V", "10k", "10k", "10k", "1 %").answer
    assert answer["low"] < answer["loaded"] < answer["high"] < answer["output"]


@given(
    supply=st.floats(1, 60),
    forward=st.floats(1, 4),
    count=st.integers(1, 20),
    current=st.floats(1e-4, 1),
)
def test_led_current_is_never_above_the_wanted_one(supply, forward, count, current):
    """The next higher value lowers the current, or too little voltage is left and it is refused."""
    left = supply - count * forward
    try:
        answer = call("led-resistor", supply=supply, forward=forward, count=count, current=current)
    except CalculationError as refused:
        assert (refused.input, left < 0.1001 * supply) == ("supply", True)
        return
    assert current / 1.2500001 <= answer["current"] <= current * (1 + 1e-8)


@given(wanted=st.floats(59, 5.9e5))
def test_led_resistor_is_the_next_higher_value_of_a_library(wanted):
    """The chosen value is what the eseries package finds at or above."""
    eseries = pytest.importorskip("eseries")
    answer = call("led-resistor", supply=60.0, forward=1.0, current=59.0 / wanted)
    expected = eseries.find_greater_than_or_equal(eseries.E12, answer["exact"] * (1 - 1e-9))
    assert answer["chosen"] == pytest.approx(expected)


def test_led_chain_without_voltage_for_the_resistor_is_refused():
    """Three of 3.1 V leave 0.7 of 10 V."""
    found = refusal("led-resistor", "10 V", "3.1 V", "3")
    assert "the current will not be defined" in str(found)


@given(voltage=st.floats(1e-3, 1000), circuit=st.floats(1e-3, 1e9), burden=st.floats(0, 100))
def test_reading_mended_by_the_burden_is_the_undisturbed_current(voltage, circuit, burden):
    """reading (R + Rb)/R is V/R again."""
    answer = call("shunt", voltage=voltage, circuit_resistance=circuit, burden=burden)
    mended = answer["shown_current"] * (circuit + burden) / circuit
    assert mended == pytest.approx(voltage / circuit, rel=1e-12)
    assert answer["error"] == pytest.approx(-burden / (circuit + burden), abs=1e-15)


def test_shunt_below_a_tenth_of_an_ohm_asks_for_four_wires():
    """The joints of a 10 mohm shunt would be measured too."""
    notes = calculate("shunt", "10 A", "0.01 ohm").answer.notes
    assert any("four wires" in note for note in notes)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ((), "current"),
        (("current=1 A",), "resistance"),
        (("current=0 A", "voltage=75 mV"), "current"),
        (("current=1 A", "resistance=1 ohm", "burden=1 ohm"), "burden"),
        (("current=1 A", "resistance=1 ohm", "voltage=1 V"), "voltage"),
        (("voltage=5 V", "burden=1 ohm"), "circuit_resistance"),
        (("resistance=1 ohm", "burden=1 ohm"), "current"),
    ],
)
def test_shunt_that_cannot_be_is_refused_by_name(words, name):
    """The refusal names the input that is missing or too much."""
    assert refusal("shunt", *words).input == name


@given(current=st.floats(0, 500), length=st.floats(0, 1000), area=st.floats(1e-9, 1e-3))
def test_wire_loses_power_as_current_times_drop(current, length, area):
    """Power is the drop times the current for any wire."""
    answer = call("wire-drop", current=current, length=length, area=area)
    assert answer["power"] == pytest.approx(answer["drop"] * current)


@pytest.mark.parametrize("area", ["0.5", "0.75", "1.0", "1.5", "2.5", "4", "6"])
def test_wire_table_is_above_copper_alone_by_some_per_cent(area):
    """A maximum of the standard is never below what the copper itself has."""
    table, copper = (
        calculate("wire-drop", "1 A", "1 m", f"{area} mm2", f"class={one}").answer["drop"]
        for one in ("5", "none")
    )
    assert 1.0 < table / copper < 1.16


def test_wire_gauge_says_its_thickness_and_area():
    """Gauge 22 is 0.6438 mm thick and has 0.32553 mm2."""
    notes = calculate("wire-drop", "1 A", "1 m", "gauge=22").answer.notes
    assert any("0.6438 mm thick, 0.32553 mm2" in note for note in notes)


def test_wire_that_would_lose_more_than_the_supply_is_pointed_out():
    """So much current cannot flow, and the answer says so."""
    notes = calculate("wire-drop", "10 A", "100 m", "0.5 mm2", "supply=12 V").answer.notes
    assert any("cannot flow" in note for note in notes)


def test_wire_is_given_by_area_or_gauge():
    """Both at once are refused."""
    assert refusal("wire-drop", "1 A", "1 m", "0.5 mm2", "22").input == "gauge"


@given(
    characteristic=st.sampled_from(CHARACTERISTICS),
    amps=st.sampled_from([0.5, 1, 1.6, 2, 3.15, 6.3]),
    breaking=st.sampled_from(BREAKING),
    volts=st.sampled_from([125, 250]),
    order=st.permutations(range(4)),
    apart=st.booleans(),
)
def test_fuse_marking_is_read_in_any_order(characteristic, amps, breaking, volts, order, apart):
    """Parts of a marking, apart in any order or run together as stamped, mean the same."""
    parts = [characteristic, f"{amps:g}A", breaking, f"{volts}V"]
    text = " ".join(parts[at] for at in order) if apart else "".join(parts)
    found = read_marking(text, "original")
    assert (found.characteristic, found.amps, found.breaking, found.volts) == (
        characteristic,
        amps,
        breaking,
        volts,
    )


@given(text=st.text(max_size=60))
def test_fuse_marking_is_read_or_refused_by_name(text):
    """Nothing typed as a marking ends in anything but a reading or a refusal."""
    try:
        assert 1e-3 <= read_marking(text, "offered").amps <= 1000
    except CalculationError as refused:
        assert refused.input == "offered"


@pytest.mark.parametrize(
    ("offered", "verdict", "said"),
    [
        ("T 1 A H 250 V", "pass", "both IEC"),
        ("T 1.25 A H 250 V", "fail", "never a higher rating"),
        ("T 0.8 A H 250 V", "fail", "it would blow at the normal current"),
        ("TT 1 A H 250 V", "fail", "slower"),
        ("F 1 A H 250 V", "fail", "nuisance blowing"),
        ("T 1 A L 250 V", "fail", "lower"),
        ("T 1 A H 125 V", "fail", "an arc may not go out"),
        ("T 1 A 250 V", "cannot tell", "the offered one does not state it"),
        ("UL 248-14 1 A 250 V", "marginal", "ratings are not interchangeable"),
        ("UL 248-14 1.5 A 250 V", "fail", "never a higher rating"),
    ],
)
def test_fuse_is_held_against_the_original(offered, verdict, said):
    """Only like for like passes; every verdict says which rule decided it."""
    answer = calculate("fuse", "T 1 A H 250 V", offered).answer
    assert (answer.verdict, said in answer.why) == (verdict, True)


@given(
    first=st.sampled_from(["T 1 A L 250 V", "UL 248-14 1 A 250 V"]),
    amps=st.sampled_from([0.5, 1, 1.25, 2]),
)
def test_fuse_of_another_standard_never_passes(first, amps):
    """The same number on a part of the other standard means something else."""
    other = f"UL {amps} A 250 V" if first.startswith("T") else f"T {amps} A H 250 V"
    assert calculate("fuse", first, other).answer.verdict in ("marginal", "fail")


def test_three_quarters_of_a_rating_is_advice_for_one_standard_only():
    """2.1 A needs 2.8 A by UL 248-14 and 2.1 A by IEC 60127-2."""
    rows = calculate("fuse", "load=2.1 A").answer["rows"]
    assert [row["needed"] for row in rows] == pytest.approx([2.8, 2.1])


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ((), "original"),
        (("offered=T 1 A",), "original"),
        (("original=T 250 V",), "original"),
        (("original=T 1 A", "offered=1 A 2 A"), "offered"),
        (("original=T F 1 A",), "original"),
    ],
)
def test_fuse_marking_that_cannot_be_is_refused_by_name(words, name):
    """The refusal names the marking that cannot be read, and how to write one."""
    assert refusal("fuse", *words).input == name


@given(lamp=st.floats(5, 500), mains=st.floats(90, 260), load=st.floats(1e-2, 1e6))
def test_lamp_never_lets_more_than_a_quarter_into_a_constant_load(lamp, mains, load):
    """The wattage of the lamp is not the power that it lets through."""
    answer = call("lamp-limiter", lamp=lamp, mains=mains)
    power = (mains / (answer["hot_resistance"] + load)) ** 2 * load
    assert power <= answer["power_through"] * (1 + 1e-9)
    assert answer["power_through"] == pytest.approx(lamp / 4)


def test_lamp_cautions_that_it_does_not_isolate():
    """The caution is among those that are always shown."""
    assert any("does not isolate" in one for one in calculate("lamp-limiter").cautions)


@pytest.mark.parametrize(
    ("calculator", "where", "filled"),
    [
        ("ohms-law", Part("R1", "resistor, wire-wound", value="0.22 ohm, 5 W"),
         {"resistance": "0.22 ohm"}),
        ("ohms-law", Part("R1", "fusible resistor", value="4k7"), {"resistance": "4k7"}),
        ("ohms-law", Part("R1", "resistor", value="as marked, commonly 47 kohm to 220 kohm"), None),
        ("ohms-law", Part("R1", "resistor", value="as marked, often below 1 ohm"), None),
        ("shunt", Part("R2", "current-sense resistor", value="10 mohm"),
         {"resistance": "10 mohm"}),
        ("shunt", Part("R2", "resistor", value="10 mohm"), None),
        ("wire-drop", Part("W1", "stranded wire", value="0.75 mm2"), {"area": "0.75 mm2"}),
        ("wire-drop", Part("W1", "wire-wound resistor", value="0.75 mm2"), None),
        ("fuse", Part("F1", "mains fuse", value="T 2 A H 250 V"), {"original": "T 2 A H 250 V"}),
        ("fuse", Part("F1", "mains fuse", value="as printed beside the holder"), None),
    ],
)  # fmt: skip
def test_write_ups_fill_in_what_they_state(calculator, where, filled):
    """A part gives texts that the calculator reads, or nothing."""
    assert CALCULATORS[calculator].fits(where, ENTRY) == filled
