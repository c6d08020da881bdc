"""Where the marks of a scale lie: a stretch of numbers that shows the windows and the readings."""

from __future__ import annotations

import math
from typing import NamedTuple

from fixbook.core.sheet import ScaleBlock

BESIDE = 0.35
"""So much of the windows' width is shown on either side of them."""


class Stretch(NamedTuple):
    """The numbers that a scale shows."""

    low: float
    high: float

    def place(self, value: float | None, *, end: float) -> float:
        """Give where a number lies, 0 at the left and 1 at the right; `end` for no number."""
        if value is None:
            return end
        return min(1.0, max(0.0, (value - self.low) / (self.high - self.low)))


def stretch(block: ScaleBlock) -> Stretch | None:
    """Give the stretch of a scale; None where nothing on it has a number."""
    ends = [end for low, high, _ in block.windows for end in (low, high) if end is not None]
    others = [value + side * band for _, value, band in block.readings for side in (-1, 1)]
    others += block.steps
    every = [one for one in (*ends, *others) if math.isfinite(one)]
    if not every:
        return None
    low, high = min(every), max(every)
    spare = ((max(ends) - min(ends)) if len(ends) > 1 else 0.0) or abs(high - low)
    spare = (spare or abs(high) or 1.0) * BESIDE
    # A window from 0 up begins at the left: there is nothing below it to be read.
    first = low - (0.0 if low == 0 else spare)
    if not math.isfinite((high + spare) - first) or high + spare <= first:
        return None
    return Stretch(first, high + spare)
