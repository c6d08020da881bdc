"""The plugin `thermal`: what its check values cannot say."""

from __future__ import annotations

import math

import fixbook_plugins.thermal
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fixbook.core.calculation import Result, assign, run
from fixbook.core.entry import Entry, Part, Target, Window
from fixbook.core.quantity import OHMS, VOLTS
from fixbook.errors import CalculationError

CALCULATORS = {one.name: one for one in fixbook_plugins.thermal.fixbook_calculators()}
ENTRY = Entry(id="made-up", kind="fault", title="Made up", unit="linear-supply")
rth = st.floats(0, 200)


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
    share=st.floats(0.001, 0.95),
    ambient=st.floats(-20, 65),
    junction_case=rth,
    case_sink=rth,
    limit=st.floats(70, 200),
)
def test_heatsink_needed_brings_the_junction_to_its_limit(
    share, ambient, junction_case, case_sink, limit
):
    """What one calculator asks for, the other finds to be just enough.

    The part and its washer alone take a share of the rise, so that some heatsink will do.
    """
    chain = {"junction_case": junction_case, "case_sink": case_sink}
    power = share * (limit - ambient) / (junction_case + case_sink + 0.1)
    needed = call("heatsink", power=power, ambient=ambient, limit=limit, **chain)["sink_air"]
    answer = call("junction", power=power, ambient=ambient, limit=limit, sink_air=needed, **chain)
    assert answer["junction"] == pytest.approx(limit)


def test_heatsink_that_cannot_exist_says_so():
    """Where the part alone is too hot, the answer is that no heatsink does it."""
    answer = calculate("heatsink", "50 W", "junction_case=5", "case_sink=1").answer
    assert answer.values[0].shown() == "impossible: no heatsink is good enough"
    assert "340 degC" in answer.notes[0]


@given(power=st.floats(0, 500), more=st.floats(0, 500), junction_air=rth)
def test_junction_verdict_never_grows_milder_with_power(power, more, junction_air):
    """More heat never turns a fail into a pass."""
    order = ["pass", "marginal", "fail"]
    cold, hot = (
        call("junction", power=one, junction_air=junction_air).verdict
        for one in (power, power + more)
    )
    assert order.index(cold) <= order.index(hot)


def test_junction_verdict_says_target_limit_and_resistance():
    """The sentence holds the numbers that decided it."""
    answer = calculate("junction", "8 W", "45 C", "1.5", "1", "6").answer
    assert answer.why == "113 degC: target 110 degC, limit 125 degC, with 8.5 K/W in all"


def test_junction_target_above_the_limit_is_lowered_and_said():
    """A part with a limit of 100 degC does not pass at 105 degC."""
    result = calculate("junction", "1 W", "40 C", "junction_air=65", "limit=100 C")
    assert result.answer.verdict == "fail"
    assert "target lowered to the limit of 100 degC" in result.assumptions


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("5 W",), "junction_air"),
        (("5 W", "junction_case=3", "sink_air=10"), "case_sink"),
        (("5 W", "junction_case=3", "junction_air=60"), "junction_air"),
        (("-5 W", "junction_air=60"), "power"),
        (("5 W", "ambient=200 C", "junction_air=60"), "ambient"),
    ],
)
def test_junction_that_cannot_be_is_refused_by_name(words, name):
    """The refusal names the input that is missing or too much."""
    assert refusal("junction", *words).input == name


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("5 V", "output=5 V", "current=1 A"), "input_high"),
        (("9 V", "10 V", "5 V", "1 A"), "input_valley"),
        (("9 V", "8 V", "5 V", "-1 A"), "current"),
        (("9 V", "8 V", "5 V"), "current"),
    ],
)
def test_regulator_that_cannot_be_is_refused_by_name(words, name):
    """The refusal names the input that cannot be used."""
    assert refusal("regulator-heat", *words).input == name


def test_regulator_without_a_valley_has_no_verdict_on_its_headroom():
    """A headroom is judged at the valley of the ripple alone, never at the highest input."""
    answer = calculate("regulator-heat", "12 V", "output=5 V", "current=0.5 A").answer
    assert (answer.verdict, answer["headroom"]) == (None, None)


def test_regulator_that_drops_out_says_by_how_much():
    """The sentence holds what is left and what is needed."""
    answer = calculate("regulator-heat", "9 V", "6.5 V", "5 V", "0.5 A").answer
    assert answer.why.startswith("1.5 V left at the valley, 2 V needed")


@given(temperature=st.floats(-200, 850), nominal=st.floats(10, 2000))
def test_platinum_inverse_returns_the_temperature(temperature, nominal):
    """There and back within a millionth of a kelvin, over the whole range."""
    ohms = call("platinum-sensor", temperature=temperature, nominal=nominal)["resistance"]
    back = call("platinum-sensor", resistance=ohms, nominal=nominal)["temperature"]
    assert back == pytest.approx(temperature, abs=1e-6)


