"""Models of the life of an electrolytic: which one holds, and what it says.

Rises are in kelvin, temperatures in degrees Celsius, lives in the unit of the endurance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NoReturn

from fixbook.api import CalculationError

COOLEST = 40.0
"""Celsius; below it no longer life is counted on."""
_MOST_RISE = 20.0
"""Kelvin of core rise up to which the ripple model was published."""
# Rise at the core over rise at the case top by can diameter in mm, a maker's engineering note.
# Between two sizes the greater one is taken: it gives the shorter life.
_CORE_TO_CASE = (
    (8.0, 1.0), (12.5, 1.1), (18.0, 1.2), (22.0, 1.3), (25.0, 1.4), (30.0, 1.5), (35.0, 1.6),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Conditions:
    """What a part's life at any air temperature follows from."""

    model: str
    endurance: float
    endurance_temperature: float
    rise: float
    """Core above the air, in kelvin."""
    rated_rise: float
    voltage_factor: float

    def life(self, temperature: float) -> float:
        """Give the life at an air temperature, in the unit of the endurance."""
        below = self.endurance_temperature - max(temperature, COOLEST)
        life = self.endurance * self.voltage_factor
        if self.model == "polymer":
            return float(life * 10 ** (below / 20))
        exponent = below / 10
        if self.model == "dc-only":
            exponent -= self.rise / 5
        if self.model == "ripple":
            exponent += self.rated_rise / (10 - 0.25 * self.rated_rise)
            exponent -= self.rise / (10 - 0.25 * self.rise)
        return float(life * 2**exponent)

    def temperature(self, life: float) -> float:
        """Give the constant air temperature at which the part would live so long."""
        at_rating = self.life(self.endurance_temperature)
        if self.model == "polymer":
            return self.endurance_temperature - 20 * math.log10(life / at_rating)
        return self.endurance_temperature - 10 * math.log2(life / at_rating)


def choose_model(model: str | None, basis: str, core_rise: float | None) -> str:
    """Give the model of an endurance's basis; CalculationError where the two do not go together."""
    chosen = model or basis
    if {chosen, basis} == {"ripple", "dc-only"}:
        wrong = "counts the ripple twice" if basis == "ripple" else "leaves the ripple out"
        raise CalculationError(
            f"the model {chosen} on an endurance stated with {basis} {wrong}",
            input="model",
            read=chosen,
            choices=[basis, "ten-degree"],
        )
    if chosen == "dc-only" and core_rise is None:
        raise CalculationError(
            "an endurance stated with direct voltage only needs core_rise; ripple-heating works "
            "it out, and 0 K is right without ripple",
            input="core_rise",
            hint="write core_rise=…",
        )
    return chosen


def core_rise_of(
    model: str,
    core_rise: float | None,
    ripple_ratio: float,
    rated_rise: float,
    assumptions: list[str],
) -> float:
    """Give the core's rise above the air, as far as the model counts it."""
    if model not in ("dc-only", "ripple"):
        assumptions.append("the heat of the ripple beyond the endurance test is left out")
        return 0.0
    if core_rise is not None:
        if model == "ripple":
            assumptions.append("core_rise is used, and not ripple_ratio")
        rise, name = core_rise, "core_rise"
    else:
        rise, name = rated_rise * ripple_ratio**2, "ripple_ratio"
    if model == "ripple" and rise > _MOST_RISE * (1 + 1e-9):
        raise CalculationError(
            f"{name} makes a core rise of {rise:.3g} K; the ripple model holds up to 20 K",
            input=name,
            read=f"{rise:.3g} K" if name == "core_rise" else f"{ripple_ratio:g}",
            hint="the part is overloaded: take one with more ripple rating",
        )
    return rise


def air_temperature(
    case_temperature: float, can_diameter: float | None, where: Conditions
) -> float:
    """Give the temperature of the air at the can from that of its top."""
    if where.model != "ripple":
        _refuse("case_temperature", "case_temperature is for the ripple model; give temperature")
    if can_diameter is None:
        _refuse("can_diameter", "case_temperature needs can_diameter, the diameter of the can")
    millimetres = can_diameter * 1e3
    share = next(share for size, share in _CORE_TO_CASE if millimetres <= size * (1 + 1e-9))
    return case_temperature - where.rise / share


def _refuse(name: str, why: str) -> NoReturn:
    raise CalculationError(why, input=name)
