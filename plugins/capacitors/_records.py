"""The capacitor that sat there, the one offered, and the place, as a technician describes them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Literal

from fixbook.api import (
    Amps,
    CalculationError,
    Celsius,
    Centimetres,
    Farads,
    Hertz,
    Hours,
    Metres,
    Ohms,
    OhmSpan,
    Ratio,
    Tolerance,
    Volts,
    above,
    within,
)

from ._policies import FamilyName

Polarity = Literal["polar", "bipolar"]
Role = Literal[
    "reservoir",
    "regulator-output",
    "decoupling",
    "coupling",
    "timing",
    "filter",
    "snubber",
    "mains",
    "back-up",
]
SUPPLY_ROLES = ("reservoir", "regulator-output", "decoupling", "back-up")
POLAR_FAMILIES = ("aluminium", "tantalum-mno2", "tantalum-polymer", "aluminium-polymer")
_CLASS = re.compile(r"[XY][1-4]")
_CLASSES_ONLY = re.compile(r"[XY][1-4](?:[ /,+-]*[XY][1-4])*")


@dataclass(frozen=True, slots=True)
class Capacitor:
    """A capacitor as its marking and its sheet state it."""

    capacitance: Annotated[Farads, "nominal capacitance", above(0, 1e6)]
    rated_voltage: Annotated[Volts, "rated voltage; of mains parts the marked AC volts", above(0)]
    family: Annotated[FamilyName, "what kind of capacitor"] = "aluminium"
    tolerance: Annotated[Tolerance | None, "of the capacitance"] = None
    temperature_rating: Annotated[Celsius | None, "highest temperature", within(0, 250)] = None
    endurance: Annotated[Hours | None, "at the temperature rating", above(0)] = None
    esr: Annotated[Ohms | None, "ESR or impedance, highest value", within(0, 1000)] = None
    esr_frequency: Annotated[Hertz | None, "frequency of the esr", within(1, 1e9)] = None
    ripple: Annotated[Amps | None, "permissible ripple current, rms", above(0)] = None
    ripple_frequency: Annotated[Hertz | None, "frequency of the ripple", within(1, 1e9)] = None
    diameter: Annotated[Centimetres | None, "of the body", within(0.001, 0.2)] = None
    height: Annotated[Centimetres | None, "of the body", within(0.001, 0.3)] = None
    pitch: Annotated[Metres | None, "lead spacing: 5 mm", within(0.0005, 0.1)] = None
    lead_diameter: Annotated[Metres | None, "0.6 mm", within(0.0002, 0.01)] = None
    polarity: Annotated[Polarity | None, "left out: what is usual for the family"] = None
    safety_class: Annotated[str | None, "marked safety class: X2, or X1/Y2"] = None

    def is_polar(self) -> bool:
        """Say whether it has a plus and a minus."""
        usual = "polar" if self.family in POLAR_FAMILIES else "bipolar"
        return (self.polarity or usual) == "polar"

    def classes(self, name: str) -> dict[str, int]:
        """Give the subclass by letter, X and Y; CalculationError for any other text."""
        if self.safety_class is None:
            return {}
        marked = self.safety_class.upper().strip()
        if not _CLASSES_ONLY.fullmatch(marked):
            raise CalculationError(
                f"safety_class of {name} is {self.safety_class!r}; it is X1 to X3, Y1 to Y4, or "
                "both as X1/Y2",
                input=name,
                read=self.safety_class,
                choices=["X1", "X2", "Y1", "Y2", "X1/Y2"],
            )
        return {one[0]: int(one[1]) for one in _CLASS.findall(marked)}


@dataclass(frozen=True, slots=True)
class Place:
    """Where the part sits."""

    role: Annotated[Role, "what it does there"]
    rail: Annotated[Volts | None, "actual direct voltage there", above(0, 10_000)] = None
    rail_tolerance: Annotated[Ratio, "how far it may lie above", within(0, 0.5)] = 0.05
    ripple_peak: Annotated[Volts, "ripple, peak above the mean", within(0, 1000)] = 0
    temperature: Annotated[Celsius | None, "air there", within(-55, 150)] = None
    measured_ripple: Annotated[Amps | None, "ripple current measured, rms", within(0, 1000)] = None
    ripple_frequency: Annotated[Hertz | None, "of that ripple", within(1, 1e9)] = None
    free_diameter: Annotated[Centimetres | None, "room across", within(0.001, 1)] = None
    free_height: Annotated[Centimetres | None, "room above the board", within(0.001, 1)] = None
    pitch: Annotated[Metres | None, "hole spacing: 5 mm", within(0.0005, 0.1)] = None
    hole: Annotated[Metres | None, "hole diameter: 0.9 mm", within(0.0002, 0.01)] = None
    esr_window: Annotated[OhmSpan | None, "ESR that the regulator is stable with"] = None
    low_impedance: Annotated[
        bool | None, "rail that can deliver a large current; left out: yes for supplies"
    ] = None
    polarity: Annotated[Polarity | None, "of the place; left out: the original's"] = None

    def stress(self) -> float | None:
        """Give the highest voltage across the part; None where the rail is not known."""
        if self.rail is None:
            return None
        return self.rail * (1 + self.rail_tolerance) + self.ripple_peak

    def is_low_impedance(self) -> bool:
        """Say whether a short circuit there can draw a large current."""
        is_supply = self.role in SUPPLY_ROLES
        return is_supply if self.low_impedance is None else self.low_impedance


@dataclass(frozen=True, slots=True)
class Exchange:
    """One part for another in a place: what every rule looks at."""

    original: Capacitor
    candidate: Capacitor
    place: Place

    def is_mains(self) -> bool:
        """Say whether an X or Y capacitor belongs there."""
        old = self.original
        return self.place.role == "mains" or old.family == "mains" or old.safety_class is not None
