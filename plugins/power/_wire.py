"""Voltage lost along a pair of copper wires."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Annotated, Literal

from fixbook.api import (
    MEMORY,
    OHMS,
    PUBLISHED,
    RATIO,
    SECONDARY,
    SQUARE_MM,
    VOLTS,
    WATTS,
    Amps,
    Answer,
    CalculationError,
    Celsius,
    Count,
    Entry,
    Metres,
    Part,
    Source,
    SquareMillimetres,
    Target,
    Value,
    Volts,
    above,
    calculator,
    only_quantity,
    show,
    within,
)

RHO_20 = 0.017241e-6
"""Ohm metre of annealed copper at 20 degC; figure of IEC 60028, secondary."""
PER_KELVIN = 0.00393

# IEC 60228, seen in four public copies: highest ohm per metre at 20 degC, plain copper, by mm2.
FLEXIBLE = {
    0.5: 39.0e-3, 0.75: 26.0e-3, 1.0: 19.5e-3, 1.5: 13.3e-3, 2.5: 7.98e-3, 4.0: 4.95e-3,
    6.0: 3.30e-3,
}  # fmt: skip
SOLID = {
    0.5: 36.0e-3, 0.75: 24.5e-3, 1.0: 18.1e-3, 1.5: 12.1e-3, 2.5: 7.41e-3, 4.0: 4.61e-3,
    6.0: 3.08e-3,
}  # fmt: skip
_TABLES: dict[str, dict[float, float]] = {"5": FLEXIBLE, "2": SOLID, "1": SOLID, "none": {}}
_AREA = r"\d+(?:[.,]\d+)? ?mm2"
_MM2 = 1e-6


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if not isinstance(where, Part):
        return None
    is_wire = set(re.findall(r"[a-z-]+", where.is_.lower())) & {"wire", "wires", "cable", "lead"}
    area = only_quantity(where.value, SQUARE_MM, _AREA) if is_wire else None
    return {"area": area} if area else None


@calculator(
    "wire-drop",
    formula=(
        "dV = I R' 2 l; R' from the table or rho/A; R = R20 (1 + 0.00393 (T - 20)); "
        "gauge g: d = 0.127 mm 92^((36 - g)/39)"
    ),
    sources=[
        Source("IEC 60228, highest conductor resistance, four public copies agree", PUBLISHED),
        Source("IEC 60028, copper of 0.017241 ohm mm2/m at 20 degC", SECONDARY),
        Source("wire gauge formula", MEMORY),
    ],
    gives={
        "drop": "voltage lost in both wires together",
        "share": "that as a part of the supply",
        "power": "power lost in both wires together",
    },
    fits=_fits,
)
def wire_drop(
    current: Annotated[Amps, "current in the wires", within(0, 500)],
    length: Annotated[Metres, "length of the pair, one way", within(0, 1000)],
    area: Annotated[
        SquareMillimetres | None, "cross-section of one wire", within(1e-3 * _MM2, 1000 * _MM2)
    ] = None,
    gauge: Annotated[
        Count | None, "American wire gauge number, in place of the area", within(0, 50)
    ] = None,
    class_: Annotated[
        Literal["5", "1", "2", "none"],
        "conductor class: 5 flexible, 1 solid, 2 stranded; none takes the copper alone",
    ] = "5",
    temperature: Annotated[Celsius, "temperature of the copper", within(-40, 105)] = 20,
    supply: Annotated[Volts | None, "supply voltage, for the share", above(0, 1e6)] = None,
) -> Answer:
    """How much voltage is lost along these wires?

    Give the length one way: the current goes out and back. The standard's table is the highest
    resistance that a conductor of that class may have; other cross-sections and gauge numbers
    are worked out from copper alone, which is some per cent lower. Joints and plugs add to it.

    Example: 2 A through 3 m of 0.75 mm2 flexible pair lose 0.312 V, 2.6 % of 12 V.
    """
    per_metre, assumptions, notes = _per_metre(area, gauge, class_)
    warm = 1 + PER_KELVIN * (temperature - 20)
    resistance = per_metre * warm * 2 * length
    drop = current * resistance
    share = drop / supply if supply else None
    notes.append(f"Both wires together have {show(resistance, OHMS)}.")
    if share is not None and share > 1:
        notes.append("This is more than the supply: so much current cannot flow.")
    return Answer(
        [
            Value("drop", drop, VOLTS),
            Value("share", share, RATIO, text="" if supply else "give the supply for this"),
            Value("power", drop * current, WATTS),
        ],
        assumptions=assumptions,
        notes=notes,
    )


def _per_metre(
    area: float | None, gauge: int | None, class_: str
) -> tuple[float, list[str], list[str]]:
    """Give ohm per metre of one wire at 20 degC, with assumptions and notes."""
    if (area is None) == (gauge is None):
        raise CalculationError(
            "give the area or the gauge of the wire" + (", not both" if area else ""),
            input="area" if area is None else "gauge",
            choices=["area", "gauge"],
        )
    if gauge is not None:
        diameter = 0.127e-3 * 92 ** ((36 - gauge) / 39)
        copper = math.pi * diameter * diameter / 4
        note = (
            f"Gauge {gauge:g} is {diameter * 1e3:.4g} mm thick, {show(copper, SQUARE_MM, digits=5)}, "
            f"{show(RHO_20 / copper, OHMS)} a metre at 20 degC ({MEMORY})."
        )
        return RHO_20 / copper, ["resistance from copper alone, not from a table"], [note]
    area = area or 0.0
    found = next((ohms for mm2, ohms in _TABLES[class_].items() if _same(area, mm2)), None)
    if found is not None:
        return found, [], []
    why = "" if class_ == "none" else f": the table has no {show(area, SQUARE_MM)}"
    return RHO_20 / area, [f"resistance from copper alone{why}"], []


def _same(area: float, mm2: float) -> bool:
    return abs(area / _MM2 - mm2) <= 1e-6 * mm2
