"""A voltage divider: output, load, tolerance, and what a meter makes of it."""

from __future__ import annotations

from typing import Annotated

from fixbook.api import (
    ARITHMETIC,
    OHMS,
    PRACTICE,
    VOLTS,
    WATTS,
    Answer,
    Ohms,
    Source,
    Tolerance,
    Value,
    Volts,
    calculator,
    show,
    within,
)

_OHM_RANGE = within(1e-6, 1e15)
FIVE_PERCENT = Tolerance(0.05, 0.05)


@calculator(
    "divider",
    formula="Vout = Vin R2/(R1 + R2), loaded with R2 parallel to the load; source = R1 parallel R2",
    sources=[
        Source("Thevenin's theorem", ARITHMETIC),
        Source("10 Mohm for the input of a digital meter", PRACTICE),
    ],
    gives={
        "output": "voltage without load",
        "loaded": "voltage with the load",
        "low": "lowest voltage with both resistors at the ends of their tolerance",
        "high": "highest voltage with both resistors at the ends of their tolerance",
        "source_resistance": "resistance that the load sees",
        "meter_shows": "voltage with the meter connected, and the load if there is one",
    },
)
def divider(
    supply: Annotated[Volts, "voltage across both resistors", within(-1000, 1000)],
    upper: Annotated[Ohms, "resistor on the side of the supply", _OHM_RANGE],
    lower: Annotated[Ohms, "resistor on the side of ground", _OHM_RANGE],
    load: Annotated[Ohms | None, "load across the lower resistor", _OHM_RANGE] = None,
    tolerance: Annotated[Tolerance, "tolerance of both resistors"] = FIVE_PERCENT,
    meter: Annotated[Ohms, "input resistance of the meter", _OHM_RANGE, PRACTICE] = 10e6,
) -> Answer:
    """What does this divider give, with its load, its tolerance and my meter on it?

    The band is the worst case: one resistor at the top of its tolerance and the other at the
    bottom; with a load it is that of the loaded output. A meter of 10 Mohm is a load too: it
    matters as soon as the resistors are some hundred kiloohm.

    Example: 10 V over 1 Mohm and 1 Mohm is 5 V; a 10 Mohm meter shows 4.76 V.
    """
    band = [
        _output(supply, upper * (1 + up), _with(lower * (1 + down), load))
        for up, down in (
            (tolerance.plus, -tolerance.minus),
            (-tolerance.minus, tolerance.plus),
        )
    ]
    output = _output(supply, upper, lower)
    loaded = _output(supply, upper, _with(lower, load))
    shows = _output(supply, upper, _with(_with(lower, load), meter))
    in_upper = (supply - loaded) ** 2 / upper
    in_lower = loaded**2 / lower
    powers = f"{show(in_upper, WATTS)} in the upper resistor, {show(in_lower, WATTS)} in the lower"
    return Answer(
        [
            Value("output", output, VOLTS, digits=5),
            _loaded(load, loaded),
            Value("low", min(band), VOLTS),
            Value("high", max(band), VOLTS),
            Value("source_resistance", _parallel(upper, lower), OHMS, digits=5),
            Value("meter_shows", shows, VOLTS, digits=5),
        ],
        notes=[f"Power: {powers}."],
    )


def _loaded(load: float | None, loaded: float) -> Value:
    if load is None:
        return Value("loaded", None, VOLTS, text="give the load for this")
    return Value("loaded", loaded, VOLTS, digits=5)


def _output(supply: float, upper: float, lower: float) -> float:
    return supply * (lower / (upper + lower))


def _with(lower: float, load: float | None) -> float:
    return lower if load is None else _parallel(lower, load)


def _parallel(one: float, other: float) -> float:
    return one * (other / (one + other))
