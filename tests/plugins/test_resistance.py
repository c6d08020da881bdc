"""The plugin `resistance`: what its check values cannot say."""

from __future__ import annotations

import math
from itertools import combinations_with_replacement, pairwise

import pytest
from fixbook_plugins import resistance
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fixbook.api import FARADS, OHMS, Entry, Part, Result, Target, Window
from fixbook.core.calculation import run
from fixbook.errors import CalculationError

CALCULATORS = {one.name: one for one in resistance.fixbook_calculators()}
ENTRY = Entry(id="some-fault", kind="fault", title="Some fault", unit="optical-player")
SERIES = ("E3", "E6", "E12", "E24", "E48", "E96", "E192")
calm = settings(deadline=None, max_examples=60)


def ask(name: str, **typed: str) -> Result:
    """Run a calculator on texts, as typed."""
    return run(CALCULATORS[name], {key: [text] for key, text in typed.items()})


def numbers(result: Result, name: str) -> list[float]:
    """Give an answer that is a list."""
    found = result.answer[name]
    assert isinstance(found, list)
    return found


def number(result: Result, name: str) -> float:
    """Give an answer that is a number."""
    found = result.answer[name]
    assert isinstance(found, float)
    return found


def trimmer(now: float, **more: str) -> Result:
    """Ask about a trimmer in the window 450 to 600 ohm, with an uncertainty of 5 ohm."""
    typed = {"window": "450 .. 600 ohm", "original": f"{now!r} ohm", "uncertainty": "5 ohm"}
    return ask("trimmer-steps", **(typed | more))


@calm
@given(now=st.floats(455, 595), mode=st.sampled_from(["to-goal", "explore-up", "explore-down"]))
def test_no_setting_leaves_the_window_once_inside(now: float, mode: str) -> None:
    """From inside, every setting is inside what the meter surely accepts."""
    targets = numbers(trimmer(now, mode=mode), "targets")
    assert all(455 - 1e-9 <= one <= 595 + 1e-9 for one in targets)


@calm
@given(now=st.floats(310, 740), goal=st.floats(455, 595))
def test_settings_come_closer_to_the_goal_and_end_on_it(now: float, goal: float) -> None:
    """Distances fall strictly, no step is above the largest, and the last one is the goal."""
    targets = numbers(trimmer(now, goal=f"{goal!r} ohm"), "targets")
    assume(targets)
    gaps = [abs(one - goal) for one in (now, *targets)]
    moves = [abs(b - a) for a, b in pairwise((now, *targets))]
    assert all(after < before for before, after in pairwise(gaps))
    assert max(moves) <= 50 * (1 + 1e-9)
    assert targets[-1] == goal


@calm
@given(away=st.floats(0, 200))
def test_the_plan_is_the_same_from_either_side(away: float) -> None:
    """A plan from above mirrors the one from below."""
    above = numbers(trimmer(525 + away), "targets")
    below = numbers(trimmer(525 - away), "targets")
    assert below == pytest.approx([1050 - one for one in above])


@calm
@given(now=st.floats(300, 750), mode=st.sampled_from(["explore-up", "explore-down"]))
def test_exploring_only_lists_accepted_settings(now: float, mode: str) -> None:
    """Wherever the trimmer stands, exploring stays in the window and goes one way."""
    targets = numbers(trimmer(now, mode=mode), "targets")
    ordered = sorted(targets, reverse=mode == "explore-down")
    assert targets == ordered
    assert all(455 <= one <= 595 for one in targets)


def test_the_original_reading_is_the_last_word() -> None:
    """The way back is the original reading, wherever the trimmer stands now."""
    result = trimmer(640, present="560 ohm")
    assert (result.answer["way_back"], result.answer.notes[-1]) == (
        640.0,
        "to go back: set 640 ohm",
    )


def test_there_is_no_plan_without_the_original_reading() -> None:
    """The original reading is asked for by name."""
    with pytest.raises(CalculationError) as caught:
        ask("trimmer-steps", window="450..600", present="500")
    assert caught.value.input == "original"


def test_far_outside_there_is_a_warning_instead_of_a_plan() -> None:
    """More than the window's width away something else is wrong."""
    answer = trimmer(1200).answer
    assert (answer["targets"], answer.verdict, answer.word) == ([], "fail", "high")
    assert "wrong board revision" in answer.why


