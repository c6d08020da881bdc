"""Judging a reading against limits without pretending that the meter is perfect.

Guarded acceptance and guarded rejection (JCGM 106:2012, clauses 8.3.2 and 8.3.3): each limit is
moved by a guard band before the reading is held against it, inwards to accept and outwards to
reject; a reading between the two is not decided.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from fixbook.core.answer import Verdict
from fixbook.core.quantity import Kind, show


@dataclass(frozen=True, slots=True)
class Guarded:
    """What a reading says about its limits, with all that decided it. One unit throughout."""

    verdict: Verdict
    """pass, fail or cannot tell."""
    word: str | None
    """`in` where it passes, `low` or `high` where it fails."""
    accept_low: float | None
    """Readings from here up are accepted; None without a low limit."""
    accept_high: float | None
    """Readings up to here are accepted; None without a high limit."""
    conformance: float
    """How probable it is that the true value lies within the limits, 0 to 1."""
    band: float
    """The guard band: how far each limit was moved."""
    reading: float
    low: float | None
    high: float | None

    @property
    def too_coarse(self) -> bool:
        """Say whether no reading at all can be accepted: the guard bands fill the window."""
        return (
            self.accept_low is not None
            and self.accept_high is not None
            and self.band > 0
            and self.accept_low >= self.accept_high
        )

    def why(self, kind: Kind) -> str:
        """Say in a sentence, with the numbers in `kind`, what decided the verdict."""
        text = show(self.reading, kind, digits=6)
        if self.too_coarse:
            outside = self._beyond()
            all_the_same = f"; all the same {text} is {outside}" if outside else ""
            return (
                f"this meter cannot judge this window: {_between(self.low, self.high, kind)} is "
                f"no wider than two guard bands of {show(self.band, kind)}{all_the_same}"
            )
        if self.verdict == "pass":
            return f"{text} lies {_between(self.accept_low, self.accept_high, kind)}"
        side, limit = self._nearer()
        edge = f"the {side} limit of {show(limit, kind, digits=6)}"
        if self.verdict == "fail":
            beyond = "below" if self.word == "low" else "above"
            more = f" by more than the guard band of {show(self.band, kind)}" if self.band else ""
            return f"{text} is {beyond} {edge}{more}"
        return f"{text} is nearer to {edge} than the guard band of {show(self.band, kind)}"

    def _beyond(self) -> str:
        """Say where a reading lies that is outside by more than the guard band."""
        if self.low is not None and self.reading < self.low - self.band:
            return "below the low limit by more than one of them"
        if self.high is not None and self.reading > self.high + self.band:
            return "above the high limit by more than one of them"
        return ""

    def _nearer(self) -> tuple[str, float]:
        """Give the limit that is nearer to the reading, with its name."""
        limits = {"low": self.low, "high": self.high}
        if self.word in limits:  # far beyond both, rounding makes them equally near
            limits = {self.word: limits[self.word]}
        stated = [(name, limit) for name, limit in limits.items() if limit is not None]
        return min(stated, key=lambda pair: abs(self.reading - pair[1]))


def guarded(
    reading: float,
    low: float | None,
    high: float | None,
    standard_uncertainty: float,
    coverage: float = 2.0,
    guard: float = 1.0,
) -> Guarded:
    """Judge a reading against its limits; None is no limit on that side.

    The guard band is `guard * coverage * standard_uncertainty`. An uncertainty of zero, or a
    guard of zero, is simple acceptance: such a reading is always decided. Where the guard bands
    leave nothing of the window every reading is `cannot tell`. ValueError for no limit at all,
    limits that do not rise, or a negative uncertainty.

        >>> found = guarded(452.9, 450, 600, 1.42115)
        >>> found.verdict, round(found.accept_low, 4), round(found.conformance, 4)
        ('pass', 452.8423, 0.9794)
    """
    if low is None and high is None:
        raise ValueError("a reading is judged against at least one limit")
    if low is not None and high is not None and low >= high:
        raise ValueError(f"the low limit {low} is not below the high limit {high}")
    band = guard * coverage * standard_uncertainty
    if not band >= 0 or standard_uncertainty < 0:
        raise ValueError(f"an uncertainty of {standard_uncertainty} cannot be")
    accept_low = None if low is None else low + band
    accept_high = None if high is None else high - band
    verdict, word = _decide(reading, low, high, band)
    return Guarded(
        verdict=verdict,
        word=word,
        accept_low=accept_low,
        accept_high=accept_high,
        conformance=_conformance(reading, low, high, standard_uncertainty),
        band=band,
        reading=reading,
        low=low,
        high=high,
    )


def _decide(
    reading: float, low: float | None, high: float | None, band: float
) -> tuple[Verdict, str | None]:
    if low is not None and high is not None and band > 0 and low + band >= high - band:
        return "cannot tell", None
    if low is not None and reading < low - band:
        return "fail", "low"
    if high is not None and reading > high + band:
        return "fail", "high"
    if (low is None or reading >= low + band) and (high is None or reading <= high - band):
        return "pass", "in"
    return "cannot tell", None


def _conformance(
    reading: float, low: float | None, high: float | None, standard_uncertainty: float
) -> float:
    """Give the part of a normal distribution about the reading that lies within the limits."""
    if standard_uncertainty == 0:
        below = low is not None and reading < low
        return 0.0 if below or (high is not None and reading > high) else 1.0
    scale = standard_uncertainty * math.sqrt(2)
    above_high = 0.0 if high is None else math.erfc((high - reading) / scale) / 2
    below_low = 0.0 if low is None else math.erfc((reading - low) / scale) / 2
    return max(0.0, 1.0 - above_high - below_low)


def _between(low: float | None, high: float | None, kind: Kind) -> str:
    if low is None and high is not None:
        return f"at or below {show(high, kind, digits=6)}"
    if high is None and low is not None:
        return f"at or above {show(low, kind, digits=6)}"
    assert low is not None and high is not None
    return f"from {show(low, kind, digits=6)} to {show(high, kind, digits=6)}"
