"""Intervals and rates from counts of jobs: pure functions of numbers, nothing else.

Every interval is two-sided with the confidence that is given, 95 % unless said. ValueError where
counts make no sense; callers check what users type.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from .distributions import (
    angle_density,
    beta_quantile,
    beta_share,
    gamma_quantile,
    normal_quantile,
)

FEWEST = 5
"""Below so many jobs a rate says too little to be shown alone; common practice, no source."""

_GRID = 512
"""Steps of Simpson's rule; the integrals here are right to about 1e-8 with it."""


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed of a rate after some jobs."""

    mean: float
    median: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class MedianInterval:
    """A median with the order statistics around it that hold it with known probability."""

    median: float
    low: float | None
    """None, like `high` and `coverage`, where there are too few values for any interval."""
    high: float | None
    coverage: float | None
    """The true probability, at least the confidence asked for."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a survival curve."""

    time: float
    at_risk: int
    """How many were still out just before."""
    returned: int
    survival: float
    """The share that stays out beyond this time."""
    error: float | None
    """Its standard error (Greenwood); None where nothing is left."""
    low: float
    high: float


def wilson(fixed: int, jobs: int, confidence: float = 0.95) -> tuple[float, float]:
    """Give the score interval of a rate (Wilson 1927), without continuity correction."""
    _check(fixed, jobs)
    z = normal_quantile((1 + confidence) / 2)
    rate, weight = fixed / jobs, z * z / jobs
    centre = (rate + weight / 2) / (1 + weight)
    half = math.sqrt(rate * (1 - rate) * weight + weight * weight / 4) / (1 + weight)
    low = 0.0 if fixed == 0 else max(0.0, centre - half)
    high = 1.0 if fixed == jobs else min(1.0, centre + half)
    return low, high


def jeffreys(fixed: int, jobs: int, confidence: float = 0.95) -> Belief:
    """Give the beta posterior of a rate with Jeffreys' prior.

    The interval has equal tails, and reaches 0 or 1 where no job or every job was fixed (Brown,
    Cai and DasGupta 2001).
    """
    _check(fixed, jobs)
    a, b = fixed + 0.5, jobs - fixed + 0.5
    tail = (1 - confidence) / 2
    low = 0.0 if fixed == 0 else beta_quantile(tail, a, b)
    high = 1.0 if fixed == jobs else beta_quantile(1 - tail, a, b)
    return Belief(a / (a + b), beta_quantile(0.5, a, b), low, high)


def probability_above(fixed: int, jobs: int, threshold: float) -> float:
    """Give the probability, with Jeffreys' prior, that a rate is above a threshold."""
    _check(fixed, jobs)
    return beta_share(1 - threshold, jobs - fixed + 0.5, fixed + 0.5)


def newcombe(
    fixed_a: int, jobs_a: int, fixed_b: int, jobs_b: int, *, confidence: float = 0.95
) -> tuple[float, float]:
    """Give the hybrid score interval of the difference of two rates, A less B (Newcombe 1998)."""
    a, b = fixed_a / jobs_a, fixed_b / jobs_b
    low_a, high_a = wilson(fixed_a, jobs_a, confidence)
    low_b, high_b = wilson(fixed_b, jobs_b, confidence)
    low = a - b - math.hypot(a - low_a, high_b - b)
    high = a - b + math.hypot(high_a - a, b - low_b)
    return max(-1.0, low), min(1.0, high)


def probability_better(fixed_a: int, jobs_a: int, fixed_b: int, jobs_b: int) -> float:
    """Give the probability that A's rate is above B's, each with Jeffreys' prior."""
    _check(fixed_a, jobs_a)
    _check(fixed_b, jobs_b)
    a = (fixed_a + 0.5, jobs_a - fixed_a + 0.5)
    b = (fixed_b + 0.5, jobs_b - fixed_b + 0.5)
    # Integrated over the narrower of the two, along which the other's share changes smoothly.
    if jobs_a >= jobs_b:
        return _below(b, a)
    return 1 - _below(a, b)


def median_interval(values: Sequence[float], confidence: float = 0.95) -> MedianInterval:
    """Give the median with its distribution-free interval from order statistics.

    The interval needs six values at 95 %; below that there is none.
    """
    ordered = sorted(values)
    middle = quantile(ordered, 0.5)
    found = median_rank(len(ordered), confidence)
    if found is None:
        return MedianInterval(middle, None, None, None)
    rank, coverage = found
    return MedianInterval(middle, ordered[rank - 1], ordered[-rank], coverage)


