"""Thermistors whose resistance falls with heat, by their beta."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Annotated

from fixbook.api import (
    ARITHMETIC,
    CELSIUS,
    KELVIN,
    MEMORY,
    OHMS,
    PRACTICE,
    Answer,
    CalculationError,
    Celsius,
    Entry,
    Kelvin,
    Ohms,
    Part,
    QuantityError,
    Source,
    Target,
    Value,
    calculator,
    read,
    show,
    within,
)

ZERO_C = 273.15
_SPAN = 50.0
"""Kelvin from the nominal point within which beta is good to about 1 K."""
_COLDEST, _HOTTEST = -100.0, 400.0
_OHM_RANGE = within(1e-3, 1e9)
_OHMS = r"\d+(?:[.,]\d+)? ?[kM]?ohm\b"


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if not isinstance(where, Part):
        return None
    words = where.is_.lower()
    is_sensor = re.search(r"\bntc\b|thermistor", words) and "positive" not in words
    found = re.match(_OHMS, where.value)
    if not is_sensor or "inrush" in words or found is None:
        return None
    try:
        fits = _OHM_RANGE.hold(read(found[0], OHMS).value)
    except QuantityError:
        return None
    return {"nominal": found[0]} if fits else None


@calculator(
    "ntc",
    formula="1/T = 1/T0 + ln(R/R0)/B; R = R0 exp(B (1/T - 1/T0)); temperatures in kelvin",
    sources=[
        Source("definition of beta", ARITHMETIC),
        Source("10 kohm at 25 degC and 3950 K, a usual sensor", PRACTICE),
        Source("good to about 1 K over 50 K only", MEMORY),
    ],
    gives={
        "temperature": "temperature of the sensor, from its resistance",
        "resistance": "resistance of the sensor, from its temperature",
        "beta": "beta of the sensor, where both resistance and temperature are given",
    },
    fits=_fits,
)
def ntc(
    resistance: Annotated[Ohms | None, "resistance, to find the temperature", _OHM_RANGE] = None,
    temperature: Annotated[
        Celsius | None, "temperature, to find the resistance", within(-80, 300)
    ] = None,
    nominal: Annotated[Ohms, "resistance at the nominal temperature", _OHM_RANGE, PRACTICE] = 10e3,
    nominal_temperature: Annotated[
        Celsius, "temperature of the nominal resistance", within(-50, 200), PRACTICE
    ] = 25,
    beta: Annotated[
        Kelvin,
        "beta of the sensor's sheet, with its pair of temperatures, as 25/50",
        within(1500, 6000),
        PRACTICE,
    ] = 3950,
) -> Answer:
    """What temperature is this thermistor at, or what should it read?

    Give the resistance or the temperature; with both, the answer is the beta that goes through
    that point and the nominal one. Beta for 25/50 and for 25/85 differ by some per cent, so take
    the pair nearest to the temperatures you meet. It is good to about 1 K over 50 K only. The
    formula needs kelvin: with degrees Celsius it gives nonsense that looks right near 25 degC.

    Example: 10 kohm at 25 degC with 3950 K reads 3588 ohm at 50.00 degC.
    """
    base = nominal_temperature + ZERO_C
    if resistance is None and temperature is None:
        raise CalculationError(
            "give the resistance to find the temperature, or the temperature to find the "
            "resistance, or both to find beta",
            input="resistance",
            choices=["resistance", "temperature"],
        )
    if resistance is not None and temperature is not None:
        return _beta(resistance, temperature, nominal, nominal_temperature)
    if resistance is not None:
        found = _temperature_of(resistance, nominal, base, beta)
        answer = Value("temperature", found, CELSIUS, digits=4)
    else:
        found = temperature if temperature is not None else 0.0
        ohms = nominal * math.exp(beta * (1 / (found + ZERO_C) - 1 / base))
        answer = Value("resistance", ohms, OHMS, digits=5)
    slope = beta / (found + ZERO_C) ** 2
    notes = [f"There the resistance falls by {slope * 100:.3g} % for each kelvin."]
    if abs(found - nominal_temperature) > _SPAN:
        notes.append("Beta is good to about 1 K over 50 K only, and this is farther away.")
    return Answer([answer], notes=notes)


def _temperature_of(resistance: float, nominal: float, base: float, beta: float) -> float:
    inverse = 1 / base + math.log(resistance / nominal) / beta
    coldest, hottest = 1 / (_COLDEST + ZERO_C), 1 / (_HOTTEST + ZERO_C)
    if not hottest <= inverse <= coldest:
        raise CalculationError(
            f"resistance of {show(resistance, OHMS)} is no temperature between "
            f"{show(_COLDEST, CELSIUS)} and {show(_HOTTEST, CELSIUS)} for "
            f"{show(nominal, OHMS)} and {show(beta, KELVIN)}: open, shorted, or another sensor",
            input="resistance",
            read=show(resistance, OHMS),
        )
    return 1 / inverse - ZERO_C


def _beta(resistance: float, temperature: float, nominal: float, at: float) -> Answer:
    inverse = 1 / (temperature + ZERO_C) - 1 / (at + ZERO_C)
    if not inverse or resistance == nominal:
        raise CalculationError(
            f"beta needs a second point away from {show(nominal, OHMS)} at {show(at, CELSIUS)}",
            input="temperature",
            read=show(temperature, CELSIUS),
        )
    found = math.log(resistance / nominal) / inverse
    if found <= 0:
        raise CalculationError(
            f"{show(resistance, OHMS)} at {show(temperature, CELSIUS)} and "
            f"{show(nominal, OHMS)} at {show(at, CELSIUS)} rise together: that is no sensor whose "
            "resistance falls with heat",
            input="resistance",
            read=show(resistance, OHMS),
        )
    notes = [f"For the pair {at:g}/{temperature:g} degC."]
    return Answer([Value("beta", found, KELVIN, digits=5)], notes=notes)
