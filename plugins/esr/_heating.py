"""What ripple current does in a capacitor: voltage across its ESR, power, rise."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fixbook.api import (
    AMPS,
    BELIEVE_NEITHER,
    KELVIN,
    MEMORY,
    OHMS,
    PRACTICE,
    RATIO,
    VOLTS,
    WATTS,
    Amps,
    Answer,
    CalculationError,
    Centimetres,
    Entry,
    Number,
    Ohms,
    Part,
    Source,
    Target,
    Value,
    above,
    calculator,
    whole_quantity,
    within,
)

_WARM = 10.0
"""Kelvin of rise above which the part is warned about."""
_TRIANGLE = 2 * math.sqrt(3)
"""Peak to peak over rms of a triangular current."""


@dataclass(frozen=True, slots=True)
class Current:
    """The current at one frequency."""

    current: Annotated[Amps, "rms current at one frequency", within(0, 100)]
    factor: Annotated[
        Number, "ripple coefficient of the series at that frequency, 1 at 120 Hz", above(0, 10)
    ]


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if not isinstance(where, Part):
        return None
    esr = whole_quantity(where.esr, OHMS)
    ripple = whole_quantity(where.ripple, AMPS)
    return {"esr": esr, "current_rms": ripple} if esr and ripple else None


@calculator(
    "ripple-heating",
    formula="ripple_voltage = current_pp esr;  current_rms = current_pp/(2 sqrt(3)) of a "
    "triangle;  power = current_rms^2 esr;  rise = power/(heat_transfer S), "
    "S = pi/4 D (D + 4 L);  several frequencies: current_rms = sqrt(sum (current/factor)^2)",
    sources=[
        Source("a maker's note on the life of aluminium capacitors: rise = I^2 R/(beta S)"),
        Source("heat transfer of 1 to 3 mW per K and cm2", MEMORY),
        Source("currents of several frequencies added by equal heating", MEMORY),
        Source("warning above 10 K of rise", PRACTICE),
    ],
    cautions=[BELIEVE_NEITHER],
    gives={
        "ripple_voltage": "peak to peak, across the ESR alone",
        "current_rms": "rms current; for several frequencies the equal of them all at 120 Hz",
        "power": "heat made in the part",
        "rise": "of the core above the air around the can",
        "rated_share": "the rms current as a share of the rated ripple",
    },
    fits=_fits,
)
def ripple_heating(
    esr: Annotated[Ohms, "series resistance; for currents, at 120 Hz", within(0, 1000)],
    current_pp: Annotated[
        Amps | None, "triangular current, peak to peak; or current_rms", within(0, 100)
    ] = None,
    current_rms: Annotated[Amps | None, "rms current; or current_pp", within(0, 100)] = None,
    diameter: Annotated[Centimetres | None, "of the can", within(0.003, 0.1)] = None,
    length: Annotated[Centimetres | None, "of the can", within(0.005, 0.25)] = None,
    heat_transfer: Annotated[
        Number, "heat given off, mW per K and cm2 of can", within(1, 3), MEMORY
    ] = 2,
    currents: Annotated[
        tuple[Current, ...], "instead of one current: each frequency's with its coefficient"
    ] = (),
    rated_ripple: Annotated[Amps | None, "rated ripple current at 120 Hz", above(0, 100)] = None,
) -> Answer:
    """How much ripple voltage does the ESR make, and how warm does the capacitor get?

    The ripple voltage is that of the ESR alone; the capacitance and the leads add theirs. Give
    the current in one way: peak to peak of a triangle, rms, or a list of currents with the
    series' ripple coefficients, which makes one equal current at 120 Hz. The heat leaves by the
    side and one end of the can. Above a rise of 10 K the part is working hard (common practice,
    no source): look for more ripple rating, or for what heats it.

    Example: 0.5 A rms through 0.2 ohm in a can of 1 cm by 2 cm: 50 mW, 7.07 cm2, 3.5 K.

        currents='current=1 factor=1' currents='current=1 factor=1.25'
    """
    assumptions: list[str] = []
    rms, swing = _currents(current_pp, current_rms, currents, assumptions)
    power = rms * rms * esr
    rise = _rise(power, diameter, length, heat_transfer)
    warm = rise is not None and rise > _WARM
    return Answer(
        [
            Value("ripple_voltage", swing * esr, VOLTS)
            if swing is not None
            else Value("ripple_voltage", None, VOLTS, text="none for a mix of frequencies"),
            Value("current_rms", rms, AMPS, digits=5),
            Value("power", power, WATTS),
            Value(
                "rise", rise, KELVIN, text="" if rise is not None else "give diameter and length"
            ),
            *([Value("rated_share", rms / rated_ripple, RATIO)] if rated_ripple else []),
        ],
        assumptions=assumptions,
        notes=[
            *([f"a rise above 10 K is much for an electrolytic ({PRACTICE})"] if warm else []),
            *(["more than the rated ripple"] if rated_ripple and rms > rated_ripple else []),
        ],
    )


def _currents(
    current_pp: float | None,
    current_rms: float | None,
    currents: tuple[Current, ...],
    assumptions: list[str],
) -> tuple[float, float | None]:
    """Give the rms current, and the swing where there is one."""
    names = ("current_pp", "current_rms", "currents")
    given = [
        name
        for name, is_given in zip(
            names, (current_pp is not None, current_rms is not None, bool(currents)), strict=True
        )
        if is_given
    ]
    if len(given) != 1:
        raise CalculationError(
            "give the current in one way: current_pp, current_rms or currents"
            + (f", not {' and '.join(given)}" if given else ""),
            input=given[-1] if given else "current_pp",
            choices=names,
        )
    if currents:
        return math.hypot(*(one.current / one.factor for one in currents)), None
    assumptions.append("the current is taken as triangular")
    if current_pp is not None:
        return current_pp / _TRIANGLE, current_pp
    assert current_rms is not None
    return current_rms, current_rms * _TRIANGLE


def _rise(
    power: float, diameter: float | None, length: float | None, heat_transfer: float
) -> float | None:
    """Give the rise in kelvin of a can whose side and one end give off the heat."""
    if diameter is None and length is None:
        return None
    for name, got, other in (("diameter", diameter, length), ("length", length, diameter)):
        if got is None and other is not None:
            raise CalculationError(
                f"the can needs both sizes; {name} is missing", input=name, hint=f"write {name}=…"
            )
    assert diameter is not None and length is not None
    square_cm = math.pi / 4 * diameter * (diameter + 4 * length) * 1e4
    return power * 1e3 / (heat_transfer * square_cm)
