"""The impedance of a capacitor over frequency, to be drawn."""

from __future__ import annotations

import math

from fixbook.api import HERTZ, OHMS, CurveBlock

POINTS = 61
LOWEST, HIGHEST = 10.0, 10e6
"""Hertz; what is drawn unless the frequency asked for lies near an end."""


def impedance_curve(capacitance: float, esr: float, esl: float, frequency: float) -> CurveBlock:
    """Draw the magnitude against frequency, with the frequency that was asked for marked."""

    def magnitude(hertz: float) -> float:
        angular = 2 * math.pi * hertz
        return abs(complex(esr, angular * esl - 1 / (angular * capacitance)))

    low, high = min(LOWEST, frequency / 10), max(HIGHEST, frequency * 10)
    rise = (high / low) ** (1 / (POINTS - 1))
    hertz = [low * rise**number for number in range(POINTS)]
    points = tuple((one, magnitude(one)) for one in hertz if magnitude(one) > 0)
    here = magnitude(frequency)
    marks = (("asked for", frequency, here),) if here > 0 else ()
    return CurveBlock(
        "Against frequency",
        ("frequency", HERTZ.name),
        ("impedance", OHMS.name),
        (("impedance", points),),
        marks,
        logarithmic=True,
    )
