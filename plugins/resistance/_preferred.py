"""The catalogue value closest to a wanted one."""

from __future__ import annotations

from typing import Annotated

from fixbook.api import (
    ARITHMETIC,
    RATIO,
    SECONDARY,
    Answer,
    Measured,
    Source,
    Value,
    calculator,
    show,
)

from ._series import SOLD_WITH, SeriesName, around, nearest
from ._unusable import unusable

_LEAST, _MOST = 1e-15, 1e12


@calculator(
    "preferred-value",
    formula="nearest = the value v of the table with the smallest abs(v/target - 1)",
    sources=[
        Source("IEC 60063, preferred number series, value table", SECONDARY),
        Source("tolerance usually sold with a series", SECONDARY),
        Source("worst error to the nearest value", ARITHMETIC),
    ],
    gives={
        "nearest": "the closest value; both where two are equally close",
        "error": "how far it is off the target, signed; of a tie, the lower value's",
        "lower": "the next value below the target",
        "upper": "the next value above the target",
    },
)
def preferred_value(
    target: Annotated[Measured, "wanted resistance, capacitance or inductance"],
    series: Annotated[SeriesName, "preferred number series"] = "E24",
) -> Answer:
    """Which catalogue value is closest, and by how much is it off?

    Resistors are sold in E24 and E96, electrolytics in E6, film capacitors in E12; capacitors
    are rarely sold finer. The tolerance usually sold with a series is 20 % for E6, 10 % E12,
    5 % E24, 2 % E48, 1 % E96, 0.5 % and better E192: a label, not a rule. E24 is not part of
    E96: 18 of its 24 values are missing there, 47 for one. For a safety-critical part take the
    next value on the safe side, not the nearest one. The worst error to the nearest value is
    37.5 % in E3, 20 % in E6, 11.1 % in E12, 7.1 % in E24, 2.59 % in E48, 1.48 % in E96 and
    0.97 % in E192. Nearest is meant on a linear scale; in a narrow zone, as 10.97 in E12,
    nearest by ratio would be the other neighbour.

    Example: 525 ohm in E24: 510 ohm, 2.857 % low; the next above is 560 ohm.
    """
    if not _LEAST <= target.value <= _MOST:
        raise unusable("target", target, "from 1e-15 to 1e12")
    kind = target.kind
    closest = nearest(target.value, series)
    below, _, beyond = around(target.value, series)
    errors = [value / target.value - 1 for value in closest]
    sold = SOLD_WITH.get(series)
    return Answer(
        [
            Value("nearest", closest, kind),
            Value("error", errors[0], RATIO, text=" and ".join(signed(one) for one in errors)),
            *(
                Value(
                    name,
                    value,
                    kind,
                    text=f"{show(value, kind)} ({signed(value / target.value - 1)})",
                )
                for name, value in (("lower", below), ("upper", beyond))
            ),
        ],
        notes=[
            f"{series} is usually sold with {sold * 100:g} %, a label and not a rule"
            if sold
            else f"{series} is usually sold with more than 20 %, a label and not a rule"
        ],
    )


def signed(error: float) -> str:
    """Write an error with its sign, in per cent."""
    return f"{error * 100:+.3f} %" if abs(error) > 1e-12 else "0 %"
