"""Several uncertain things combined into one uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, Literal

from fixbook.api import (
    BELIEVE_NEITHER,
    MEMORY,
    NUMBER,
    RATIO,
    Answer,
    CalculationError,
    Count,
    Kind,
    Measured,
    Number,
    Source,
    Table,
    Value,
    calculator,
    within,
)

from ._reading import CATEGORIES, CATEGORY, Coverage, difference_of, unusable
from ._student import student_factor

_FEW = 10
"""Below so many effective degrees of freedom the Student factor is used."""


@dataclass(frozen=True, slots=True)
class Component:
    """One thing that makes a result uncertain."""

    half_width: Annotated[
        Measured, "half-width; for repeats their standard deviation; for normal-k the stated U"
    ]
    shape: Annotated[
        Literal["rectangular", "triangular", "normal-k", "repeats"], "how it is distributed"
    ] = "rectangular"
    sensitivity: Annotated[Number, "change of the result for a unit change of this"] = 1
    repeats: Annotated[Count | None, "for repeats: how many readings", within(2, 10_000)] = None
    coverage: Annotated[Number, "for normal-k: the coverage factor stated", within(1, 3)] = 2
    name: Annotated[str, "what it is"] = ""


@calculator(
    "uncertainty",
    formula="u = a/sqrt(3) rectangular, a/sqrt(6) triangular, U/k normal-k, s/sqrt(n) repeats;  "
    "combined = sqrt(sum (c u)^2);  expanded = coverage combined;  "
    "degrees of freedom = combined^4/sum((c u)^4/(n - 1))",
    sources=[
        Source("JCGM 100:2008, 5.1.2, 6.2.1 and G.4.1, combined and expanded uncertainty", MEMORY),
        Source("Student factor: Abramowitz and Stegun, 26.7.3 and 26.7.4", MEMORY),
        CATEGORIES,
    ],
    cautions=[CATEGORY, BELIEVE_NEITHER],
    gives={
        "combined": "combined standard uncertainty",
        "expanded": "combined times the coverage factor, or times the Student factor",
        "degrees_of_freedom": "effective degrees of freedom",
        "shares": "each component's standard uncertainty in the result, and its share of the whole",
    },
)
def uncertainty(
    components: Annotated[tuple[Component, ...], "what makes the result uncertain, 1 to 20"],
    coverage: Coverage = 2,
) -> Answer:
    """How uncertain is a result that rests on several uncertain things?

    Give a component for the meter (its accuracy limit, rectangular), the leads, repeat readings
    (their standard deviation and how many) and the tolerance of a part. The sensitivity says how
    much the result moves for a unit of the component. The components are taken as independent:
    the same meter used twice in one ratio is one component, with the difference of both
    sensitivities. Below ten effective degrees of freedom, which are rounded down, the Student
    factor of the same coverage probability takes the place of the coverage factor.

    Example: meter 2.4615 ohm rectangular, leads 0.1 ohm rectangular, five repeats with a
    standard deviation of 0.5 ohm: combined 1.440 ohm, expanded 2.880 ohm.

        components='half_width=2.4615 name=meter' components='half_width=0.5 shape=repeats repeats=5'
    """
    if len(components) > 20:
        raise CalculationError(
            f"components are at most 20, not {len(components)}", input="components"
        )
    parts = [_contribution(one, number) for number, one in enumerate(components, 1)]
    kind = _one_kind(components)
    combined = math.sqrt(math.fsum(part * part for part in parts))
    freedom = _effective_freedom(components, parts, combined)
    factor, notes = _factor(freedom, coverage)
    return Answer(
        [
            Value("combined", combined, kind, digits=6),
            Value("expanded", factor * combined, kind, digits=6),
            Value(
                "degrees_of_freedom",
                freedom,
                NUMBER,
                text="" if freedom else "unlimited: nothing here rests on a few repeats",
            ),
            Table(
                "shares",
                {"name": None, "standard_uncertainty": kind, "share": RATIO},
                [
                    {
                        "name": one.name or f"{one.shape} {number}",
                        "standard_uncertainty": part,
                        "share": (part / combined) ** 2 if combined else 0.0,
                    }
                    for number, (one, part) in enumerate(zip(components, parts, strict=True), 1)
                ],
            ),
        ],
        assumptions=["the components are taken as independent of each other"],
        notes=notes,
    )


def _contribution(one: Component, number: int) -> float:
    width = one.half_width.value
    if width < 0:
        raise unusable(
            "components", one.half_width, f"a half_width from zero up in component {number}"
        )
    if one.shape == "repeats":
        if one.repeats is None:
            raise CalculationError(
                f"component {number} is of repeats and needs how many there were: repeats=5",
                input="components",
            )
        standard = width / math.sqrt(one.repeats)
    elif one.repeats is not None:
        raise CalculationError(
            f"component {number} is {one.shape} but says repeats={one.repeats:g}; "
            "write shape=repeats, or leave the repeats out",
            input="components",
            choices=["shape=repeats"],
        )
    else:
        divisor = {"rectangular": math.sqrt(3), "triangular": math.sqrt(6)}
        standard = width / divisor.get(one.shape, one.coverage)
    return abs(one.sensitivity) * standard


def _one_kind(components: tuple[Component, ...]) -> Kind:
    units = {one.half_width.kind.unit: one.half_width.kind for one in components}
    if len(units) > 1:
        raise CalculationError(
            f"the components are in {' and in '.join(unit or 'no unit' for unit in units)}",
            input="components",
            hint="give all of them bare, in the unit of the result over their sensitivity",
        )
    return difference_of(next(iter(units.values())))


def _effective_freedom(
    components: tuple[Component, ...], parts: list[float], combined: float
) -> float | None:
    """Give the effective degrees of freedom; None where no component limits them."""
    if not combined:
        return None
    limited = math.fsum(
        (part / combined) ** 4 / (one.repeats - 1)
        for one, part in zip(components, parts, strict=True)
        if one.repeats is not None
    )
    return 1 / limited if limited > 1e-12 else None


def _factor(freedom: float | None, coverage: float) -> tuple[float, list[str]]:
    if freedom is None or freedom >= _FEW - 1e-9:
        return coverage, []
    whole = max(1, math.floor(freedom + 1e-9))
    factor = student_factor(whole, coverage)
    note = (
        f"only {freedom:.3g} effective degrees of freedom: the Student factor {factor:.3g} for "
        f"{whole} takes the place of the coverage factor {coverage:g}"
    )
    return factor, [note]