def test_a_short_last_step_is_flagged() -> None:
    """A step below the smallest usual one is said to be short."""
    notes = trimmer(463, mode="explore-down").answer.notes
    assert "step shorter than usual: 8 ohm" in notes


def test_a_parallel_path_moves_the_window() -> None:
    """In circuit the window is that of the trimmer with the path across it, and it is said."""
    notes = ask("trimmer-steps", window="450..600", original="400", parallel="2000").answer.notes
    assert any("367.35 ohm .. 461.54 ohm in circuit" in note for note in notes)


def test_the_board_revision_stays_with_the_plan() -> None:
    """A window belongs to one revision, which is repeated."""
    assert "for board revision B2 alone" in trimmer(520, board_revision="B2").answer.notes


def test_the_bench_window_is_said_to_be_common_practice() -> None:
    """The step that nobody published is labelled, and lower means more laser light."""
    result = trimmer(520)
    assert "step taken as 25 ohm .. 50 ohm (common practice, no source)" in result.assumptions
    assert any("lower trimmer resistance means more laser" in one for one in result.cautions)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ({"window": "600..450"}, "window"),
        ({"goal": "598"}, "goal"),
        ({"step": "100..200"}, "step"),
        ({"step": "0.001..0.01"}, "step"),
        ({"parallel": "0.0001"}, "parallel"),
        ({"meter": "percent=1 resolution=0.1"}, "meter"),
        ({"original": "0"}, "original"),
    ],
    ids=["falling", "goal outside", "large step", "tiny step", "short", "two of one", "zero"],
)
def test_a_plan_that_cannot_be_made_names_the_input(typed: dict[str, str], name: str) -> None:
    """The error says which input is wrong."""
    given_ = {"window": "450..600", "original": "640", "uncertainty": "5"} | typed
    with pytest.raises(CalculationError) as caught:
        ask("trimmer-steps", **given_)
    assert caught.value.input == name


@calm
@given(part=st.floats(1, 1e6), path=st.floats(1, 1e6))
def test_the_path_is_taken_out_again(part: float, path: float) -> None:
    """Forward by the parallel law and back gives the part."""
    read = part * path / (part + path)
    assume(read < 0.9 * path)
    result = ask("parallel-path", reading=f"{read!r} ohm", parallel=f"{path!r} ohm")
    assert number(result, "resistance") == pytest.approx(part, rel=1e-12)


def test_a_low_reading_is_corrected_upwards() -> None:
    """Using the parallel formula once more would give 367 ohm."""
    assert number(ask("parallel-path", reading="450", parallel="2000"), "resistance") > 450


def test_a_correction_larger_than_the_measurement_is_warned_of() -> None:
    """Above four times the change of the reading a leg has to be lifted."""
    steep = ask("parallel-path", reading="1010", parallel="2000").answer.notes
    gentle = ask("parallel-path", reading="990", parallel="2000").answer.notes
    assert (len(steep), len(gentle)) == (1, 0)
    assert steep[0].startswith("lift one leg")


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ({"reading": "2000", "parallel": "2000"}, "parallel"),
        ({"reading": "4", "parallel": "2000", "leads": "4"}, "leads"),
        ({"reading": "4", "parallel": "2000", "leads": "6"}, "leads"),
        ({"reading": "0", "parallel": "2000"}, "reading"),
    ],
    ids=["as high as the path", "all leads", "long leads", "zero"],
)
def test_an_impossible_path_is_refused(typed: dict[str, str], name: str) -> None:
    """The error names the input."""
    with pytest.raises(CalculationError) as caught:
        ask("parallel-path", **typed)
    assert caught.value.input == name


def test_the_uncertainty_of_a_path_agrees_with_uncertainties() -> None:
    """Both sensitivities are those of automatic differentiation."""
    ufloat = pytest.importorskip("uncertainties").ufloat
    read, path = ufloat(450, 1.5), ufloat(2000, 57.735)
    part = read * path / (path - read)
    result = ask(
        "parallel-path",
        reading="450",
        parallel="2000",
        reading_uncertainty="1.5",
        parallel_uncertainty="57.735",
    )
    assert number(result, "uncertainty") == pytest.approx(part.s, rel=1e-9)


def decade(series: str) -> list[float]:
    """Give one decade of a series, from 100 on, by asking for each value and the next above."""
    found = [100.0]
    while found[-1] < 1000 * (1 - 1e-9):
        target = f"{found[-1]!r} ohm"
        found.append(number(ask("preferred-value", target=target, series=series), "upper"))
    return found[:-1]


