"""What a part is really, with something else across it."""

from __future__ import annotations

import math
from typing import Annotated

from fixbook.api import (
    BELIEVE_NEITHER,
    MEMORY,
    OHMS,
    RATIO,
    Answer,
    CalculationError,
    Ohms,
    Source,
    Value,
    above,
    calculator,
    show,
    within,
)

_TOO_STEEP = 4.0
"""Above so much change of the result for a change of the reading, lift a leg instead."""


def in_parallel(one: float, other: float) -> float:
    """Give the resistance of two in parallel."""
    return one / (1 + one / other)


@calculator(
    "parallel-path",
    formula="R = Rm Rp/(Rp - Rm) with Rm = reading - leads;  reading error -R/(R + Rp);  "
    "dR/dRm = (Rp/(Rp - Rm))^2;  dR/dRp = -(Rm/(Rp - Rm))^2",
    sources=[
        Source(
            "parallel resistors: Horowitz and Hill, The Art of Electronics, 3rd ed., 1.2", MEMORY
        ),
        Source("test voltage at which junctions conduct, about 0.3 to 0.6 V", MEMORY),
    ],
    cautions=[BELIEVE_NEITHER],
    gives={
        "resistance": "the part alone",
        "error": "how far the reading is off the part, as a share of it",
        "uncertainty": "standard uncertainty of the resistance",
    },
)
def parallel_path(
    reading: Annotated[Ohms, "in-circuit reading", above(0, 1e12)],
    parallel: Annotated[Ohms, "what lies across the part", above(0, 1e15)],
    leads: Annotated[Ohms, "resistance of the test leads, subtracted first", within(0, 5)] = 0,
    reading_uncertainty: Annotated[Ohms, "standard uncertainty of the reading"] = 0,
    parallel_uncertainty: Annotated[Ohms, "standard uncertainty of the path"] = 0,
) -> Answer:
    """What is this part really, if something else sits across it?

    The in-circuit reading is always too low for resistors. This takes the path out again;
    putting both values into the parallel formula once more makes it worse. The correction is
    only as good as the path. Semiconductor junctions conduct above about 0.3 to 0.6 V of test
    voltage (from memory, confirm), and a charging capacitor looks like a rising resistance.

    Example: 450 ohm read with 2000 ohm across: the part is 580.6 ohm, the reading 22.5 % low.
    """
    read = reading - leads
    if read <= 0:
        raise CalculationError(
            f"leads of {show(leads, OHMS)} leave nothing of the reading of {show(reading, OHMS)}",
            input="leads",
            read=show(leads, OHMS),
        )
    if read >= parallel:
        raise CalculationError(
            f"the reading of {show(read, OHMS, digits=6)} is above the path you gave, "
            f"{show(parallel, OHMS, digits=6)}; the path estimate is wrong",
            input="parallel",
            read=show(parallel, OHMS, digits=6),
        )
    slope = (parallel / (parallel - read)) ** 2
    path_slope = (read / (parallel - read)) ** 2
    resistance = read * (parallel / (parallel - read))
    spread = math.hypot(slope * reading_uncertainty, path_slope * parallel_uncertainty)
    steep = f"lift one leg, the correction is larger than the measurement: the result moves {slope:.3g} times as much as the reading"
    return Answer(
        [
            Value("resistance", resistance, OHMS, digits=6),
            Value("error", -resistance / (resistance + parallel), RATIO),
            Value("uncertainty", spread, OHMS, digits=6),
        ],
        notes=[steep] if slope > _TOO_STEEP else [],
        assumptions=["what lies across the part is taken as a plain resistor"],
    )
