"""The plugin `metering`: what its check values cannot say."""

from __future__ import annotations

import math

import pytest
from fixbook_plugins import metering
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.api import CELSIUS, OHMS, Calculator, Entry, Part, Result, Target, Window, guarded
from fixbook.core.calculation import run
from fixbook.errors import CalculationError

CALCULATORS = {one.name: one for one in metering.fixbook_calculators()}
ENTRY = Entry(id="some-fault", kind="fault", title="Some fault", unit="linear-supply")
NUMBERS = st.floats(-1e6, 1e6)
SMALL = st.floats(1e-3, 1e3)


def ask(name: str, **typed: str | list[str]) -> Result:
    """Run a calculator on texts, as typed."""
    calculator: Calculator = CALCULATORS[name]
    texts = {key: [text] if isinstance(text, str) else text for key, text in typed.items()}
    return run(calculator, texts)


def target(*windows: tuple[float | None, float | None], kind: object = OHMS) -> Target:
    """Make up a target with these windows."""
    made = tuple(Window(low, high, "as typed") for low, high in windows)
    return Target("bias", "across R5", "ohms", kind, made)  # type: ignore[arg-type]


@given(limit=NUMBERS, uncertainty=SMALL)
def test_conformance_is_one_half_at_a_lone_limit(limit: float, uncertainty: float) -> None:
    """A reading on the only limit is as likely good as bad."""
    low = guarded(limit, limit, None, uncertainty)
    high = guarded(limit, None, limit, uncertainty)
    assert (low.conformance, high.conformance) == (0.5, 0.5)


@given(
    reading=NUMBERS, low=NUMBERS, width=SMALL, uncertainty=SMALL, more_low=SMALL, more_high=SMALL
)
def test_widening_a_limit_never_turns_pass_into_fail(
    reading: float,
    low: float,
    width: float,
    uncertainty: float,
    more_low: float,
    more_high: float,
) -> None:
    """What passes a window passes every wider one."""
    before = guarded(reading, low, low + width, uncertainty)
    after = guarded(reading, low - more_low, low + width + more_high, uncertainty)
    assert before.verdict != "pass" or after.verdict == "pass"


@given(reading=NUMBERS, low=NUMBERS, width=SMALL, uncertainty=SMALL)
def test_simple_acceptance_always_decides(
    reading: float, low: float, width: float, uncertainty: float
) -> None:
    """With no guard band a reading is inside or outside."""
    found = guarded(reading, low, low + width, uncertainty, guard=0)
    assert found.verdict == ("pass" if low <= reading <= low + width else "fail")


@given(reading=NUMBERS, low=NUMBERS, width=SMALL, uncertainty=SMALL)
def test_accepting_needs_at_least_an_even_chance(
    reading: float, low: float, width: float, uncertainty: float
) -> None:
    """A guarded pass is never less than 95 % probable."""
    found = guarded(reading, low, low + width, uncertainty)
    assert found.verdict != "pass" or found.conformance > 0.9544


@pytest.mark.parametrize("reading", ["0", "100", "150", "200", "250", "1000"])
def test_a_coarse_meter_never_decides(reading: str) -> None:
    """Where the guard bands fill the window every reading is undecided, and it is said why."""
    answer = ask(
        "limit-check", reading=reading, low="150", high="250", standard_uncertainty="40"
    ).answer
    assert (answer.verdict, answer.word) == ("cannot tell", None)
    assert "cannot judge this window" in answer.why


@pytest.mark.parametrize(
    ("reading", "said"),
    [("69", "below the low limit"), ("70", ""), ("330", ""), ("331", "above the high limit")],
)
def test_a_coarse_meter_says_what_is_outside_all_the_same(reading: str, said: str) -> None:
    """A reading outside by more than the guard band is told apart from one that may be inside."""
    answer = ask(
        "limit-check", reading=reading, low="150", high="250", standard_uncertainty="40"
    ).answer
    assert ("all the same" in answer.why, said in answer.why) == (bool(said), True)