@pytest.mark.parametrize("series", SERIES)
def test_the_tables_agree_with_eseries(series: str) -> None:
    """Every value of every series is that of an open value table."""
    eseries = pytest.importorskip("eseries")
    key = getattr(eseries, series)
    wanted = [float(one) for one in eseries.erange(key, 100, 990)]
    assert decade(series) == pytest.approx([one for one in wanted if one < 1000])


def test_the_rounding_rule_is_wrong_for_nine_values() -> None:
    """Eight values of E24 and one of E192 are not what rounding gives."""
    wrong_24 = [
        value
        for place, value in enumerate(decade("E24"))
        if value != 10 * round(10 ** (1 + place / 24))
    ]
    wrong_192 = [
        value
        for place, value in enumerate(decade("E192"))
        if value != round(100 * 10 ** (place / 192))
    ]
    assert wrong_24 == [270, 300, 330, 360, 390, 430, 470, 820]
    assert wrong_192 == [920]


def test_most_of_e24_is_not_in_e96() -> None:
    """Eighteen of the 24 values are missing, 47 among them."""
    missing = set(decade("E24")) - set(decade("E96"))
    assert (len(missing), 470.0 in missing) == (18, True)


@calm
@given(target=st.floats(1e-15, 1e12), series=st.sampled_from(SERIES))
def test_no_value_of_the_table_is_closer(target: float, series: str) -> None:
    """The nearest is one of its neighbours, and none of them is closer."""
    result = ask("preferred-value", target=repr(target), series=series)
    below, beyond = number(result, "lower"), number(result, "upper")
    nearest = numbers(result, "nearest")
    gap = abs(nearest[0] - target)
    assert below < target < beyond
    assert gap <= min(target - below, beyond - target) * (1 + 1e-8)


@pytest.mark.parametrize("series", SERIES)
def test_the_stated_worst_error_is_never_passed(series: str) -> None:
    """Halfway between the two values that lie furthest apart the error is as stated."""
    stated = {"E3": 0.375, "E6": 0.2, "E12": 0.112, "E24": 0.072, "E48": 0.026, "E96": 0.0149}
    values = [*decade(series), 1000.0]
    worst = max((high - low) / (high + low) for low, high in pairwise(values))
    assert worst <= stated.get(series, 0.0098)


@calm
@given(
    target=st.floats(10, 1e5),
    series=st.sampled_from(["E3", "E6"]),
    count=st.integers(1, 12),
    kind=st.sampled_from(["ohm", "uF"]),
)
def test_the_best_pairs_are_those_of_trying_all(
    target: float, series: str, count: int, kind: str
) -> None:
    """The list has the errors that all pairs of the pool have, best first."""
    result = ask("value-pair", target=f"{target!r} {kind}", series=series, count=str(count))
    rows = result.answer["pairs"]
    scale = 1.0 if kind == "ohm" else 1e-6
    low, high = target / 1000, target * 1000
    pool = [
        value * 10.0**power
        for power in range(-3, 9)
        for value in decade_of(series)
        if low * (1 - 1e-9) <= value * 10.0**power <= high * (1 + 1e-9)
    ]
    made = [
        result
        for a, b in combinations_with_replacement(pool, 2)
        for result in (a + b, a * b / (a + b))
    ]
    wanted = sorted(abs(one / target - 1) for one in made)[:count]
    assert isinstance(rows, list)
    assert [abs(row["error"]) for row in rows] == pytest.approx(wanted, abs=1e-9)
    assert all(row["result"] == pytest.approx(target * scale * (1 + row["error"])) for row in rows)


def decade_of(series: str) -> tuple[float, ...]:
    """Give a decade of a coarse series."""
    return {"E3": (1.0, 2.2, 4.7), "E6": (1.0, 1.5, 2.2, 3.3, 4.7, 6.8)}[series]


def test_capacitors_add_in_parallel() -> None:
    """For capacitors series and parallel change places, with a caution about sharing voltage."""
    result = ask("value-pair", target="1.1 uF", series="E6", topology="series")
    rows = result.answer["pairs"]
    assert isinstance(rows, list)
    assert (rows[0]["first"], rows[0]["second"]) == (2.2e-6, 2.2e-6)
    assert any("balancing" in one for one in result.cautions)


