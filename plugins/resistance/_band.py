"""A part held against its own marking."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Annotated, Literal

from fixbook.api import (
    ARITHMETIC,
    FARADS,
    MEMORY,
    OHMS,
    PRACTICE,
    RATIO,
    Answer,
    CalculationError,
    Entry,
    FixbookError,
    Measured,
    Part,
    Source,
    Target,
    Tolerance,
    Value,
    calculator,
    guarded,
    read,
    read_tolerance,
    show,
)

from ._accuracy import Accuracy
from ._unusable import unusable

_FIVE_PERCENT = Tolerance(0.05, 0.05)
_SHARE = 0.01
"""Of the measured value, where no uncertainty is given."""
_TOLERANCE = re.compile(r"(?:±|\+/?-)?\s*((?:-\d+(?:\.\d+)?\s*/\s*\+)?\d+(?:\.\d+)?\s*%)\s*$")


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    """Fill in a resistor's or capacitor's value, and its tolerance where the write-up has it."""
    if not isinstance(where, Part):
        return None
    stated = _TOLERANCE.search(where.value)
    texts = {"nominal": (where.value[: stated.start()] if stated else where.value).strip(" ,")}
    kind = OHMS if "resistor" in where.is_.lower() else FARADS
    try:
        if read(texts["nominal"], kind).value <= 0:
            return None
        if stated:
            read_tolerance(stated[1])
            texts["tolerance"] = stated[1]
    except FixbookError:
        return None
    return texts


@calculator(
    "tolerance-band",
    formula="N (1 - minus) .. N (1 + plus);  rss = sqrt(sum (w t)^2) with w = R1/(R1 + R2) in "
    "series and the other part's share in parallel;  ends of a pair from the extreme parts",
    sources=[
        Source("worst-case and root-sum-square tolerance", ARITHMETIC),
        Source("JCGM 106:2012, 8.3.2 and 8.3.3, guarded acceptance", MEMORY),
    ],
    gives={
        "low": "the lowest value it may have",
        "high": "the highest value it may have",
        "worst": "worst-case tolerance: the larger side",
        "rss": "statistical tolerance: the root of the sum of squares",
    },
    fits=_fits,
)
def tolerance_band(
    nominal: Annotated[Measured, "the value that is marked"],
    tolerance: Annotated[Tolerance, "as marked", PRACTICE] = _FIVE_PERCENT,
    second: Annotated[Measured | None, "the value of a second part joined with it"] = None,
    second_tolerance: Annotated[Tolerance | None, "of the second; the first's unless given"] = None,
    topology: Annotated[Literal["series", "parallel"] | None, "how the two are joined"] = None,
    measured: Annotated[Measured | None, "what the meter shows"] = None,
    uncertainty: Annotated[
        Measured | None, "expanded uncertainty of measured, coverage 2; 1 % of it"
    ] = None,
    meter: Annotated[Accuracy | None, "accuracy of the meter, instead of uncertainty"] = None,
) -> Answer:
    """Is this part inside its own marking?

    With a second part in series or parallel the band is that of both together: its ends come
    from the extreme values of the parts, the statistical tolerance from independent ones.
    Capacitors in series are joined as resistors in parallel are. With a measured value the
    verdict is guarded by the uncertainty of the reading.

    Example: 4.7 kohm 5 %: 4465 to 4935 ohm. 1 kohm 5 % in parallel with 220 ohm 1 %: 180.3 ohm,
    -1.75/+1.70 % at worst, 1.22 % statistically.
    """
    if nominal.value <= 0:
        raise unusable("nominal", nominal, "above zero")
    parts, adds = _parts(nominal, tolerance, second, second_tolerance, topology)
    low = _join([value * (1 - marked.minus) for value, marked in parts], adds)
    high = _join([value * (1 + marked.plus) for value, marked in parts], adds)
    middle = _join([value for value, _ in parts], adds)
    worst = max(high / middle - 1, 1 - low / middle)
    rss = _statistical(parts, middle, adds=adds)
    kind = nominal.kind
    values = [
        Value("low", low, kind, digits=6),
        Value("high", high, kind, digits=6),
        Value("worst", worst, RATIO),
        Value("rss", rss, RATIO),
    ]
    notes = []
    if second is not None:
        ends = f"{low / middle * 100 - 100:+.4g} % to {high / middle * 100 - 100:+.4g} %"
        notes.append(f"the two make {show(middle, kind, digits=6)}, exactly {ends}")
    if measured is None:
        if uncertainty is not None or meter is not None:
            raise CalculationError(
                "an uncertainty is of no use without measured",
                input="measured",
                hint="write measured=…",
            )
        return Answer(values, notes=notes)
    if not low < high:
        raise CalculationError(
            "a tolerance of zero leaves no band to hold the measured value against",
            input="tolerance",
            read=str(tolerance),
        )
    expanded, assumptions = _uncertainty(measured, uncertainty, meter)
    found = guarded(measured.value, low, high, expanded / 2)
    return Answer(
        values,
        verdict=found.verdict,
        word=found.word,
        why=found.why(kind),
        assumptions=assumptions,
        notes=notes,
    )


def _parts(
    nominal: Measured,
    tolerance: Tolerance,
    second: Measured | None,
    second_tolerance: Tolerance | None,
    topology: str | None,
) -> tuple[list[tuple[float, Tolerance]], bool]:
    """Give each part's value with its tolerance, and whether their values add."""
    if second is None:
        if topology is not None or second_tolerance is not None:
            raise CalculationError(
                "a second part is spoken of, but its value is missing",
                input="second",
                hint="write second=…",
            )
        return [(nominal.value, tolerance)], True
    if topology is None:
        raise CalculationError(
            "say how the two parts are joined", input="topology", choices=["series", "parallel"]
        )
    if second.value <= 0:
        raise unusable("second", second, "above zero")
    adds = (topology == "series") != (nominal.kind == FARADS)
    both = [(nominal.value, tolerance), (second.value, second_tolerance or tolerance)]
    return both, adds


def _join(values: list[float], adds: bool) -> float:
    """Give what values make together; one alone is itself."""
    if adds or len(values) == 1:
        return math.fsum(values)
    return 0.0 if 0.0 in values else 1 / math.fsum(1 / value for value in values)


def _statistical(parts: list[tuple[float, Tolerance]], middle: float, *, adds: bool) -> float:
    """Give the root of the sum of squares, with the wider side of each tolerance."""
    weights = (value / middle if adds else middle / value for value, _ in parts)
    wider = (max(marked.minus, marked.plus) for _, marked in parts)
    return math.hypot(*(weight * side for weight, side in zip(weights, wider, strict=True)))


def _uncertainty(
    measured: Measured, uncertainty: Measured | None, meter: Accuracy | None
) -> tuple[float, list[str]]:
    kind = measured.kind
    if uncertainty is not None and meter is not None:
        raise CalculationError(
            "uncertainty and meter say the same thing; give one of them", input="meter"
        )
    if meter is not None:
        expanded = meter.expanded(measured.value, kind)
        return expanded, [f"uncertainty of {show(expanded, kind)} from the meter's accuracy"]
    if uncertainty is None:
        expanded = _SHARE * abs(measured.value)
        return expanded, [f"uncertainty taken as 1 % of the reading, {show(expanded, kind)}"]
    if uncertainty.value <= 0:
        raise unusable("uncertainty", uncertainty, "above zero")
    return uncertainty.value, []
