"""Safety sentences that calculators share."""

from __future__ import annotations

PROVE_DEAD = (
    "Mains-side parts can kill with the plug pulled. Discharge, then measure with a meter proved "
    "on a known source before and after, and only then touch. Measure again after a minute: a "
    "capacitor recovers some of its voltage."
)
DISCHARGE_TOOL = (
    "Discharge through a resistor made for it, never with a screwdriver or a bare wire."
)
BELIEVE_NEITHER = (
    "A calculated result is not permission. Where the reading and the result disagree, believe "
    "neither."
)
LASER_LIGHT = (
    "Optical pick-ups emit laser light, part of it invisible, and an opened player no longer has "
    "the laser class it was sold with. Never look into the lens, and never run it open in front "
    "of your eyes."
)
VENTING = (
    "Electrolytic capacitors fitted backwards or run above their voltage can vent or burst. Wear "
    "eye protection at first power-up."
)
