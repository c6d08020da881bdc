"""Heat and headroom of a linear regulator."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fixbook.api import (
    ARITHMETIC,
    MEMORY,
    VOLTS,
    WATTS,
    Amps,
    Answer,
    CalculationError,
    Entry,
    Part,
    Source,
    Target,
    Value,
    Verdict,
    Volts,
    above,
    calculator,
    show,
    within,
)

from ._junction import HOT_METAL


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if isinstance(where, Part) or where.reads != "dc" or len(where.windows) != 1:
        return None
    words = where.name.lower().replace("-", "")
    low = where.windows[0].low
    if "headroom" not in words and "dropout" not in words:
        return None
    return {"dropout": show(low, VOLTS, digits=12)} if low and low <= 10 else None


@calculator(
    "regulator-heat",
    formula="P = (Vin - Vout) Iout + Vin Iq at the highest Vin; headroom = valley of Vin - Vout",
    sources=[
        Source("power balance of a linear regulator", ARITHMETIC),
        Source("2 V of drop-out for classic types", MEMORY),
    ],
    cautions=[HOT_METAL],
    gives={
        "power": "heat in the regulator at the highest input",
        "headroom": "what is left across it at the lowest point of the input ripple",
    },
    fits=_fits,
)
def regulator_heat(
    input_high: Annotated[Volts, "highest input voltage, for the heat", above(0, 1000)],
    input_valley: Annotated[
        Volts | None, "lowest point of the input ripple, for the headroom", within(0, 1000)
    ] = None,
    *,
    output: Annotated[Volts, "output voltage", above(0, 1000)],
    current: Annotated[Amps, "output current", within(0, 10)],
    ground_current: Annotated[Amps, "current into the ground pin", within(0, 1), MEMORY] = 5e-3,
    dropout: Annotated[Volts, "headroom that the regulator needs", within(0, 10), MEMORY] = 2.0,
) -> Answer:
    """How much heat does this regulator make, and does its input leave it enough headroom?

    The highest input counts for the heat, the lowest point of the ripple for the headroom: a
    meter shows neither, but something between. For a negative regulator give the voltages
    without their signs. Hum that comes with the load is often lost headroom.

    Example: 12 V to 5 V at 0.5 A with 5 mA into the ground pin: 3.56 W.
    """
    if input_high <= output:
        raise CalculationError(
            f"input_high of {show(input_high, VOLTS)} is not above the output of "
            f"{show(output, VOLTS)}; a linear regulator only lowers a voltage",
            input="input_high",
            read=show(input_high, VOLTS),
        )
    if input_valley is not None and input_valley > input_high:
        raise CalculationError(
            f"input_valley of {show(input_valley, VOLTS)} is above input_high of "
            f"{show(input_high, VOLTS)}",
            input="input_valley",
            read=show(input_valley, VOLTS),
        )
    power = (input_high - output) * current + input_high * ground_current
    heat = Value("power", power, WATTS)
    if input_valley is None:
        text = "give the input's valley for this"
        return Answer([heat, Value("headroom", None, VOLTS, text=text)])
    headroom = input_valley - output
    # 7 V less 5 V must do for 2 V whatever the last binary digits say
    verdict: Verdict = "pass" if headroom >= dropout - 1e-9 else "fail"
    why = f"{show(headroom, VOLTS)} left at the valley, {show(dropout, VOLTS)} needed" + (
        "" if verdict == "pass" else ": it drops out, and the ripple comes through"
    )
    return Answer([heat, Value("headroom", headroom, VOLTS)], verdict=verdict, why=why)
