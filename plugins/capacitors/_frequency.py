"""Ripple and ESR of an aluminium capacitor carried from one frequency to another."""

from __future__ import annotations

import math
from bisect import bisect_left

from ._records import Capacitor

# Coefficients of permissible ripple, one maker's surface-mount 85 degC series sheet.
# Rated volts up to which the row holds: (Hz, factor) rising.
_COEFFICIENTS: dict[float, tuple[tuple[float, float], ...]] = {
    16.0: ((50, 0.8), (120, 1.0), (1_000, 1.15), (10_000, 1.25)),
    35.0: ((50, 0.8), (120, 1.0), (1_000, 1.25), (10_000, 1.40)),
    50.0: ((50, 0.8), (120, 1.0), (1_000, 1.35), (10_000, 1.50)),
}


def ripple_factor(part: Capacitor, given: float | None, wanted: float | None) -> float | None:
    """Give what the permissible ripple is multiplied by from one frequency to the other.

    The ESR is divided by its square. None where it cannot be said: one frequency is missing, or
    they differ and the part is no aluminium one of up to 50 V. Both missing count as the same.
    """
    if given == wanted:
        return 1.0
    row = next((row for volts, row in _COEFFICIENTS.items() if part.rated_voltage <= volts), None)
    if given is None or wanted is None or row is None or part.family != "aluminium":
        return None
    return _coefficient(row, wanted) / _coefficient(row, given)


def _coefficient(row: tuple[tuple[float, float], ...], frequency: float) -> float:
    place = bisect_left(row, (frequency,))
    if place == 0 or place == len(row):
        return row[min(place, len(row) - 1)][1]
    (low, below), (high, over) = row[place - 1], row[place]
    return below + (over - below) * math.log(frequency / low) / math.log(high / low)
