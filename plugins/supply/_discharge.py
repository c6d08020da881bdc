"""Discharging a capacitor through a resistor: a tool's, or a bleeder's."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Annotated

from fixbook.api import (
    AMPS,
    BELIEVE_NEITHER,
    DISCHARGE_TOOL,
    JOULES,
    OHMS,
    PRACTICE,
    PROVE_DEAD,
    PUBLISHED,
    SECONDARY,
    SECONDS,
    VOLTS,
    WATTS,
    Answer,
    CalculationError,
    Entry,
    Farads,
    Ohms,
    Part,
    Seconds,
    Source,
    Target,
    Value,
    Volts,
    calculator,
    read,
    show,
    within,
)

from . import _charge
from ._parts import capacitance_of, voltage_of

_LONGEST_S = 10 * 31_557_600.0
_METER = (
    "Measure with a meter rated for the start voltage, one hand away. A bleeder burnt open is the "
    "usual reason for a capacitor that is still charged."
)


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if not isinstance(where, Part):
        return None
    capacitance, voltage = capacitance_of(where), voltage_of(where)
    if not capacitance or not voltage or read(voltage, VOLTS).value <= _charge.TOUCH_VOLTS:
        return None
    return {"capacitance": capacitance, "start": voltage}


@calculator(
    "discharge",
    formula="t = R C ln(V0/Vs); R = t/(C ln(V0/Vs)); first power V0^2/R; energy C V0^2/2",
    sources=[
        Source("10 V before work begins or a tester is connected", PRACTICE),
        Source("IEC 60204-1, 6.2.4: 60 V within 5 s, 1 s at exposed plug pins", PUBLISHED),
        Source("IEC 60950-1: more than 0.1 uF at a plug, time constant up to 1 s", SECONDARY),
        Source("IEC 62368-1, 5.5.2.2: voltage checked 2 s after unplugging", PUBLISHED),
        Source("resistors run at half their rating", PRACTICE),
    ],
    cautions=[PROVE_DEAD, DISCHARGE_TOOL, BELIEVE_NEITHER, _METER],
    gives={
        "time": "time from the start voltage down to the end voltage",
        "resistance": "the resistor; where the time was given, the highest that does it",
        "peak_power": "power in the resistor in the first moment",
        "continuous_power": "power in the resistor while the start voltage stays on",
        "energy": "energy that ends up in the resistor",
    },
    fits=_fits,
)
def discharge(
    capacitance: Annotated[Farads, "capacitance", within(1e-9, 1)],
    start: Annotated[Volts, "voltage at the start", within(1, 20_000)],
    down_to: Annotated[Volts, "voltage at the end", within(1, 20_000), PRACTICE] = 10,
    resistance: Annotated[Ohms | None, "the resistor, to find the time", within(1e-3, 1e12)] = None,
    time: Annotated[
        Seconds | None, "the time allowed, to find the resistor", within(1e-9, _LONGEST_S)
    ] = None,
    continuous: Annotated[bool, "whether the resistor stays across the supply"] = False,
) -> Answer:
    """How long does this capacitor take to discharge, and which resistor does it?

    Give the resistor or the time. 10 V is the level before working or connecting a tester; 60 V
    is the limit for a shock. After five time constants 0.67 % is left. A bleeder that stays
    across the supply needs twice the power it takes, and the resistor must stand the start
    voltage: several in series where one does not. A pulse of 50 W is fine for a wire-wound 5 W
    part for a fraction of a second only if its pulse curve says so.

    Example: 220 uF from 385 V to 10 V through 2.2 kohm takes 1.77 s, 67 W in the first moment.
    """
    if start < down_to or (start == down_to and time is not None):
        raise CalculationError(
            f"start of {show(start, VOLTS)} is not above down_to of {show(down_to, VOLTS)}; there "
            "is nothing to discharge, or down_to must be lower",
            input="down_to",
            read=show(down_to, VOLTS),
        )
    decay = math.log1p((start - down_to) / down_to)
    if time is not None and resistance is None:
        ohms, seconds = time / (capacitance * decay), time
    elif resistance is not None and time is None:
        ohms, seconds = resistance, resistance * capacitance * decay
    else:
        both = "one of them, not both" if time is not None else "one of the two is needed"
        raise CalculationError(
            f"give the resistance to find the time, or the time to find the resistance: {both}",
            input="resistance",
            choices=["resistance", "time"],
        )
    power = start * start / ohms
    left_on = "" if continuous else f"{show(power, WATTS)} if it is left across the supply"
    return Answer(
        [
            Value("time", seconds, SECONDS),
            Value("resistance", ohms, OHMS),
            Value("peak_power", power, WATTS),
            Value("continuous_power", power, WATTS, text=left_on),
            Value("energy", _charge.energy_of(capacitance, start), JOULES),
        ],
        notes=_notes(capacitance, start, down_to, ohms, seconds, continuous=continuous),
    )


def _notes(
    capacitance: float,
    start: float,
    down_to: float,
    ohms: float,
    seconds: float,
    *,
    continuous: bool,
) -> list[str]:
    constant = ohms * capacitance
    power = start * start / ohms
    _, word, why = _charge.judge(capacitance, start)
    notes = [
        f"Below {show(down_to, VOLTS)} after {show(seconds, SECONDS)} by calculation: measure.",
        f"First current {show(start / ohms, AMPS)}, time constant {show(constant, SECONDS)}.",
        f"The resistor must stand {show(start, VOLTS)}: several in series where one does not.",
        f"At the start{f', {word}' if word else ''}: {why}.",
    ]
    if continuous:
        notes.append(
            f"A resistor that stays on needs a rating of at least {show(2 * power, WATTS)}."
        )
    if _charge.exceeds(start, _charge.SHOCK_VOLTS):
        to_60 = constant * math.log(start / _charge.SHOCK_VOLTS)
        exempt = not _charge.exceeds(capacitance * start, _charge.EXEMPT_COULOMBS)
        notes.append(
            f"60 V is reached after {show(to_60, SECONDS)}; IEC 60204-1 asks for 5 s, 1 s at "
            "exposed plug pins" + (", and exempts this charge, up to 60 uC." if exempt else ".")
        )
    if _charge.exceeds(start, _charge.SHOCK_VOLTS) and _charge.exceeds(capacitance, 0.1e-6):
        kept = "is kept" if not _charge.exceeds(constant, 1) else "is not kept"
        notes.append(
            f"At a mains plug the older rule for more than 0.1 uF, a time constant of at most 1 s, "
            f"{kept} ({SECONDARY})."
        )
    after_2 = start * math.exp(-2 / constant)
    notes.append(
        f"{show(after_2, VOLTS)} are left 2 s after unplugging, when IEC 62368-1 has it checked."
    )
    return notes