def median_rank(count: int, confidence: float = 0.95) -> tuple[int, float] | None:
    """Give the rank whose order statistics, from either end, hold the median, and how surely.

    None where even the lowest and highest value do not hold it with that confidence.
    """
    whole = 2**count
    below, chance, found = 0, 1, None
    for rank in range(1, count // 2 + 1):
        below += chance  # exact: how many of 2^count outcomes have fewer than `rank` successes
        coverage = (whole - 2 * below) / whole
        if coverage < confidence:
            break
        found = rank, coverage
        chance = chance * (count - rank + 1) // rank
    return found


def tolerance_rank(count: int, content: float = 0.9, confidence: float = 0.9) -> int | None:
    """Give the highest rank whose order statistics, from either end, hold so much of all values.

    With the rank r, the interval from the r-th lowest to the r-th highest of `count` values holds
    at least `content` of the whole with at least `confidence` (Wilks 1941). None below 38 values
    at 90 and 90 per cent.
    """
    found = None
    for rank in range(1, (count + 1) // 2 + 1):
        inside = count + 1 - 2 * rank
        if inside < 1 or 1 - beta_share(content, inside, 2 * rank) < confidence:
            break
        found = rank
    return found


def quantile(values: Sequence[float], share: float) -> float:
    """Give a quantile, interpolated between neighbours; ValueError where there are no values."""
    if not values:
        raise ValueError("a quantile needs at least one value")
    ordered = sorted(values)
    place = share * (len(ordered) - 1)
    before = min(int(place), len(ordered) - 1)
    after = min(before + 1, len(ordered) - 1)
    return ordered[before] + (place - before) * (ordered[after] - ordered[before])


def garwood(returns: int, exposure: float, confidence: float = 0.95) -> tuple[float, float]:
    """Give the exact interval of a rate from so many returns in an exposure (Garwood 1936)."""
    if returns < 0 or not exposure > 0:
        raise ValueError(f"returns from 0 in an exposure above 0, not {returns} in {exposure}")
    tail = (1 - confidence) / 2
    low = gamma_quantile(tail, returns) / exposure if returns else 0.0
    return low, gamma_quantile(1 - tail, returns + 1) / exposure


def share_bound(returns: int, jobs: int, confidence: float = 0.95) -> float:
    """Give the one-sided upper bound of the share of jobs that return (Clopper and Pearson)."""
    _check(returns, jobs)
    if returns == jobs:
        return 1.0
    if returns == 0:
        return -math.expm1(math.log(1 - confidence) / jobs)
    return beta_quantile(confidence, returns + 1, jobs - returns)


def kaplan_meier(times: Sequence[tuple[float, bool]], confidence: float = 0.95) -> list[Step]:
    """Give the survival curve of jobs: each a time and whether it ended with a return.

    Jobs still out are censored. Errors after Greenwood, intervals by log(-log).
    """
    z = normal_quantile((1 + confidence) / 2)
    steps: list[Step] = []
    survival, spread = 1.0, 0.0
    at_risk = len(times)
    returned_at: dict[float, int] = {}
    left_at: dict[float, int] = {}
    for time, returned in times:
        left_at[time] = left_at.get(time, 0) + 1
        returned_at[time] = returned_at.get(time, 0) + returned
    for time in sorted(left_at):
        count = returned_at[time]
        if count:
            survival *= 1 - count / at_risk
            spread += count / (at_risk * (at_risk - count)) if at_risk > count else 0.0
            steps.append(_step(time, at_risk, count, survival=survival, spread=spread, z=z))
        at_risk -= left_at[time]
    return steps


def _step(
    time: float, at_risk: int, returned: int, *, survival: float, spread: float, z: float
) -> Step:
    if at_risk == returned:
        return Step(time, at_risk, returned, 0.0, None, 0.0, 0.0)
    half = math.exp(z * math.sqrt(spread) / abs(math.log(survival)))
    low, high = survival**half, survival ** (1 / half)
    return Step(time, at_risk, returned, survival, survival * math.sqrt(spread), low, high)


def _below(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Give the probability that `one`, a beta value, is below `other`, by Simpson's rule.

    In the angle whose squared sine is the rate, the density has no pole at either end.
    """
    tail = 1e-12
    low = math.asin(math.sqrt(beta_quantile(tail, *other)))
    high = math.pi / 2 - math.asin(math.sqrt(beta_quantile(tail, other[1], other[0])))
    width = (high - low) / _GRID

    def at(angle: float) -> float:
        return angle_density(angle, *other) * beta_share(math.sin(angle) ** 2, *one)

    inner = sum((4 if number % 2 else 2) * at(low + number * width) for number in range(1, _GRID))
    return min(1.0, max(0.0, (at(low) + inner + at(high)) * width / 3))


def _check(fixed: int, jobs: int) -> None:
    if not 0 <= fixed <= jobs or jobs < 1:
        raise ValueError(f"from none to all of at least one job, not {fixed} of {jobs}")
