"""Platinum resistance sensors of IEC 60751."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Annotated, Literal

from fixbook.api import (
    CELSIUS,
    KELVIN,
    MEMORY,
    OHMS,
    PUBLISHED,
    SECONDARY,
    Answer,
    CalculationError,
    Celsius,
    Entry,
    Ohms,
    Part,
    Source,
    Target,
    Value,
    above,
    calculator,
    show,
    within,
)

# IEC 60751:2008, several public copies agree. C counts below 0 degC only.
A, B, C = 3.9083e-3, -5.775e-7, -4.183e-12
LOWEST, HIGHEST = -200.0, 850.0
# Kelvin at 0 degC, and kelvin for each degree away from it.
TOLERANCES = {"AA": (0.1, 0.0017), "A": (0.15, 0.002), "B": (0.3, 0.005)}
_ROUNDING = 5e-5
"""Part of the nominal value by which a table rounded to two decimals may be off."""


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    words = where.is_ + " " + where.value if isinstance(where, Part) else where.name
    found = re.search(r"\bpt ?(100|1000)\b", words.lower())
    return {"nominal": f"{found[1]} ohm"} if found else None


@calculator(
    "platinum-sensor",
    formula=(
        "R = R0 (1 + A t + B t^2 + C (t - 100) t^3), A = 3.9083e-3, B = -5.775e-7, "
        "C = -4.183e-12 below 0 degC and 0 above"
    ),
    sources=[
        Source("IEC 60751:2008, coefficients, table points and classes A and B", PUBLISHED),
        Source("IEC 60751:2008, class AA", SECONDARY),
        Source("other platinum curves: alpha 0.003916 and 0.00392", MEMORY),
    ],
    gives={
        "temperature": "temperature of the sensor, from its resistance",
        "resistance": "resistance of the sensor, from its temperature",
        "tolerance": "how far a sensor of this class may be off at this temperature",
    },
    fits=_fits,
)
def platinum_sensor(
    resistance: Annotated[Ohms | None, "resistance, to find the temperature", above(0, 1e4)] = None,
    temperature: Annotated[
        Celsius | None, "temperature, to find the resistance", within(LOWEST, HIGHEST)
    ] = None,
    nominal: Annotated[Ohms, "resistance at 0 degC", within(10, 2000)] = 100,
    class_: Annotated[Literal["AA", "A", "B"], "tolerance class"] = "B",
) -> Answer:
    """What temperature is this platinum sensor at, or what should it read?

    Give the resistance or the temperature. Two-wire leads add 2.6 K for each ohm with a Pt100,
    the current of the meter warms the sensor, and other platinum curves exist: ask which one.

    Example: 138.5055 ohm of a Pt100 is 100.00 degC; class B allows 0.80 K there.
    """
    if resistance is not None and temperature is None:
        found = _temperature_of(resistance, nominal)
        sought = Value("temperature", found, CELSIUS, digits=5)
    elif temperature is not None and resistance is None:
        found = temperature
        sought = Value("resistance", nominal * ratio(temperature), OHMS, digits=6)
    else:
        which = ", not both" if resistance is not None else ""
        raise CalculationError(
            f"give the resistance to find the temperature, or the temperature{which}",
            input="temperature" if resistance is not None else "resistance",
            choices=["resistance", "temperature"],
        )
    fixed, rising = TOLERANCES[class_]
    per_ohm = 1 / (nominal * A)
    return Answer(
        [sought, Value("tolerance", fixed + rising * abs(found), KELVIN)],
        notes=[f"Two-wire leads add about {per_ohm:.2g} K for each ohm."],
    )


def ratio(temperature: float) -> float:
    """Give the resistance at a temperature over the one at 0 degC."""
    t = temperature
    below = C * (t - 100) * t**3 if t < 0 else 0.0
    return 1 + A * t + B * t * t + below


def _temperature_of(resistance: float, nominal: float) -> float:
    wanted = resistance / nominal
    lowest, highest = ratio(LOWEST), ratio(HIGHEST)
    if not lowest - _ROUNDING <= wanted <= highest + _ROUNDING:
        raise CalculationError(
            f"resistance of {show(resistance, OHMS)} is outside what is valid for a nominal "
            f"{show(nominal, OHMS)}: from {show(lowest * nominal, OHMS)} at -200 degC to "
            f"{show(highest * nominal, OHMS)} at 850 degC",
            input="resistance",
            read=show(resistance, OHMS),
        )
    t = (-A + math.sqrt(A * A - 4 * B * (1 - wanted))) / (2 * B)
    if wanted >= 1:
        return t
    for _ in range(20):  # Newton's method; it settles within five steps over the whole range
        slope = A + 2 * B * t + C * (4 * t**3 - 300 * t * t)
        t -= (ratio(t) - wanted) / slope
    return t
