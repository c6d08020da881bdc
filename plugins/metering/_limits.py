"""A reading held against its limits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fixbook.api import (
    BELIEVE_NEITHER,
    MEMORY,
    RATIO,
    SECONDARY,
    Answer,
    CalculationError,
    Entry,
    Measured,
    Number,
    Part,
    Source,
    Target,
    Value,
    calculator,
    guarded,
    show,
    within,
)

from ._reading import CATEGORIES, CATEGORY, Coverage, unusable


def _fits_limits(
    where: Target | Part, entry: Entry
) -> Mapping[str, str] | None:  # the reading and the meter stay to be typed
    if not isinstance(where, Target) or len(where.windows) != 1:
        return None
    window = where.windows[0]
    ends = {"low": window.low, "high": window.high}
    if window.low is not None and window.high is not None and window.low >= window.high:
        return None
    unit = where.kind.unit
    return {name: f"{end:.15g} {unit}".rstrip() for name, end in ends.items() if end is not None}


@calculator(
    "limit-check",
    formula="w = guard coverage u;  accepted from low + w to high - w;  rejected below low - w "
    "and above high + w;  conformance = Phi((high - reading)/u) - Phi((low - reading)/u)",
    sources=[
        Source("JCGM 106:2012, clause 7 and clauses 8.3.2 and 8.3.3", MEMORY),
        Source("ILAC-G8:09/2019, 4.1 and 4.2, guard band"),
        Source(
            "risk below 2.5 % at the acceptance limit, as test laboratories quote it", SECONDARY
        ),
        CATEGORIES,
    ],
    cautions=[CATEGORY, BELIEVE_NEITHER],
    gives={
        "accept_low": "readings from here up are accepted",
        "accept_high": "readings up to here are accepted",
        "conformance": "how probable it is that the true value lies within the limits",
    },
    fits=_fits_limits,
)
def limit_check(
    reading: Annotated[Measured, "what the meter shows"],
    low: Annotated[Measured | None, "lower limit; leave out where there is none"] = None,
    high: Annotated[Measured | None, "upper limit; leave out where there is none"] = None,
    *,
    standard_uncertainty: Annotated[Measured, "of the reading, as meter-interval gives it"],
    coverage: Coverage = 2,
    guard: Annotated[Number, "guard factor; 0 is simple acceptance", within(0, 2)] = 1,
) -> Answer:
    """Does this reading pass its limits, with the meter as good as it is?

    Each limit is moved inwards by the guard band to accept, and outwards to reject. A reading
    in between is `cannot tell`: take a better meter, not a second opinion.

    With guard 1 and coverage 2 the risk of accepting a bad part is 2.28 % at the acceptance
    limit itself, and less further in, for each limit. With guard 0 it is up to 50 %. Do not
    guard twice: a limit that already holds a guard band needs none. The conformance assumes a
    normal distribution and no knowledge beforehand; it is not the share of good parts.

    Example: 452.3 ohm, limits 450 and 600 ohm, standard uncertainty 1.421 ohm: accepted from
    452.84 to 597.16 ohm, so this reading is `cannot tell`, with 94.7 % conformance.
    """
    if low is None and high is None:
        raise CalculationError(
            "limit-check needs at least one limit: low, high or both",
            input="low",
            hint="write low=…",
        )
    if low is not None and high is not None and low.value >= high.value:
        raise unusable("high", high, f"a limit above the lower one of {show(low.value, low.kind)}")
    if standard_uncertainty.value <= 0:
        raise unusable("standard_uncertainty", standard_uncertainty, "an uncertainty above zero")
    found = guarded(
        reading.value,
        low.value if low is not None else None,
        high.value if high is not None else None,
        standard_uncertainty.value,
        coverage,
        guard,
    )
    none = "none: this meter cannot judge this window" if found.too_coarse else ""
    ends = {"accept_low": found.accept_low, "accept_high": found.accept_high}
    return Answer(
        [
            *(
                Value(name, None, reading.kind, text=none or "no limit on this side")
                if none or end is None
                else Value(name, end, reading.kind, digits=7)
                for name, end in ends.items()
            ),
            Value("conformance", found.conformance, RATIO),
        ],
        verdict=found.verdict,
        word=found.word,
        why=found.why(reading.kind),
        assumptions=["the reading is taken as normally distributed"],
        notes=[
            *(["simple acceptance: no guard band"] if guard == 0 else []),
            _distance(reading, low, high, coverage * standard_uncertainty.value),
        ],
    )


def _distance(
    reading: Measured, low: Measured | None, high: Measured | None, expanded: float
) -> str:
    ends = [("lower", low), ("upper", high)]
    name, end = min(
        ((name, abs(reading.value - limit.value)) for name, limit in ends if limit is not None),
        key=lambda pair: pair[1],
    )
    return f"{end / expanded:.3g} expanded uncertainties from the {name} limit"
