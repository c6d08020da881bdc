"""Ohm's law, and the resistor that stands it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Annotated

from fixbook.api import (
    AMPS,
    ARITHMETIC,
    CELSIUS,
    MEMORY,
    OHMS,
    PRACTICE,
    VOLTS,
    WATTS,
    Amps,
    Answer,
    CalculationError,
    Celsius,
    Entry,
    Ohms,
    Part,
    Ratio,
    Source,
    Target,
    Value,
    Volts,
    Watts,
    above,
    calculator,
    show,
    within,
)

from ._parts import resistance_of
from ._ratings import FILM_VOLTS, HOT_TO_TOUCH, standard_rating, standard_value

_FULL_UP_TO = 70.0
"""Degrees Celsius up to which a resistor stands its whole rating."""

_WERE = {1: "alone was", 3: "were", 4: "were"}


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    resistance = resistance_of(where) if isinstance(where, Part) else None
    return {"resistance": resistance} if resistance else None


@calculator(
    "ohms-law",
    formula=(
        "V = I R; P = V I = I^2 R = V^2/R; rating = P/derating, and above 70 degC divided by "
        "(Tmax - T)/(Tmax - 70) too"
    ),
    sources=[
        Source("Ohm's law and Joule's law", ARITHMETIC),
        Source("resistors run at half their rating", PRACTICE),
        Source("full rating up to 70 degC, none at 155 degC", MEMORY),
        Source("250 V across a 0.25 W film resistor", MEMORY),
    ],
    cautions=[HOT_TO_TOUCH],
    gives={
        "voltage": "voltage across it",
        "current": "current through it",
        "resistance": "its resistance",
        "power": "power in it",
        "rating": "power rating that the resistor needs",
        "standard_rating": "next standard power rating",
    },
    fits=_fits,
)
def ohms_law(
    voltage: Annotated[Volts | None, "voltage across it", above(0, 1e6)] = None,
    current: Annotated[Amps | None, "current through it", above(0, 1e5)] = None,
    resistance: Annotated[Ohms | None, "its resistance", above(0, 1e15)] = None,
    power: Annotated[Watts | None, "power in it", above(0, 1e9)] = None,
    derating: Annotated[
        Ratio, "part of its rating that a resistor is run at", within(0.1, 1), PRACTICE
    ] = 0.5,
    temperature: Annotated[
        Celsius, "temperature of the air around it", within(-20, 150), PRACTICE
    ] = 40,
    limit_temperature: Annotated[
        Celsius, "temperature at which it may dissipate nothing", within(75, 350), MEMORY
    ] = 155,
) -> Answer:
    """What voltage, current, resistance and power belong together, and which rating stands it?

    Give any two of voltage, current, resistance and power. The rating leaves a resistor at half
    its power, and allows for hot air above 70 degC. By its power alone a resistor stands
    sqrt(P R) volts, but the film has a limit of its own: several in series share the voltage.

    Example: 12 V across 100 ohm: 0.12 A and 1.44 W, so it needs 2.88 W: take 3 W.
    """
    volts, amps, ohms, watts = _four(voltage, current, resistance, power)
    factor = 1.0
    notes = []
    if temperature > _FULL_UP_TO:
        if temperature >= limit_temperature:
            raise CalculationError(
                f"temperature of {show(temperature, CELSIUS)} is not below limit_temperature of "
                f"{show(limit_temperature, CELSIUS)}, where a resistor may dissipate nothing",
                input="temperature",
                read=show(temperature, CELSIUS),
            )
        factor = (limit_temperature - temperature) / (limit_temperature - _FULL_UP_TO)
        notes.append(
            f"At {show(temperature, CELSIUS)} a resistor stands {factor:.3f} of its rating."
        )
    rating = watts / derating / factor
    chosen = standard_rating(rating)
    if chosen:
        notes.append(
            f"By power, {show(chosen, WATTS)} and {show(ohms, OHMS)} stand up to "
            f"{show(math.sqrt(chosen * ohms), VOLTS)}."
        )
    if volts > FILM_VOLTS:
        notes.append(
            f"{show(volts, VOLTS)} is more than the 250 V that a 0.25 W film resistor typically "
            f"stands ({MEMORY}), whatever its power allows: look up the limit of the type, or put "
            "several in series."
        )
    return Answer(
        [
            Value("voltage", volts, VOLTS),
            Value("current", amps, AMPS),
            Value("resistance", ohms, OHMS),
            Value("power", watts, WATTS),
            Value("rating", rating, WATTS),
            standard_value(rating),
        ],
        notes=notes,
    )


def _four(
    voltage: float | None, current: float | None, resistance: float | None, power: float | None
) -> tuple[float, float, float, float]:
    given = {"voltage": voltage, "current": current, "resistance": resistance, "power": power}
    named = [name for name, value in given.items() if value is not None]
    if len(named) == 2:
        if voltage is not None and current is not None:
            return voltage, current, voltage / current, voltage * current
        if voltage is not None and resistance is not None:
            return voltage, voltage / resistance, resistance, voltage * voltage / resistance
        if voltage is not None and power is not None:
            return voltage, power / voltage, voltage * voltage / power, power
        if current is not None and resistance is not None:
            return current * resistance, current, resistance, current * current * resistance
        if current is not None and power is not None:
            return power / current, current, power / current / current, power
        if resistance is not None and power is not None:
            return math.sqrt(power * resistance), math.sqrt(power / resistance), resistance, power
    open_ones = [name for name in given if name not in named]
    what = "nothing was given" if not named else f"{', '.join(named)} {_WERE[len(named)]} given"
    raise CalculationError(
        f"give two of voltage, current, resistance, power; {what}",
        input=named[-1] if len(named) > 2 else open_ones[0],
        choices=open_ones if len(named) < 2 else list(given),
    )