def test_a_pair_says_who_takes_the_power() -> None:
    """In series the larger resistor takes more; in parallel the smaller one."""
    rows = ask("value-pair", target="525 ohm").answer["pairs"]
    assert isinstance(rows, list)
    shares = {row["topology"]: row["first_share"] for row in rows[:2]}
    assert shares == pytest.approx({"parallel": 8200 / 8760, "series": 56 / 526})


def test_a_stock_list_takes_the_place_of_a_series() -> None:
    """Only what is in the drawer is used, and no tolerance is claimed for it."""
    rows = ask("value-pair", target="1 kohm", stock="470 ohm; 560 ohm; 330 ohm").answer["pairs"]
    assert isinstance(rows, list)
    assert (rows[0]["first"], rows[0]["second"], rows[0]["worst"]) == (470.0, 560.0, None)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ({"target": "16 V"}, "target"),
        ({"target": "3.5", "kind": "C"}, "target"),
        ({"target": "3.5 uF", "kind": "R"}, "target"),
        ({"target": "0"}, "target"),
        ({"target": "1 kohm", "stock": "1 kohm; 0 ohm"}, "stock"),
        ({"target": "1 kohm", "count": "51"}, "count"),
    ],
    ids=["a voltage", "bare farads", "wrong kind", "zero", "stock of zero", "too long a list"],
)
def test_a_pair_that_cannot_be_sought_names_the_input(typed: dict[str, str], name: str) -> None:
    """The error says which input is wrong."""
    with pytest.raises(CalculationError) as caught:
        ask("value-pair", **typed)
    assert caught.value.input == name


@calm
@given(
    nominal=st.floats(1, 1e6),
    other=st.floats(1, 1e6),
    topology=st.sampled_from(["series", "parallel"]),
)
def test_the_statistical_tolerance_is_never_wider_than_the_worst(
    nominal: float, other: float, topology: str
) -> None:
    """Independent errors seldom all add up."""
    result = ask(
        "tolerance-band",
        nominal=repr(nominal),
        tolerance="5 %",
        second=repr(other),
        second_tolerance="1 %",
        topology=topology,
    )
    assert number(result, "rss") <= number(result, "worst") * (1 + 1e-9)


@pytest.mark.parametrize("topology", ["series", "parallel"])
def test_two_parts_agree_with_uncertainties(topology: str) -> None:
    """The statistical tolerance is that of automatic error propagation."""
    ufloat = pytest.importorskip("uncertainties").ufloat
    one, other = ufloat(1000, 50), ufloat(220, 2.2)
    both = one + other if topology == "series" else one * other / (one + other)
    result = ask(
        "tolerance-band",
        nominal="1000",
        tolerance="5 %",
        second="220",
        second_tolerance="1 %",
        topology=topology,
    )
    assert number(result, "rss") == pytest.approx(both.s / both.n, rel=1e-9)


@pytest.mark.parametrize(
    ("measured", "verdict"), [("4.7k", "pass"), ("4.95k", "cannot tell"), ("5.2k", "fail")]
)
def test_a_measured_part_is_judged_with_a_guard_band(measured: str, verdict: str) -> None:
    """Near the end of the band the meter's own error decides nothing."""
    result = ask("tolerance-band", nominal="4.7k", tolerance="5 %", measured=measured)
    assert result.answer.verdict == verdict


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ({"nominal": "0"}, "nominal"),
        ({"nominal": "10", "topology": "series"}, "second"),
        ({"nominal": "10", "second": "20"}, "topology"),
        ({"nominal": "10", "second": "0", "topology": "series"}, "second"),
        ({"nominal": "10", "uncertainty": "1"}, "measured"),
        ({"nominal": "10", "tolerance": "0 %", "measured": "10"}, "tolerance"),
        ({"nominal": "10 ohm", "measured": "10 V"}, "measured"),
        ({"nominal": "10", "measured": "10", "uncertainty": "0"}, "uncertainty"),
    ],
    ids=[
        "zero",
        "no second",
        "no way",
        "second zero",
        "no reading",
        "no band",
        "units",
        "no doubt",
    ],
)
def test_a_band_that_cannot_be_given_names_the_input(typed: dict[str, str], name: str) -> None:
    """The error says which input is wrong."""
    with pytest.raises(CalculationError) as caught:
        ask("tolerance-band", **typed)
    assert caught.value.input == name


