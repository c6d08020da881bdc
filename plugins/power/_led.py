"""The resistor in series with light-emitting diodes."""

from __future__ import annotations

from typing import Annotated

from fixbook.api import (
    AMPS,
    OHMS,
    PRACTICE,
    SECONDARY,
    VOLTS,
    WATTS,
    Amps,
    Answer,
    CalculationError,
    Count,
    Source,
    Value,
    Volts,
    calculator,
    show,
    within,
)

from ._ratings import DERATING, HOT_TO_TOUCH, standard_value

E12 = (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82)
"""Preferred values of IEC 60063."""
_LEAST_SHARE = 0.1


@calculator(
    "led-resistor",
    formula="R = (Vs - n Vf)/I, then the next higher E12 value",
    sources=[
        Source("preferred values of IEC 60063, seen in secondary copies", SECONDARY),
        Source("2 V forward; at least a tenth of the supply across the resistor", PRACTICE),
        Source("resistors run at half their rating", PRACTICE),
    ],
    cautions=[
        "Never run an LED from rectified mains without a proper dropper and isolation.",
        HOT_TO_TOUCH,
    ],
    gives={
        "exact": "resistance for exactly the wanted current",
        "chosen": "next higher E12 value",
        "current": "current with the chosen value",
        "power": "power in the chosen resistor",
        "standard_rating": "next standard rating of at least twice that power",
    },
)
def led_resistor(
    supply: Annotated[Volts, "supply voltage, its highest value", within(1, 60)],
    forward: Annotated[Volts, "forward voltage of one LED", within(1, 4), PRACTICE] = 2.0,
    count: Annotated[Count, "LEDs in series", within(1, 20)] = 1,
    current: Annotated[Amps, "current wanted", within(1e-4, 1), PRACTICE] = 10e-3,
) -> Answer:
    """Which resistor goes in series with this LED?

    The next higher E12 value keeps the current below the wanted one. Less than a tenth of the
    supply across the resistor is refused: the current would follow every change of supply and
    temperature. Take the forward voltage from the sheet: about 2 V for red, 3 V for blue and
    white. On rectified supplies take the peak, not the marked voltage.

    Example: 5 V, 2 V forward, 10 mA: 300 ohm, so 330 ohm, 9.09 mA, 27.3 mW.
    """
    left = supply - count * forward
    if left < _LEAST_SHARE * supply * (1 - 1e-9):
        raise CalculationError(
            f"{count:g} x {show(forward, VOLTS)} leaves {show(left, VOLTS)} of {show(supply, VOLTS)} "
            "for the resistor, less than a tenth: the current will not be defined; fewer LEDs in "
            "series or a higher supply are needed",
            input="supply",
            read=show(supply, VOLTS),
        )
    exact = left / current
    chosen = _next_e12(exact)
    real = left / chosen
    power = real * real * chosen
    return Answer(
        [
            Value("exact", exact, OHMS),
            Value("chosen", chosen, OHMS),
            Value("current", real, AMPS),
            Value("power", power, WATTS),
            standard_value(power / DERATING),
        ]
    )


def _next_e12(wanted: float) -> float:
    values = (float(f"{one}e{power}") for power in range(-3, 6) for one in E12)
    return next(value for value in values if value >= wanted * (1 - 1e-9))
