"""Do repaired units come back: the calculator of returns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

from fixbook.api import (
    COUNT,
    MEMORY,
    NUMBER,
    RATIO,
    Answer,
    CalculationError,
    Count,
    Number,
    Source,
    Table,
    Value,
    above,
    calculator,
    read,
    show,
    within,
)

from .statistics import Step, garwood, kaplan_meier, share_bound

OUT = "+"
"""Ends the time of a job that is still out."""
MOST_TIMES = 10_000
LONGEST_MONTHS = 1_200

UNSEEN = "a customer who goes elsewhere is invisible here"
DIFFERENT = "a different fault on the same unit is no return; record both"
STILL_OUT = "returns divided by repairs is too low while recent jobs are still under observation"


@calculator(
    "return-rate",
    formula="returns/exposure, chi2(a/2; 2k)/2T .. chi2(1-a/2; 2k+2)/2T;  "
    "S(t) = product(1 - d/n);  none in n jobs: at most 1 - 0.05^(1/n)",
    sources=[
        Source("Garwood 1936, exact interval of a Poisson rate", MEMORY),
        Source("Kaplan and Meier 1958; Greenwood's standard error; log(-log) interval", MEMORY),
    ],
    gives={
        "rate": "returns per job-month",
        "low": "lower end of its 95 % interval",
        "high": "upper end",
        "survival": "the share of jobs that stay out beyond each time at which one came back",
        "highest_share": "with 95 %, no more than this share of jobs comes back",
    },
)
def return_rate(
    returns: Annotated[Count | None, "jobs that came back", within(0, 1_000_000)] = None,
    exposure: Annotated[
        Number | None, "months that all jobs together have been out", above(0, 1e9)
    ] = None,
    times: Annotated[
        tuple[str, ...], "months until each job came back; with + those still out: 2;3+"
    ] = (),
    jobs: Annotated[Count | None, "how many jobs there were", within(1, 1_000_000)] = None,
) -> Answer:
    """Do repairs of this kind come back?

    Give the returns and the exposure (the months that all jobs together have been out), or the
    times of the jobs one by one, or the returns and the number of jobs. The rate is per month.
    From times follows the share that stays out; jobs still out count as long as they have been.
    Returns divided by repairs is too low while recent jobs are still inside the warranty time.

    Example: 3 returns in 240 job-months are 0.0125 a month, with 95 % between 0.00258 and
    0.0365.

        times='2;3+;5;5+;8+;12+'
    """
    seen = _read_times(times)
    _check(returns, exposure, seen, jobs)
    if seen:
        returns, exposure, jobs = sum(came for _, came in seen), sum(t for t, _ in seen), len(seen)
    rate = low = high = None
    if returns is not None and exposure is not None:
        rate = returns / exposure
        low, high = garwood(int(returns), exposure)
    no_rate = "" if rate is not None else "needs the exposure in months"
    bound = None if jobs is None or seen else share_bound(int(returns or 0), int(jobs))
    return Answer(
        [
            Value("rate", rate, NUMBER, text=no_rate or _per_month(rate, returns, exposure)),
            Value("low", low, NUMBER, text=no_rate),
            Value("high", high, NUMBER, text=no_rate),
            _curve(kaplan_meier(seen) if seen else ()),
            Value("highest_share", bound, RATIO, text="" if bound is not None else _no_share(seen)),
        ],
        notes=[STILL_OUT, UNSEEN, DIFFERENT],
    )


def _curve(steps: Sequence[Step]) -> Table:
    return Table(
        "survival",
        {
            "months": NUMBER,
            "at_risk": COUNT,
            "returned": COUNT,
            "share": RATIO,
            "error": RATIO,
            "low": RATIO,
            "high": RATIO,
        },
        [
            {
                "months": one.time,
                "at_risk": one.at_risk,
                "returned": one.returned,
                "share": one.survival,
                "error": one.error,
                "low": one.low,
                "high": one.high,
            }
            for one in steps
        ],
    )


def _read_times(times: Sequence[str]) -> list[tuple[float, bool]]:
    if len(times) > MOST_TIMES:
        raise CalculationError(f"times are at most {MOST_TIMES}, not {len(times)}", input="times")
    return [_read_time(text) for text in times]


def _read_time(text: str) -> tuple[float, bool]:
    came_back = not text.rstrip().endswith(OUT)
    months = read(text.rstrip().removesuffix(OUT), NUMBER, name="times").value
    if not 0 < months <= LONGEST_MONTHS:
        raise CalculationError(
            f"a time is above 0 and at most {LONGEST_MONTHS} months, not {text}",
            input="times",
            read=text,
        )
    return months, came_back


def _check(
    returns: float | None,
    exposure: float | None,
    times: Sequence[tuple[float, bool]],
    jobs: float | None,
) -> None:
    if times and (returns is not None or exposure is not None or jobs is not None):
        raise CalculationError(
            "the times say by themselves how many jobs there were and how many came back; "
            "leave out returns, exposure and jobs",
            input="times",
        )
    if times:
        return
    if returns is None or (exposure is None and jobs is None):
        raise CalculationError(
            "give returns and exposure, or returns and jobs, or times",
            input="returns" if returns is None else "exposure",
            choices=["returns=3 exposure=240", "returns=0 jobs=30", "times='2;3+;5'"],
        )
    if jobs is not None and returns > jobs:
        raise CalculationError(
            f"returns is {returns:g}, more than the {jobs:g} jobs there were",
            input="returns",
            read=f"{returns:g}",
        )


def _per_month(rate: float | None, returns: float | None, exposure: float | None) -> str:
    if rate is None:
        return ""
    return f"{show(rate, NUMBER)} per month ({returns:.0f} in {show(exposure or 0, NUMBER)} months)"


def _no_share(times: Sequence[tuple[float, bool]]) -> str:
    return "see the survival" if times else "needs the number of jobs"