def test_a_trimmer_of_a_write_up_fills_in_its_window() -> None:
    """A target in ohms with a step gives window and step, which the calculator accepts."""
    fits = CALCULATORS["trimmer-steps"].fits
    window = Window(450.0, 600.0, "450 .. 600 ohm")
    step = Window(20.0, 40.0, "20 .. 40 ohm")
    found = Target("laser trimmer", "across it", "ohms", OHMS, (window,), step=step)
    assert fits is not None
    filled = fits(found, ENTRY) or {}
    assert filled == {"window": "450 .. 600 ohm", "step": "20 .. 40 ohm"}
    assert ask("trimmer-steps", original="640 ohm", **filled).answer.verdict == "fail"


def test_a_trimmer_whose_window_is_in_the_service_data_fills_in_its_step() -> None:
    """A target without a window leaves that to be typed."""
    fits = CALCULATORS["trimmer-steps"].fits
    step = Window(25.0, 50.0, "25 .. 50 ohm")
    found = Target("laser trimmer", "across it", "ohms", OHMS, (), step=step)
    assert fits is not None
    assert fits(found, ENTRY) == {"step": "25 .. 50 ohm"}


@pytest.mark.parametrize(
    "where",
    [
        Target("bias", "R5", "ohms", OHMS, (Window(1.0, 2.0, "1 .. 2 ohm"),)),
        Target(
            "bias",
            "R5",
            "ohms",
            OHMS,
            (Window(None, 2.0, "<= 2 ohm"),),
            step=Window(1.0, 2.0, "1 .. 2 ohm"),
        ),
        Target(
            "bias",
            "R5",
            "ohms",
            OHMS,
            (Window(1.0, 2.0, "1 .. 2 ohm"),),
            step=Window(5.0, 9.0, "5 .. 9 ohm"),
        ),
        Target("C5", "in place", "farads", FARADS, (Window(1e-6, 2e-6, "1 .. 2 uF"),)),
        Part(at="R5", is_="resistor", value="1 kohm"),
    ],
    ids=["no step", "open window", "large step", "farads", "a part"],
)
def test_nothing_else_is_taken_for_a_trimmer(where: Target | Part) -> None:
    """Only a resistance that is moved in steps inside a closed window is one."""
    fits = CALCULATORS["trimmer-steps"].fits
    assert fits is not None
    assert fits(where, ENTRY) is None


@pytest.mark.parametrize(
    ("part", "filled"),
    [
        (Part("R5", "resistor", "4.7 kohm"), {"nominal": "4.7 kohm"}),
        (Part("R5", "resistor, film", "4.7 kohm 5 %"), {"nominal": "4.7 kohm", "tolerance": "5 %"}),
        (Part("R5", "resistor", "4k7, ±1 %"), {"nominal": "4k7", "tolerance": "1 %"}),
        (
            Part("C5", "capacitor, electrolytic", "100 uF -20/+80 %"),
            {"nominal": "100 uF", "tolerance": "-20/+80 %"},
        ),
        (Part("C5", "aluminium electrolytic", "1000 uF"), {"nominal": "1000 uF"}),
        (Part("RL1", "relay", "24 V coil"), None),
        (Part("R5", "resistor", "as fitted"), None),
    ],
    ids=["value", "tolerance", "sign", "asymmetric", "no word", "no kind", "no value"],
)
def test_a_part_fills_in_its_marking(part: Part, filled: dict[str, str] | None) -> None:
    """A resistor's or capacitor's value, and its tolerance, are taken as they stand."""
    fits = CALCULATORS["tolerance-band"].fits
    assert fits is not None
    found = fits(part, ENTRY)
    assert found == filled
    if found is not None:
        assert number(ask("tolerance-band", **found), "low") > 0


def test_a_resistor_fills_in_the_pair_that_makes_it() -> None:
    """A resistor that is not in the drawer can be made of two."""
    fits = CALCULATORS["value-pair"].fits
    assert fits is not None
    filled = fits(Part("R5", "resistor", "525 ohm"), ENTRY) or {}
    rows = ask("value-pair", **filled).answer["pairs"]
    assert isinstance(rows, list)
    assert math.isclose(rows[0]["result"], 524.2, rel_tol=1e-4)
    assert fits(Part("C5", "capacitor", "10 uF"), ENTRY) is None
