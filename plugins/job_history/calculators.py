"""What counts of past jobs say, and how sure that is."""

from __future__ import annotations

from typing import Annotated

from fixbook.api import (
    MEMORY,
    MINUTES,
    RATIO,
    Answer,
    BarsBlock,
    CalculationError,
    Count,
    Minutes,
    Ratio,
    Source,
    Value,
    Verdict,
    above,
    calculator,
    show,
    within,
)

from .statistics import (
    FEWEST,
    jeffreys,
    median_interval,
    newcombe,
    probability_above,
    probability_better,
    wilson,
)

Some = within(0, 1_000_000)
AtLeastOne = within(1, 1_000_000)
Confidence = Annotated[Ratio, "how sure the interval is to be", within(0.5, 0.999)]

BROWN = Source("Brown, Cai and DasGupta, Statistical Science 16(2), 2001, 101-133")
CHOSEN = "fixes are not given at random: hard cases get the last-resort fix"
COUNT_RULE = "count a job once, and one still inside the warranty time not at all"


@calculator(
    "fix-rate",
    formula="p = fixed/jobs;  (p + z^2/2n +- z sqrt(p(1-p)/n + z^2/4n^2))/(1 + z^2/n)",
    sources=[Source("Wilson 1927, score interval without continuity correction"), BROWN],
    gives={
        "rate": "fixed of jobs",
        "low": "lower end of the interval; rank fixes by this, not by the bare rate",
        "high": "upper end of the interval",
    },
)
def fix_rate(
    fixed: Annotated[Count, "jobs in which it worked and the unit stayed fixed", Some],
    jobs: Annotated[Count, "jobs in which it was tried", AtLeastOne],
    confidence: Confidence = 0.95,
) -> Answer:
    """How often did this fix work, and how sure is that?

    The interval is not symmetric about the rate, stays between none and all, and holds for few
    jobs as well. Below 5 jobs there is too little to say; the interval then shows how little.
    Count a job once, decide on the warranty time before looking, and leave out jobs that are
    still inside it: they have not stayed fixed yet.

    Example: 8 of 10 fixed is a rate of 80 %, with 95 % between 49.0 % and 94.3 %.
    """
    _check(fixed, jobs, "fixed")
    low, high = wilson(int(fixed), int(jobs), confidence)
    few = [f"{_of(fixed, jobs)}: too few to say, fewer than {FEWEST} jobs"] if jobs < FEWEST else []
    return Answer(
        [
            _counted("rate", fixed, jobs),
            Value("low", low, RATIO),
            Value("high", high, RATIO),
        ],
        notes=[*few, COUNT_RULE],
        drawings=[BarsBlock("", (("fixed", fixed / jobs, low, high),))],
    )


@calculator(
    "fix-belief",
    formula="rate ~ beta(fixed + 1/2, jobs - fixed + 1/2);  mean = (fixed + 1/2)/(jobs + 1)",
    sources=[
        BROWN,
        Source("lower end 0 where none, upper end 1 where all were fixed: the same paper", MEMORY),
    ],
    gives={
        "mean": "expected rate",
        "median": "as likely to be above as below",
        "low": "lower end of the interval with equal tails",
        "high": "upper end",
        "above_threshold": "probability that the rate is above the threshold",
    },
)
def fix_belief(
    fixed: Annotated[Count, "jobs in which it worked and the unit stayed fixed", Some],
    jobs: Annotated[Count, "jobs in which it was tried", AtLeastOne],
    threshold: Annotated[Ratio | None, "a rate that would be good enough", within(0, 1)] = None,
    confidence: Confidence = 0.95,
) -> Answer:
    """How likely is it that this fix works often enough?

    Starts from knowing nothing (Jeffreys' prior) and learns from the jobs. Give a threshold to
    see how likely the true rate is above it. With few jobs the mean stays near one half.

    Example: 8 of 10 fixed: the rate is between 49.7 % and 95.6 %, its mean 77.3 %, and it is
    above 70 % with a probability of 74.5 %.
    """
    _check(fixed, jobs, "fixed")
    belief = jeffreys(int(fixed), int(jobs), confidence)
    likely = None if threshold is None else probability_above(int(fixed), int(jobs), threshold)
    return Answer(
        [
            Value("mean", belief.mean, RATIO),
            Value("median", belief.median, RATIO),
            Value("low", belief.low, RATIO),
            Value("high", belief.high, RATIO),
            Value(
                "above_threshold",
                likely,
                RATIO,
                text="" if likely is not None else "say which rate is good enough: threshold=70%",
            ),
        ],
        assumptions=["before any job, every rate is thought possible (Jeffreys' prior)"],
        notes=[_of(fixed, jobs), COUNT_RULE],
    )


