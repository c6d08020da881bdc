"""A meter's accuracy, typed in the place of an uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from fixbook.api import Count, Kind, Measured, Percent, within

from ._unusable import unusable


@dataclass(frozen=True, slots=True)
class Accuracy:
    """What a meter's manual says: plus or minus (percent of the reading + counts)."""

    percent: Annotated[Percent, "of the reading", within(0, 20)]
    resolution: Annotated[Measured, "one count on the range in use"]
    counts: Annotated[Count, "of the last digit", within(0, 1000)] = 0

    def expanded(self, reading: float, kind: Kind) -> float:
        """Give the expanded uncertainty, coverage 2, of a reading of that kind.

        The limit is taken as a rectangular distribution. CalculationError where the resolution
        is in another unit, or nothing is left uncertain.
        """
        if self.resolution.kind.unit not in ("", kind.unit) or self.resolution.value <= 0:
            raise unusable("meter", self.resolution, f"a resolution in {kind.unit}, above zero")
        limit = abs(reading) * self.percent / 100 + self.counts * self.resolution.value
        if limit <= 0:
            raise unusable("meter", self.resolution, "with a percent or counts above zero")
        return 2 * limit / math.sqrt(3)
