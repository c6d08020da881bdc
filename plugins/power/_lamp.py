"""The filament lamp in series with a set at its first power-up."""

from __future__ import annotations

from typing import Annotated

from fixbook.api import (
    AMPS,
    ARITHMETIC,
    MEMORY,
    OHMS,
    PROVE_DEAD,
    WATTS,
    Answer,
    Source,
    Value,
    Volts,
    Watts,
    calculator,
    show,
    within,
)

_NOT_ISOLATED = (
    "The limiter does not isolate from the mains: everything stays live. Work with one hand. "
    "Neither limiter nor isolation transformer replaces working dead."
)
_TRANSFORMER = (
    "An isolation transformer helps against touching one point only, never two, and behind it a "
    "residual-current device does not see the fault. Connect no earth to its output."
)


@calculator(
    "lamp-limiter",
    formula="Imax = Pl/V with the output shorted; hot R = V^2/Pl; into a constant load Pl/4 at most",
    sources=[
        Source("Ohm's law and the greatest power through a series resistance", ARITHMETIC),
        Source("a cold filament has about a tenth of its hot resistance", MEMORY),
    ],
    cautions=[_NOT_ISOLATED, _TRANSFORMER, PROVE_DEAD],
    gives={
        "current_limit": "current with the set shorted",
        "hot_resistance": "resistance of the lamp at full brightness",
        "power_through": "most that it lets through into a constant resistance",
    },
)
def lamp_limiter(
    lamp: Annotated[Watts, "power marked on the lamp", within(5, 500)] = 60,
    mains: Annotated[Volts, "mains voltage", within(90, 260)] = 230,
) -> Answer:
    """Which lamp limits the current for a first power-up?

    The lamp's wattage is not the power that it lets through: into a constant resistance that is
    a quarter of it; a real filament has less resistance while it is cooler and lets a little
    more through. Filament lamps only, no LED lamps. Switching supplies may hiccup at the low
    voltage, and stages for power-factor correction may be stressed. Take the limiter out before
    judging ripple or rails.

    Example: 60 W at 230 V: at most 0.261 A, hot 882 ohm, about 15 W into the set.
    """
    hot = mains * mains / lamp
    return Answer(
        [
            Value("current_limit", lamp / mains, AMPS),
            Value("hot_resistance", hot, OHMS),
            Value("power_through", lamp / 4, WATTS),
        ],
        assumptions=[
            f"a constant load; cold, the lamp has about {show(hot / 10, OHMS)} ({MEMORY})"
        ],
        notes=["A real filament lets a little more through than that while it is not fully hot."],
    )