@given(low=st.floats(-200, 849), step=st.floats(0.01, 1))
def test_platinum_resistance_rises_with_temperature(low, step):
    """A hotter sensor always reads more."""
    cold, hot = (
        call("platinum-sensor", temperature=one)["resistance"] for one in (low, low + step)
    )
    assert cold < hot


def test_misprinted_table_point_is_not_ours():
    """One public copy of the table prints 35.34 ohm at -160 degC; the polynomial says 35.54."""
    answer = calculate("platinum-sensor", "temperature=-160 C").answer
    assert answer["resistance"] == pytest.approx(35.54, abs=0.005)


def test_platinum_table_end_is_read_as_rounded():
    """18.52 ohm is what the table prints at -200 degC, a hair below the polynomial."""
    answer = calculate("platinum-sensor", "18.52 ohm").answer
    assert answer["temperature"] == pytest.approx(-200, abs=0.01)


@pytest.mark.parametrize(
    ("name", "words", "input_name"),
    [
        ("platinum-sensor", (), "resistance"),
        ("platinum-sensor", ("100 ohm", "25 C"), "temperature"),
        ("platinum-sensor", ("18.4 ohm",), "resistance"),
        ("platinum-sensor", ("391 ohm",), "resistance"),
        ("platinum-sensor", ("temperature=900 C",), "temperature"),
        ("ntc", (), "resistance"),
        ("ntc", ("1 ohm",), "resistance"),
        ("ntc", ("20 kohm", "50 C"), "resistance"),
        ("ntc", ("10 kohm", "25 C"), "temperature"),
        ("ntc", ("10 kohm", "beta=100 K"), "beta"),
    ],
)
def test_sensor_that_cannot_be_is_refused_by_name(name, words, input_name):
    """The refusal names the input that cannot be used."""
    assert refusal(name, *words).input == input_name


@given(
    temperature=st.floats(-80, 300),
    nominal=st.floats(100, 1e6),
    beta=st.floats(1500, 6000),
)
def test_thermistor_inverse_returns_the_temperature(temperature, nominal, beta):
    """There and back within a millionth of a kelvin."""
    values = {"nominal": nominal, "beta": beta}
    ohms = call("ntc", temperature=temperature, **values)["resistance"]
    assume(1e-3 <= ohms <= 1e9)
    assert call("ntc", resistance=ohms, **values)["temperature"] == pytest.approx(
        temperature, abs=1e-6
    )


@given(beta=st.floats(1500, 6000), temperature=st.floats(30, 300))
def test_beta_of_two_points_is_the_beta_that_made_them(beta, temperature):
    """A point computed with a beta gives that beta back."""
    ohms = call("ntc", temperature=temperature, beta=beta)["resistance"]
    found = call("ntc", resistance=ohms, temperature=temperature)["beta"]
    assert found == pytest.approx(beta, rel=1e-9)


def test_thermistor_works_in_kelvin_of_a_library():
    """With degrees Celsius in the formula 0 degC would have no answer at all."""
    constants = pytest.importorskip("scipy.constants")
    kelvin = constants.convert_temperature([0, 25], "Celsius", "Kelvin")
    expected = 10e3 * math.exp(3950 * (1 / kelvin[0] - 1 / kelvin[1]))
    answer = calculate("ntc", "temperature=0 C").answer
    assert answer["resistance"] == pytest.approx(expected, rel=1e-12)


def test_thermistor_far_from_its_nominal_point_says_that_beta_is_rough():
    """Beta is good to about 1 K over 50 K only."""
    notes = calculate("ntc", "temperature=85 C").answer.notes
    assert any("over 50 K only" in note for note in notes)


def target(name: str, reads: str, window: Window, kind=VOLTS) -> Target:
    """Make up a target."""
    return Target(name=name, at="at the part", reads=reads, kind=kind, windows=(window,))


@pytest.mark.parametrize(
    ("calculator", "where", "filled"),
    [
        (
            "regulator-heat",
            target("headroom across the regulator", "dc", Window(2, 8, "2 .. 8 V")),
            {"dropout": "2 V"},
        ),
        ("regulator-heat", target("output", "dc", Window(4.75, 5.25, "4.75 .. 5.25 V")), None),
        (
            "platinum-sensor",
            target("resistance of the Pt100 tip", "ohms", Window(105, 112, ""), OHMS),
            {"nominal": "100 ohm"},
        ),
        ("platinum-sensor", Part("S1", "platinum sensor", "Pt 1000"), {"nominal": "1000 ohm"}),
        ("ntc", Part("TH1", "NTC thermistor", "10 kohm at 25 degC"), {"nominal": "10 kohm"}),
        ("ntc", Part("TH1", "positive-temperature thermistor", "10 kohm"), None),
        ("ntc", Part("TH2", "inrush-limiting thermistor", "5 ohm"), None),
    ],
)
def test_write_ups_fill_in_what_they_state(calculator, where, filled):
    """A part or target gives texts that the calculator reads, or nothing."""
    assert CALCULATORS[calculator].fits(where, ENTRY) == filled