@calculator(
    "median-time",
    formula="from the r-th shortest to the r-th longest time, the largest r with "
    "1 - 2 P(binomial(n, 1/2) < r) >= confidence",
    sources=[Source("Conover, Practical Nonparametric Statistics, interval of a median", MEMORY)],
    gives={
        "median": "half of the jobs take less",
        "low": "lower end of the interval of the median",
        "high": "upper end",
        "coverage": "how sure the interval really is: at least the confidence asked for",
    },
)
def median_time(
    minutes: Annotated[tuple[Minutes, ...], "time of each job", above(0, 6_000_000)],
    confidence: Confidence = 0.95,
) -> Answer:
    """How long does this job take, honestly?

    The interval is of the median, and asks nothing about how the times are distributed. Below 6
    jobs there is none at 95 %, and the shortest and longest time are all there is to say. Do not
    use the mean: one evening lost on a hairline crack moves it by half.

    Example: 12, 15, 18, 20, 22, 25, 30, 35, 50 and 90 minutes: median 23.5 min, with 97.9 %
    between 15 and 50 min.

        minutes='12;15;18;20;22;25;30;35;50;90'
    """
    if len(minutes) > 10_000:
        raise CalculationError(
            f"minutes are at most 10000 times, not {len(minutes)}", input="minutes"
        )
    found = median_interval(minutes, confidence)
    spread = f"{show(min(minutes), MINUTES)} .. {show(max(minutes), MINUTES)}"
    few = "" if found.coverage is not None else f"none from {len(minutes)} at this confidence"
    notes = [f"{_jobs(len(minutes))}, shortest and longest {spread}"]
    if few:
        notes.append(f"too few jobs for an interval with {show(confidence, RATIO)}")
    return Answer(
        [
            Value("median", found.median, MINUTES),
            Value("low", found.low, MINUTES, text=few),
            Value("high", found.high, MINUTES, text=few),
            Value("coverage", found.coverage, RATIO, digits=5, text=few),
        ],
        notes=notes,
    )


@calculator(
    "compare-fixes",
    formula="d = pA - pB;  d - sqrt((pA - lowA)^2 + (highB - pB)^2) .. "
    "d + sqrt((highA - pA)^2 + (pB - lowB)^2), low and high after Wilson, 95 %",
    sources=[
        Source("Newcombe, Statistics in Medicine 17, 1998, 873-890, method 10", MEMORY),
        Source("probability that A is better: beta posteriors with Jeffreys' prior", MEMORY),
    ],
    gives={
        "difference": "rate of A less rate of B",
        "low": "lower end of its interval",
        "high": "upper end",
        "a_better": "probability that A's rate is above B's",
    },
)
def compare_fixes(
    fixed_a: Annotated[Count, "jobs that fix A solved", Some],
    jobs_a: Annotated[Count, "jobs in which fix A was tried", AtLeastOne],
    fixed_b: Annotated[Count, "jobs that fix B solved", Some],
    jobs_b: Annotated[Count, "jobs in which fix B was tried", AtLeastOne],
) -> Answer:
    """Is fix A really better than fix B?

    One is better only if the whole 95 % interval of the difference is on its side; otherwise the
    jobs do not tell. Fixes are not given at random: hard cases get the last-resort fix, so that
    a fix may look worse than it is.

    Example: 56 of 70 against 48 of 80: 20 points, between 5.2 and 33.4, so A is better; 8 of 10
    against 5 of 9: 24 points, between -15.7 and 56.7, so the jobs do not tell.
    """
    _check(fixed_a, jobs_a, "fixed_a")
    _check(fixed_b, jobs_b, "fixed_b")
    counts = int(fixed_a), int(jobs_a), int(fixed_b), int(jobs_b)
    difference = fixed_a / jobs_a - fixed_b / jobs_b
    low, high = newcombe(*counts)
    verdict: Verdict = "info" if low > 0 or high < 0 else "cannot tell"
    word = "A better" if low > 0 else "B better" if high < 0 else None
    side = {"A better": "above zero", "B better": "below zero"}.get(word or "", "around zero")
    return Answer(
        [
            Value("difference", difference, RATIO),
            Value("low", low, RATIO),
            Value("high", high, RATIO),
            Value("a_better", probability_better(*counts), RATIO),
        ],
        verdict=verdict,
        word=word,
        why=f"A {_of(fixed_a, jobs_a)}, B {_of(fixed_b, jobs_b)}: the difference of "
        f"{show(difference, RATIO, digits=3)} lies with 95 % between "
        f"{show(low, RATIO, digits=3)} and {show(high, RATIO, digits=3)}, {side}",
        notes=[CHOSEN],
        drawings=[BarsBlock("", _both_bars(fixed_a / jobs_a, fixed_b / jobs_b, counts))],
    )


def _both_bars(
    rate_a: float, rate_b: float, counts: tuple[int, int, int, int]
) -> tuple[tuple[str, float, float, float], ...]:
    """Give both rates with their intervals after Wilson."""
    fixed_a, jobs_a, fixed_b, jobs_b = counts
    return (
        ("fix A", rate_a, *wilson(fixed_a, jobs_a, 0.95)),
        ("fix B", rate_b, *wilson(fixed_b, jobs_b, 0.95)),
    )


def _check(fixed: float, jobs: float, name: str) -> None:
    if fixed > jobs:
        raise CalculationError(
            f"{name} is {fixed:g}, more than the {jobs:g} jobs in which it was tried",
            input=name,
            read=f"{fixed:g}",
        )


def _counted(name: str, some: float, jobs: float) -> Value:
    rate = some / jobs
    return Value(name, rate, RATIO, text=f"{show(rate, RATIO)} ({_of(some, jobs)})")


def _of(some: float, jobs: float) -> str:
    return f"{some:.0f} of {jobs:.0f}"


def _jobs(count: int) -> str:
    return f"{count} job{'s' if count != 1 else ''}"
