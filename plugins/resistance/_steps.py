"""The settings of a trimmer to try next. Plain arithmetic: everything is in ohms."""

from __future__ import annotations

import math
from typing import NamedTuple

MOST = 200
"""Settings in a plan. Nobody retests more often."""
_NOISE = 1e-9


class Plan(NamedTuple):
    """Settings in the order in which to try them."""

    targets: tuple[float, ...]
    step: float
    """The shortest move between two of them; 0 where there is none."""


class TooManyError(ValueError):
    """A plan of more than MOST settings."""


def plan_to(present: float, goal: float, largest: float) -> Plan:
    """Give equal steps, none above `largest`, from here to the goal; TooManyError.

    No target is ever beyond the goal, and the last one is the goal itself.
    """
    distance = goal - present
    count = max(1, math.ceil(abs(distance) / largest - _NOISE))
    if count > MOST:
        raise TooManyError(f"{count} settings")
    step = distance / count
    between = [present + step * number for number in range(1, count)]
    return Plan((*between, goal), abs(step))


def explore(present: float, low: float, high: float, step: float, *, up: bool) -> Plan:
    """Give settings a step apart from here to the bound, the last one on it; TooManyError.

    Settings outside `low` to `high` are left out: a move from outside begins at the first
    setting within.
    """
    bound = high if up else low
    distance = abs(bound - present)
    beyond = present >= high if up else present <= low
    if beyond or distance <= _NOISE * abs(bound):
        return Plan((), 0.0)
    count = math.ceil(distance / step - _NOISE)
    entry = max(0.0, low - present) if up else max(0.0, present - high)
    first = max(1, math.ceil(entry / step - _NOISE))
    if count - first > MOST:
        raise TooManyError(f"{count - first} settings")
    way = step if up else -step
    between = [present + way * number for number in range(first, count)]
    targets = [one for one in between if low <= one <= high] + [bound]
    moves = [abs(b - a) for a, b in zip([present, *targets], targets, strict=False)]
    return Plan(tuple(targets), min(moves))