def test_the_risk_at_the_acceptance_limit_is_two_point_three_per_cent() -> None:
    """The guard band of U leaves 2.28 % for each limit, and only at the acceptance limit itself."""
    at_limit = guarded(98, None, 100, 1).conformance
    further_in = guarded(97, None, 100, 1).conformance
    assert round(1 - at_limit, 4) == 0.0228
    assert 1 - further_in < 0.0014


def test_the_expanded_uncertainty_is_not_the_accuracy_limit() -> None:
    """Dividing by the root of three and doubling gives 1.155 times the limit."""
    answer = ask(
        "meter-interval", reading="10 V", percent="1", counts="0", resolution="1 mV"
    ).answer
    limit, expanded = answer["half_width"], answer["expanded_uncertainty"]
    assert isinstance(limit, float)
    assert expanded == pytest.approx(2 / math.sqrt(3) * limit)


def test_a_poor_range_is_pointed_out() -> None:
    """A limit of more than a tenth of the reading is said to be poor."""
    result = ask("meter-interval", reading="1.2", percent="0.8", counts="3", resolution="0.1")
    assert "meter is poor on this range" in result.assumptions


def test_a_temperature_has_its_uncertainty_in_kelvin() -> None:
    """A difference of two temperatures is no temperature."""
    answer = ask(
        "meter-interval", reading="25 C", percent="0.5", counts="2", resolution="0.1 C"
    ).answer
    units = {one.name: one.to_json()["unit"] for one in answer.values}
    assert (units["half_width"], units["low"]) == ("K", "degC")


def test_a_reading_of_zero_has_no_relative_limit() -> None:
    """Nothing is divided by zero, and the answer says why it is empty."""
    result = ask("meter-interval", reading="0 V", percent="1", counts="2", resolution="1 mV")
    relative = result.to_json()["answers"]["relative"]  # type: ignore[index]
    assert relative == {"value": None, "unit": None, "text": "none: the reading is zero"}


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ({"reading": "5", "standard_uncertainty": "1"}, "low"),
        ({"reading": "5", "low": "9", "high": "2", "standard_uncertainty": "1"}, "high"),
        ({"reading": "5", "low": "2", "standard_uncertainty": "0"}, "standard_uncertainty"),
        ({"reading": "5 V", "low": "2 ohm", "standard_uncertainty": "1 V"}, "low"),
        ({"reading": "5", "low": "2", "standard_uncertainty": "1", "coverage": "9"}, "coverage"),
    ],
    ids=["no limit", "swapped limits", "no uncertainty", "mixed units", "coverage"],
)
def test_what_cannot_be_checked_is_refused_by_name(typed: dict[str, str], name: str) -> None:
    """The error names the input that is wrong."""
    with pytest.raises(CalculationError) as caught:
        ask("limit-check", **typed)
    assert caught.value.input == name


@pytest.mark.parametrize(
    "components",
    [
        ["half_width=1 shape=repeats"],
        ["half_width=1 repeats=5"],
        ["half_width=-1"],
        ["half_width=1 V", "half_width=1"],
        ["half_width=1"] * 21,
        ["half_width=1 shape=round"],
    ],
    ids=["no count", "count without repeats", "negative", "mixed units", "too many", "no shape"],
)
def test_a_component_that_cannot_be_used_is_refused(components: list[str]) -> None:
    """The error names the input."""
    with pytest.raises(CalculationError) as caught:
        ask("uncertainty", components=components)
    assert caught.value.input in ("components", "half_width", "shape")


def test_shares_of_the_components_add_up_to_one() -> None:
    """Each component's share of the whole is of its square."""
    parts = ["half_width=3 name=meter", "half_width=1 shape=triangular", "half_width=0.2"]
    rows = ask("uncertainty", components=parts).answer["shares"]
    assert isinstance(rows, list)
    assert sum(row["share"] for row in rows) == pytest.approx(1)


