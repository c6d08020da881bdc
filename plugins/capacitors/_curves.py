"""What is drawn of capacitors: the impedance of a part and its stand-in, life over temperature."""

from __future__ import annotations

import math

from fixbook.api import CELSIUS, HERTZ, HOURS, OHMS, CurveBlock

from ._endurance import COOLEST, Conditions
from ._records import Capacitor

POINTS = 51
LOWEST, HIGHEST = 10.0, 1e6
"""Hertz; above it the inductance counts, of which nothing is known here."""


def both_impedances(original: Capacitor, candidate: Capacitor) -> list[CurveBlock]:
    """Draw the magnitude of both parts; nothing where either has no stated ESR."""
    if not (original.esr and candidate.esr):
        return []
    curves = (("original", _impedance(original)), ("candidate", _impedance(candidate)))
    note = "From capacitance and stated ESR alone; the inductance is left out."
    return [
        CurveBlock(
            "Impedance against frequency",
            ("frequency", HERTZ.name),
            ("impedance", OHMS.name),
            curves,
            logarithmic=True,
            note=note,
        )
    ]


def life_curve(where: Conditions, temperature: float) -> CurveBlock:
    """Draw the life against the air's temperature, with the temperature asked for marked."""
    low, high = COOLEST, where.endurance_temperature
    across = [low + (high - low) * number / (POINTS - 1) for number in range(POINTS)]
    points = tuple((one, where.life(one)) for one in across)
    here = max(low, temperature)
    return CurveBlock(
        "Against temperature",
        ("air at the can", CELSIUS.name),
        ("life", HOURS.name),
        (("life", points),),
        (("here", here, where.life(here)),),
    )


def _impedance(part: Capacitor) -> tuple[tuple[float, float], ...]:
    rise = (HIGHEST / LOWEST) ** (1 / (POINTS - 1))
    hertz = [LOWEST * rise**number for number in range(POINTS)]
    return tuple(
        (one, math.hypot(part.esr or 0.0, 1 / (2 * math.pi * one * part.capacitance)))
        for one in hertz
    )
