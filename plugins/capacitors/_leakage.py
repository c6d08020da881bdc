"""Leakage current of an electrolytic: the limit of a general-purpose part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from fixbook.api import (
    AMPS,
    BELIEVE_NEITHER,
    DISCHARGE_TOOL,
    FARADS,
    MINUTES,
    PROVE_DEAD,
    VOLTS,
    Answer,
    Entry,
    Farads,
    Microamps,
    Part,
    Source,
    Target,
    Value,
    Volts,
    calculator,
    guarded,
    read,
    within,
)

from ._parts import capacitance_of, family_of, volts_of

RecordName = Literal["radial-105", "cv-0.002", "cv-0.03", "cv-0.06-plus-10"]

_SHOCK_HAZARD = (
    "Charging a capacitor to its rated voltage on the bench is a shock hazard above 60 V."
)
_RE_FORM = "Re-form a part that was stored for years first, through a current-limiting resistor."


@dataclass(frozen=True, slots=True)
class Rule:
    """A leakage limit in microamperes: `factor` times C in microfarads and V, plus `plus`."""

    factor: float
    plus: float = 0.0
    least: float = 0.0
    minutes: float | None = None
    """How long after switching on the limit holds; None where the sheet was not seen to say."""
    up_to_volts: float = float("inf")
    up_to_cv: float = float("inf")


# The first from one maker's radial 105 degC general-purpose sheet, the others as makers' other
# series state them.
RECORDS: dict[str, tuple[Rule, ...]] = {
    "radial-105": (
        Rule(0.01, least=3, minutes=2, up_to_volts=100),
        Rule(0.03, plus=15, minutes=5, up_to_cv=1000),
        Rule(0.02, plus=25, minutes=5),
    ),
    "cv-0.002": (Rule(0.002),),
    "cv-0.03": (Rule(0.03),),
    "cv-0.06-plus-10": (Rule(0.06, plus=10),),
}


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if not isinstance(where, Part) or family_of(where) != "aluminium":
        return None
    capacitance, volts = capacitance_of(where), volts_of(where)
    if not capacitance or not volts:
        return None
    fits = 1e-7 <= read(capacitance, FARADS).value <= 0.1 and 1 <= read(volts, VOLTS).value <= 500
    return {"capacitance": capacitance, "rated_voltage": volts} if fits else None


@calculator(
    "leakage-limit",
    formula="C in uF, V in V, limit in uA;  up to 100 V: max(0.01 C V, 3) after 2 min;  above: "
    "0.03 C V + 15 for C V <= 1000, else 0.02 C V + 25, after 5 min, 20 degC",
    sources=[
        Source("a maker's series sheet, radial 105 degC general purpose"),
        Source("other makers' series: 0.002 C V, 0.03 C V, 0.06 C V + 10"),
    ],
    cautions=[PROVE_DEAD, DISCHARGE_TOOL, _SHOCK_HAZARD, _RE_FORM, BELIEVE_NEITHER],
    gives={
        "limit": "highest leakage current of a new or re-formed part",
        "wait": "how long at rated voltage before it is read",
    },
    fits=_fits,
)
def leakage_limit(
    capacitance: Annotated[Farads, "nominal capacitance", within(1e-7, 0.1)],
    rated_voltage: Annotated[Volts, "rated voltage, at which it is measured", within(1, 500)],
    reading: Annotated[Microamps | None, "leakage current that was read", within(0, 0.1)] = None,
    record: Annotated[RecordName, "whose limit: the series that is nearest"] = "radial-105",
    uncertainty: Annotated[
        Microamps | None, "of the reading, at coverage 2", within(0, 0.1)
    ] = None,
) -> Answer:
    """Is the leakage of this electrolytic still inside a general-purpose limit?

    The limit holds at rated voltage, at 20 degC, after the waiting time. Parts stored for years
    must be re-formed first, through a current-limiting resistor: their first reading says
    nothing. Series differ a lot; take the record whose formula the part's own sheet has.

    Example: 1000 uF, 16 V: 160 uA after 2 minutes. 2.2 uF, 400 V: 41.4 uA after 5 minutes.
    """
    cv = capacitance * 1e6 * rated_voltage
    rule = next(
        one
        for one in RECORDS[record]
        if rated_voltage <= one.up_to_volts and cv <= one.up_to_cv * (1 + 1e-12)
    )
    limit = max(rule.factor * cv + rule.plus, rule.least) * 1e-6
    values = [
        Value("limit", limit, AMPS),
        Value("wait", rule.minutes * 60, MINUTES)
        if rule.minutes is not None
        else Value("wait", None, MINUTES, text="as its sheet says"),
    ]
    assumptions = ["at rated voltage and 20 degC"]
    if reading is None:
        return Answer(values, assumptions=assumptions)
    if uncertainty is None:
        assumptions.append("no uncertainty given: the reading is taken as exact")
    found = guarded(reading, None, limit, (uncertainty or 0.0) / 2)
    return Answer(
        values,
        verdict=found.verdict,
        word=found.word,
        why=found.why(AMPS),
        assumptions=assumptions,
    )