def test_many_repeats_keep_the_coverage_factor() -> None:
    """From ten effective degrees of freedom on nothing is widened."""
    answer = ask("uncertainty", components=["half_width=1 shape=repeats repeats=11"]).answer
    assert answer["expanded"] == pytest.approx(2 / math.sqrt(11))
    assert not answer.notes


def test_nothing_uncertain_gives_zero() -> None:
    """A component of zero width is no division by zero."""
    answer = ask("uncertainty", components=["half_width=0"]).answer
    assert (answer["combined"], answer["degrees_of_freedom"]) == (0.0, None)


@settings(deadline=None, max_examples=30)
@given(repeats=st.integers(2, 10), coverage=st.floats(1, 3))
def test_the_student_factor_agrees_with_scipy(repeats: int, coverage: float) -> None:
    """A few repeats alone are widened by the factor of their degrees of freedom."""
    stats = pytest.importorskip("scipy.stats")
    factor = stats.t(repeats - 1).ppf(stats.norm.cdf(coverage))
    answer = ask(
        "uncertainty",
        components=[f"half_width=1 shape=repeats repeats={repeats}"],
        coverage=f"{coverage:.17f}",
    ).answer
    assert answer["expanded"] == pytest.approx(factor / math.sqrt(repeats), rel=1e-9)


@settings(deadline=None, max_examples=50)
@given(reading=st.floats(-50, 50), low=st.floats(-50, 0), width=st.floats(0.1, 50), spread=SMALL)
def test_conformance_agrees_with_scipy(
    reading: float, low: float, width: float, spread: float
) -> None:
    """The probability within the limits is that of the normal distribution."""
    norm = pytest.importorskip("scipy.stats").norm
    found = guarded(reading, low, low + width, spread).conformance
    exact = norm.cdf(low + width, reading, spread) - norm.cdf(low, reading, spread)
    assert found == pytest.approx(exact, abs=1e-12)


def test_a_function_of_readings_agrees_with_uncertainties() -> None:
    """Power from voltage and resistance, with the sensitivities typed in."""
    ufloat = pytest.importorskip("uncertainties").ufloat
    power = ufloat(12, 0.05) ** 2 / ufloat(100, 1)
    parts = [
        "half_width=0.05 shape=normal-k coverage=1 sensitivity=0.24",
        "half_width=1 shape=normal-k coverage=1 sensitivity=-0.0144",
    ]
    assert ask("uncertainty", components=parts).answer["combined"] == pytest.approx(power.s)


def test_a_target_fills_in_its_limits() -> None:
    """A window gives both limits in its unit, and one without an end gives one."""
    fits = CALCULATORS["limit-check"].fits
    assert fits is not None
    assert fits(target((450.0, 600.0)), ENTRY) == {"low": "450 ohm", "high": "600 ohm"}
    assert fits(target((None, 70.0), kind=CELSIUS), ENTRY) == {"high": "70 degC"}


def test_what_is_filled_in_is_accepted() -> None:
    """With a reading and its uncertainty the filled-in limits give a verdict."""
    fits = CALCULATORS["limit-check"].fits
    assert fits is not None
    filled = fits(target((1e-5, 0.1)), ENTRY) or {}
    result = ask("limit-check", reading="50 mohm", standard_uncertainty="1 mohm", **filled)
    assert result.answer.verdict == "pass"


@pytest.mark.parametrize(
    "where",
    [target((1.0, 2.0), (1.5, 3.0)), Part(at="R5", is_="resistor", value="1 kohm")],
    ids=["two windows", "a part"],
)
def test_nothing_is_filled_in_where_it_does_not_fit(where: Target | Part) -> None:
    """Windows that people disagree about, and parts, have no single pair of limits."""
    fits = CALCULATORS["limit-check"].fits
    assert fits is not None
    assert fits(where, ENTRY) is None
