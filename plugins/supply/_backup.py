"""How long a back-up cell or capacitor keeps the settings."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated

from fixbook.api import (
    AMPS,
    HOURS,
    NUMBER,
    PUBLISHED,
    SECONDARY,
    SECONDS,
    VOLTS,
    Answer,
    CalculationError,
    Entry,
    Farads,
    Kind,
    Microamps,
    Part,
    Ratio,
    Source,
    Target,
    Value,
    Volts,
    Years,
    calculator,
    only_quantity,
    show,
    within,
)

from ._parts import highest_of

_CAPACITY = Kind("ampere-hours", "C", "charge", "220 mAh", bare="mAh", shown="Ah", prefixes="pnumk")
_PER_MAH = 3.6
_YEAR_S = 31_557_600.0
_RATED_YEAR_S = 8760 * 3600.0
"""A year as cell makers count it in self-discharge, 365 days."""
_MAH = r"\d+(?:[.,]\d+)? ?mAh\b"
_CELL = r"\b(coin cell|button cell|lithium cell|back-?up (cell|battery))\b"


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if isinstance(where, Part):
        capacity = (
            only_quantity(where.value, _CAPACITY, _MAH)
            if re.search(_CELL, where.is_.lower())
            else None
        )
        return {"capacity": capacity} if capacity else None
    words = f"{where.name} {where.at}".lower()
    highest = highest_of(where) if where.reads == "dc-amps" else None
    is_drain = "drain" in where.name.lower() and ("cell" in words or "back" in words)
    return {"drain": highest} if highest and is_drain else None


@calculator(
    "backup-life",
    formula=(
        "cell: t = Cn u/(I + Isd), Isd = Cn s/8760 h, not beyond the shelf life; "
        "capacitor: t = C (V0 - V1)/(I + Ileak)"
    ),
    sources=[
        Source("self-discharge of 1 to 2 % a year", SECONDARY),
        Source("a test engineer's published discharge study: ten years at most", SECONDARY),
        Source("cell maker's handbook: capacity holds for one load and end voltage", PUBLISHED),
    ],
    cautions=[
        "Never charge a primary lithium cell, and never solder to a bare cell.",
        "A swallowed coin cell injures within hours: keep cells away from children.",
    ],
    gives={
        "life": "time until it is empty, by arithmetic alone",
        "years": "years to count on, the shelf life at most",
        "capped": "whether the shelf life, not the drain, ends it",
    },
    fits=_fits,
)
def backup_life(
    capacity: Annotated[
        float, _CAPACITY, "capacity of the cell", within(1 * _PER_MAH, 5000 * _PER_MAH)
    ] = 220 * _PER_MAH,
    *,
    drain: Annotated[Microamps, "current drawn while the unit is off", within(0, 0.1)],
    self_discharge: Annotated[
        Ratio, "part of the capacity lost in a year", within(0, 0.3), SECONDARY
    ] = 0.01,
    shelf: Annotated[
        Years, "longest life of the cell", within(1 * _YEAR_S, 20 * _YEAR_S), SECONDARY
    ] = 10 * _YEAR_S,
    usable: Annotated[Ratio, "part of the capacity that the unit can use", within(0.1, 1)] = 1.0,
    capacitance: Annotated[
        Farads | None, "capacitance, where a capacitor keeps the settings", within(1e-6, 1000)
    ] = None,
    start: Annotated[Volts | None, "capacitor: voltage at the start", within(0, 100)] = None,
    end: Annotated[
        Volts | None, "capacitor: voltage at which memory is lost", within(0, 100)
    ] = None,
    leakage: Annotated[Microamps | None, "capacitor: its own leakage", within(0, 0.1)] = None,
) -> Answer:
    """How long will the settings survive, and is the drain normal?

    A cell: capacity and drain; a capacitor: capacitance, start, end and drain. A capacity holds
    for the load and end voltage it was stated for. Life beyond ten years is arithmetic, not
    chemistry: the answer stops at the shelf life. Measure the drain with the burden of the meter
    in mind. A leaky series diode charges a primary cell: a reversed current is the danger sign.

    Example: 220 mAh at 3 uA and 1 % self-discharge a year: 67 669 h, 7.72 years.
    """
    of_capacitor = {"start": start, "end": end, "leakage": leakage}
    if capacitance is not None:
        return _capacitor(capacitance, drain, start, end, leakage or 0.0)
    stray = next((name for name, value in of_capacitor.items() if value is not None), None)
    if stray is not None:
        raise CalculationError(f"{stray} belongs to a capacitor; give its capacitance, or leave "
                               f"{stray} out for a cell", input=stray,
                               choices=["capacitance"])  # fmt: skip
    lost = capacity * self_discharge / _RATED_YEAR_S
    total = drain + lost
    life = capacity * usable / total if total else None
    capped = life is None or life > shelf
    if life is None:
        text = "no end by arithmetic: nothing is drawn"
    else:
        text = f"{show(life, HOURS)} by arithmetic alone" if capped else ""
    years = (shelf if life is None else min(life, shelf)) / _YEAR_S
    return Answer(
        [
            Value("life", life, HOURS, text=text),
            Value(
                "years", years, NUMBER, text=_years(years) + (" (shelf limit)" if capped else "")
            ),
            Value("capped", capped),
        ],
        notes=[f"Self-discharge is like a drain of {show(lost, AMPS)}."],
    )


def _capacitor(
    capacitance: float, drain: float, start: float | None, end: float | None, leakage: float
) -> Answer:
    if start is None or end is None:
        raise CalculationError(
            "a capacitor needs start and end: the voltages between which it keeps the settings",
            input="start" if start is None else "end",
            choices=["start", "end"],
        )
    if end >= start:
        raise CalculationError(
            f"end of {show(end, VOLTS)} is not below start of {show(start, VOLTS)}",
            input="end",
            read=show(end, VOLTS),
        )
    if not drain + leakage:
        raise CalculationError(
            "no current drains this capacitor; give the drain or its leakage, in uA",
            input="drain",
            choices=["drain", "leakage"],
        )
    life = capacitance * (start - end) / (drain + leakage)
    years = life / _YEAR_S
    return Answer(
        [
            Value("life", life, SECONDS),
            Value("years", years, NUMBER, text=_years(years)),
            Value("capped", False),
        ],
        assumptions=["the figures of a cell play no part: a capacitor was given"],
    )


def _years(years: float) -> str:
    if years < 0.1:
        return f"{years * 365.25:.3g} days"
    return f"{years:.4g} years" if years >= 100 else f"{years:.3g} years"
