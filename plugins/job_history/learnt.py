"""Learnt readings: what a target read after repairs that held, beside the stated windows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fixbook.api import Target

from .digest import Learnt
from .job import model_key
from .statistics import FEWEST, quantile, tolerance_rank

FENCE = 3.0
"""How many interquartile ranges beyond the quartiles a value is far out (Tukey 1977)."""
SHARE = 0.9
"""The content and the confidence of the interval that is learnt."""


@dataclass(frozen=True, slots=True)
class Readings:
    """What one target read. Values are in the kind's base unit."""

    target: str
    kind: str
    model: str
    """Empty: all models together."""
    count: int
    median: float
    lowest: float
    highest: float
    interval: tuple[float, float] | None
    """Holds 90 % of all such readings with 90 % confidence (Wilks 1941); None below 38."""

    def to_json(self) -> dict[str, object]:
        """Give it as plain values."""
        found = {name: getattr(self, name) for name in self.__slots__}
        return {**found, "interval": list(self.interval) if self.interval else None}


def summed_up(learnt: Iterable[Learnt], model: str = "", *, apart: bool = True) -> list[Readings]:
    """Sum readings up by target; `model` takes that model's alone.

    With `apart` each model has its own line under the line for all, where there are several.
    """
    wanted = model_key(model)
    by_target: dict[tuple[str, str], list[Learnt]] = defaultdict(list)
    for one in learnt:
        if not wanted or model_key(one.model) == wanted:
            by_target[one.target, one.kind].append(one)
    found: list[Readings] = []
    for (target, kind), several in by_target.items():
        found.append(_sum(target, kind, model, several))
        if apart and not wanted:
            found += _by_model(target, kind, several)
    return found


def is_far(value: float, target: Target, others: Sequence[float]) -> bool:
    """Say whether a reading is outside every stated window and far from what was learnt."""
    inside = any(
        (window.low is None or value >= window.low)
        and (window.high is None or value <= window.high)
        for window in target.windows
    )
    if inside or len(others) < FEWEST:
        return False
    low, high = quantile(others, 0.25), quantile(others, 0.75)
    reach = FENCE * (high - low)
    return not low - reach <= value <= high + reach


def _by_model(target: str, kind: str, several: Sequence[Learnt]) -> list[Readings]:
    by_model: dict[str, list[Learnt]] = defaultdict(list)
    for one in several:
        by_model[model_key(one.model)].append(one)
    if len(by_model) < 2:
        return []
    return [
        _sum(target, kind, readings[0].model, readings)
        for key, readings in sorted(by_model.items(), key=lambda one: (-len(one[1]), one[0]))
        if key
    ]


def _sum(target: str, kind: str, model: str, several: Sequence[Learnt]) -> Readings:
    values = sorted(one.value for one in several)
    rank = tolerance_rank(len(values), SHARE, SHARE)
    interval = (values[rank - 1], values[-rank]) if rank else None
    middle = quantile(values, 0.5)
    return Readings(target, kind, model, len(values), middle, values[0], values[-1], interval)
