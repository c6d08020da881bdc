"""How often a fault was seen, how often its fix held, and how long it took."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from .digest import Digest
from .statistics import FEWEST, quantile, wilson

CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class FixRate:
    """Fixed and not returned, of all that were fixed, improved or not fixed."""

    fixed: int
    """Fixed and not returned."""
    jobs: int
    low: float
    """The Wilson score interval, like `high`."""
    high: float
    confidence: float = CONFIDENCE

    @property
    def value(self) -> float:
        """The rate itself, 0 to 1."""
        return self.fixed / self.jobs


@dataclass(frozen=True, slots=True)
class Rates:
    """The figures of one fault on one day. Counts are of jobs."""

    fault: str
    seen: int
    fixed: int
    """Fixed, and either returned or beyond the warranty time: those still inside it are apart."""
    not_fixed: int
    returned: int
    """Of the fixed ones."""
    improved: int
    in_warranty: int
    """Fixed, not returned, warranty time still running: they count for nothing yet."""
    fix_rate: FixRate | None
    """None where there are too few jobs to say."""
    median: float | None
    """Minutes; None, like `p80`, where no job says how long it took."""
    p80: float | None
    """The minutes within which four of five jobs were done."""

    def to_json(self) -> dict[str, object]:
        """Give the shape of `job rates ENTRY --json`."""
        rate = self.fix_rate
        shown = rate and {
            "value": rate.value,
            "low": rate.low,
            "high": rate.high,
            "confidence": rate.confidence,
        }
        return {
            "fault": self.fault,
            "seen": self.seen,
            "fixed": self.fixed,
            "not_fixed": self.not_fixed,
            "returned": self.returned,
            "improved": self.improved,
            "in_warranty": self.in_warranty,
            "fix_rate": shown,
            "minutes": None if self.median is None else {"median": self.median, "p80": self.p80},
        }


def rates(fault: str, found: Digest, today: date) -> Rates:
    """Tell a digest's figures for a day."""
    over = sum(1 for end in found.running if end and end < today.isoformat())
    held = found.held + over
    fixed = held + found.returned
    tried = fixed + found.improved + found.not_fixed
    rate = None
    if tried >= FEWEST:
        low, high = wilson(held, tried, CONFIDENCE)
        rate = FixRate(held, tried, low, high)
    return Rates(
        fault=fault,
        seen=found.seen,
        fixed=fixed,
        not_fixed=found.not_fixed,
        returned=found.returned,
        improved=found.improved,
        in_warranty=len(found.running) - over,
        fix_rate=rate,
        median=quantile(found.minutes, 0.5) if found.minutes else None,
        p80=quantile(found.minutes, 0.8) if found.minutes else None,
    )


def rate_words(rate: FixRate | None) -> str:
    """Say a rate with its counts and interval: `8 of 10 held (80 %, 49 to 94 % at 95 %)`."""
    if rate is None:
        return "too few to say"
    return (
        f"{rate.fixed} of {rate.jobs} held ({rate.value:.0%}, {rate.low:.0%} to {rate.high:.0%} "
        f"at {rate.confidence:.0%} confidence)"
    ).replace("%", " %")


def minutes_words(found: Rates) -> str:
    """Say how long it took: `40 min in the middle, 65 min for four of five`."""
    if found.median is None or found.p80 is None:
        return ""
    return f"{found.median:.0f} min in the middle, {found.p80:.0f} min for four of five"
