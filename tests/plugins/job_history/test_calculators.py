"""The calculators of past jobs: what check values cannot say."""

from __future__ import annotations

import pytest
from fixbook_plugins.job_history import fixbook_calculators
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.api import CalculationError
from fixbook.core.calculation import assign, run

CALCULATORS = {one.name: one for one in fixbook_calculators()}


def calculate(name, *words):
    """Run a calculator on words as typed."""
    return run(CALCULATORS[name], assign(CALCULATORS[name], words)).answer


def shown(answer, name):
    """Give an answer as a person reads it."""
    return next(one.shown() for one in answer.values if one.name == name)


def test_a_rate_stands_beside_its_counts():
    """A percentage is never shown without the jobs it comes from."""
    assert shown(calculate("fix-rate", "8", "10"), "rate") == "80 % (8 of 10)"


def test_few_jobs_are_said_to_be_few():
    """Below five jobs the answer says that there is too little to say."""
    assert calculate("fix-rate", "3", "4").notes[0].startswith("3 of 4: too few to say")


def test_the_interval_is_neither_the_textbook_one_nor_the_corrected_one():
    """8 of 10 gives the plain score interval: the textbook's ends above one, others are wider."""
    answer = calculate("fix-rate", "8", "10")
    rate, low, high = answer["rate"], answer["low"], answer["high"]
    textbook = 1.959964 * (rate * (1 - rate) / 10) ** 0.5
    assert rate + textbook > 1 > high
    assert (round(low, 4), round(high, 4)) not in {(0.4422, 0.9646), (0.4439, 0.9748)}
    assert high - rate != pytest.approx(rate - low)


def test_a_threshold_may_be_left_out():
    """Without a threshold the answer says how to give one."""
    assert "threshold=70%" in shown(calculate("fix-belief", "8", "10"), "above_threshold")


def test_few_times_have_a_range_and_no_interval():
    """Five times have no interval at 95 %, and the shortest and longest are said."""
    answer = calculate("median-time", "minutes=10;20;30;40;50")
    assert (answer["low"], answer.notes[0]) == (
        None,
        "5 jobs, shortest and longest 10 min .. 50 min",
    )


def test_an_undecided_comparison_says_the_counts():
    """Where the jobs do not tell, the sentence has both counts and the interval."""
    answer = calculate("compare-fixes", "8", "10", "5", "9")
    assert (answer.verdict, answer.word) == ("cannot tell", None)
    assert "A 8 of 10, B 5 of 9" in answer.why and "around zero" in answer.why


def test_a_comparison_says_that_fixes_are_not_given_at_random():
    """The trap of comparing fixes is on the screen."""
    assert "hard cases" in calculate("compare-fixes", "8", "10", "5", "9").notes[0]


def test_returns_per_repair_are_said_to_be_too_low():
    """Recent jobs still under observation make a bare share too low, and that is said."""
    assert "still under observation" in calculate("return-rate", "3", "240").notes[0]


@pytest.mark.parametrize(
    ("name", "words", "input_"),
    [
        ("fix-rate", ("11", "10"), "fixed"),
        ("fix-belief", ("11", "10"), "fixed"),
        ("compare-fixes", ("1", "2", "4", "3"), "fixed_b"),
        ("return-rate", ("returns=3",), "exposure"),
        ("return-rate", ("exposure=3",), "returns"),
        ("return-rate", ("times=2;x+",), "times"),
        ("return-rate", ("times=0",), "times"),
        ("return-rate", ("returns=4", "jobs=3"), "returns"),
        ("return-rate", ("times=2;3+", "jobs=3"), "times"),
    ],
    ids=lambda one: str(one),
)
def test_what_cannot_be_used_is_named(name, words, input_):
    """A refusal names the input that has to change."""
    with pytest.raises(CalculationError) as refused:
        calculate(name, *words)
    assert refused.value.input == input_


@settings(deadline=None, max_examples=40)
@given(st.integers(0, 1_000_000), st.integers(1, 1_000_000), st.floats(0.5, 0.999))
def test_any_counts_within_their_ranges_have_an_answer_or_a_refusal(fixed, jobs, confidence):
    """No error of arithmetic escapes, whatever counts are typed."""
    for name in ("fix-rate", "fix-belief"):
        try:
            answer = calculate(name, str(fixed), str(jobs), f"confidence={confidence:.6f}")
        except CalculationError as error:
            assert fixed > jobs and error.input == "fixed"
        else:
            assert 0 <= answer["low"] <= answer["high"] <= 1


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(0.01, 1200), st.booleans()), min_size=1, max_size=30))
def test_any_times_have_an_answer(times):
    """Times of any jobs, returned or still out, give a rate inside its interval."""
    text = ";".join(f"{time:.4f}{'' if returned else '+'}" for time, returned in times)
    answer = calculate("return-rate", f"times={text}")
    assert 0 <= answer["low"] <= answer["rate"] <= answer["high"]
