"""From a meter's accuracy to an interval around a reading."""

from __future__ import annotations

import math
from typing import Annotated

from fixbook.api import (
    BELIEVE_NEITHER,
    MEMORY,
    PRACTICE,
    RATIO,
    Answer,
    Count,
    Measured,
    Percent,
    Source,
    Value,
    calculator,
    within,
)

from ._reading import CATEGORIES, CATEGORY, Coverage, difference_of, unusable

_POOR = 0.1


@calculator(
    "meter-interval",
    formula="half_width = abs(reading) percent/100 + counts resolution;  u = half_width/sqrt(3);  "
    "U = coverage u",
    sources=[
        Source("JCGM 100:2008, 4.3.7, rectangular distribution", MEMORY),
        Source("lead resistance of 0.1 to 0.5 ohm", PRACTICE),
        CATEGORIES,
    ],
    cautions=[CATEGORY, BELIEVE_NEITHER],
    gives={
        "half_width": "the accuracy limit at this reading, either way",
        "standard_uncertainty": "the limit over the square root of three",
        "expanded_uncertainty": "standard uncertainty times the coverage factor",
        "low": "the reading less the limit",
        "high": "the reading plus the limit",
        "relative": "the limit as a share of the reading",
    },
)
def meter_interval(
    reading: Annotated[Measured, "what the meter shows"],
    percent: Annotated[Percent, "accuracy, per cent of the reading", within(0, 20)],
    counts: Annotated[Count, "accuracy, counts of the last digit", within(0, 1000)] = 0,
    *,
    resolution: Annotated[Measured, "one count on the range in use, in the reading's unit"],
    coverage: Coverage = 2,
) -> Answer:
    """What does plus or minus (per cent + counts) leave of this reading?

    The accuracy limit is not the uncertainty: the limit over the square root of three is the
    standard uncertainty, so at coverage 2 the expanded uncertainty is 1.155 times the limit.

    Counts belong to the range in use, not to the value, and autoranging can change the
    resolution between two readings. The specification holds for a temperature window and a
    calibration interval, often 18 to 28 degC and one year; outside them most manuals add a
    term. Leads add 0.1 to 0.5 ohm (common practice, no source): subtract them on low ohms, and
    add their uncertainty with the calculator `uncertainty`.

    Example: 452.3 ohm on a meter of 0.5 % + 2 counts of 0.1 ohm: the limit is 2.46 ohm, the
    standard uncertainty 1.42 ohm, the expanded uncertainty 2.84 ohm.
    """
    if resolution.value <= 0:
        raise unusable("resolution", resolution, "one count on the range in use, above zero")
    kind = difference_of(reading.kind)
    limit = abs(reading.value) * percent / 100 + counts * resolution.value
    standard = limit / math.sqrt(3)
    share = limit / abs(reading.value) if reading.value else None
    poor = share is not None and share > _POOR
    return Answer(
        [
            Value("half_width", limit, kind),
            Value("standard_uncertainty", standard, kind),
            Value("expanded_uncertainty", coverage * standard, kind),
            Value("low", reading.value - limit, reading.kind, digits=6),
            Value("high", reading.value + limit, reading.kind, digits=6),
            Value(
                "relative",
                share,
                RATIO,
                digits=3,
                text="" if share is not None else "none: the reading is zero",
            ),
        ],
        assumptions=[
            "the limit is taken as a rectangular distribution",
            *(["meter is poor on this range"] if poor else []),
        ],
    )
