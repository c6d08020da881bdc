"""Judging a measured ESR, and with it the capacitance where that was measured too."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fixbook.api import (
    ARITHMETIC,
    BELIEVE_NEITHER,
    DISCHARGE_TOOL,
    MEMORY,
    OHMS,
    PRACTICE,
    PROVE_DEAD,
    RATIO,
    VOLTS,
    Answer,
    CalculationError,
    Entry,
    Farads,
    Hertz,
    Number,
    Ohms,
    Part,
    Source,
    Target,
    Value,
    Verdict,
    Volts,
    calculator,
    read,
    show,
    within,
    worst,
)

from ._parts import frequency_of, size_of
from ._records import HIGHEST_WITH_COEFFICIENTS, RECORDS, RecordName, new_part_limits
from ._tan_delta import no_coefficients

_DISCHARGE_FIRST = "Discharge the capacitor before any ESR instrument is connected to it."
_LEAST_SHARE = 0.8
"""Of the nominal capacitance: 20 % low when new."""
_MOST_SHARE = 1.2
_WORN_SHARE = 0.64
"""20 % low when new, and 20 % of that lost at the end of endurance."""
_SHORTED = 0.01
"""Ohms below which a reading may as well be that of a short circuit."""
_ROUNDING = 1e-12

Judged = tuple[Verdict, str]


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    size = size_of(where, entry)
    if size is None:
        return None
    frequency = frequency_of(where) if isinstance(where, Target) else None
    if frequency is None and read(size["rated_voltage"], VOLTS).value > HIGHEST_WITH_COEFFICIENTS:
        frequency = "120 Hz"
    return {**size, "frequency": frequency} if frequency else size


@calculator(
    "esr-limit",
    formula="new = tan_delta/(2 pi 120 Hz capacitance)/F^2;  end of life = factor new;  good: "
    "measured + uncertainty <= new;  bad: measured - uncertainty > end of life",
    sources=[
        *(Source(one.source) for one in RECORDS.values()),
        Source("uncertainty of an ESR reading, 10 % or 0.01 ohm", PRACTICE),
        Source("capacitance limits of 80 % and 64 %, from 20 % and 20 %", ARITHMETIC),
        Source("whole steps of 1000 uF", MEMORY),
    ],
    cautions=[PROVE_DEAD, DISCHARGE_TOOL, _DISCHARGE_FIRST, BELIEVE_NEITHER],
    gives={
        "new_limit": "highest ESR of a new part at that frequency",
        "end_of_life_limit": "the new limit times the end-of-life factor",
        "capacitance_share": "the measured capacitance as a share of the nominal one",
    },
    fits=_fits,
)
def esr_limit(
    capacitance: Annotated[Farads, "nominal capacitance", within(1e-7, 0.1)],
    rated_voltage: Annotated[Volts, "rated voltage", within(4, 450)],
    measured: Annotated[Ohms, "the ESR that was measured", within(0, 1000)],
    frequency: Annotated[
        Hertz, "frequency that the instrument measures at", within(50, 1e6), PRACTICE
    ] = 100_000,
    uncertainty: Annotated[
        Ohms | None, "of the reading, at coverage 2; left out: 10 % or 0.01 ohm", within(0, 1000)
    ] = None,
    measured_capacitance: Annotated[
        Farads | None, "capacitance, where it was measured too", within(0, 1)
    ] = None,
    sheet_limit: Annotated[
        Ohms | None, "limit of the part's own data sheet at this frequency; wins", within(0, 1000)
    ] = None,
    end_of_life_factor: Annotated[
        Number | None, "times the limit of a new part; left out: the record's, 2", within(1.3, 3)
    ] = None,
    record: Annotated[RecordName, "whose limits: the series sheet that is nearest"] = "radial-105",
    in_circuit: Annotated[bool, "measured without lifting a lead"] = False,
    physical_signs: Annotated[bool, "it bulges, leaks or smells"] = False,
) -> Answer:
    """Is this measured ESR good, marginal or bad?

    Good: all of the reading with its uncertainty lies within the limit of a new part. Marginal:
    beyond that but within the end-of-life limit. Bad: beyond both. A reading whose uncertainty
    spans a limit is `cannot tell`. The end-of-life limit is a multiple of the specified limit,
    not of what the part measured when new; the multiple is the record's own (2; 1.5 for
    radial-85; 3 for snap-in at the end of useful life).

    A low-impedance series must be judged by its own sheet: give sheet_limit, for the general
    limits are far too generous. A shorted capacitor shows a perfect ESR. Good capacitors in
    parallel hide a bad one in circuit. Cold parts read higher. A limit at 120 Hz does not judge
    a reading at 100 kHz: the limit is carried to the instrument's frequency, which is possible
    up to 50 V only. A part that bulges, leaks or smells is bad whatever it measures.

    Example: 1000 uF, 16 V, 0.30 ohm with 0.02 ohm uncertainty at 120 Hz: new limit 0.2122 ohm,
    end-of-life limit 0.4244 ohm, so marginal.
    """
    assumptions: list[str] = []
    if uncertainty is None:
        uncertainty = max(0.1 * measured, 0.01)
        assumptions.append(
            f"uncertainty taken as {show(uncertainty, OHMS)}: 10 % of the reading or 0.01 ohm, "
            f"whichever is larger ({PRACTICE})"
        )
    if end_of_life_factor is None:
        end_of_life_factor = RECORDS[record].end_of_life
        assumptions.append(f"end_of_life_factor taken as {end_of_life_factor:g}, of {record}")
    limit, more = _new_limit(record, capacitance, rated_voltage, frequency, sheet_limit)
    assumptions += more
    judged = [_judge_esr(measured, uncertainty, limit, end_of_life_factor)]
    if limit is None:
        reason = no_coefficients(rated_voltage, frequency)
        judged = [("cannot tell", f"{reason}; measure at 120 Hz, or give sheet_limit")]
    share = None if measured_capacitance is None else measured_capacitance / capacitance
    if share is not None:
        judged.append(_judge_capacitance(share))
    if physical_signs:
        judged.append(("fail", "it bulges, leaks or smells: bad whatever it measures"))
    verdict = worst([one for one, _ in judged])
    end = None if limit is None else limit * end_of_life_factor
    return Answer(
        [
            *(
                Value(name, value, OHMS, text="" if value is not None else "none at this frequency")
                for name, value in (("new_limit", limit), ("end_of_life_limit", end))
            ),
            *([] if share is None else [Value("capacitance_share", share, RATIO)]),
        ],
        verdict=verdict,
        word={"pass": "good", "fail": "bad"}.get(verdict),
        why="; ".join(why for _, why in judged),
        assumptions=assumptions,
        notes=_notes(verdict, measured, in_circuit, sheet_limit),
    )


def _new_limit(
    record: str,
    capacitance: float,
    rated_voltage: float,
    frequency: float,
    sheet_limit: float | None,
) -> tuple[float | None, list[str]]:
    if sheet_limit is not None:
        if sheet_limit <= 0:
            raise CalculationError(
                "sheet_limit is 0 ohm; a data sheet states an ESR above zero",
                input="sheet_limit",
                read="0 ohm",
            )
        return sheet_limit, ["sheet_limit taken for the frequency of the reading"]
    if not RECORDS[record].tan_delta:
        raise CalculationError(
            f"the record {record} needs sheet_limit: such a sheet states ESR limits for each part",
            input="sheet_limit",
            hint="write sheet_limit=…",
        )
    found = new_part_limits(record, capacitance, rated_voltage, frequency)
    return found.esr_at_frequency, list(found.assumptions)


def _judge_esr(x: float, uncertainty: float, limit: float | None, factor: float) -> Judged:
    if limit is None:
        return "cannot tell", "no limit"
    end = limit * factor
    low, high = x - uncertainty, x + uncertainty
    reading = f"{show(x, OHMS)} with an uncertainty of {show(uncertainty, OHMS)}"
    new, old = show(limit, OHMS), show(end, OHMS)
    slack = end * _ROUNDING
    if high <= limit + slack:
        return "pass", f"{reading} lies within the limit of a new part, {new}"
    if low > end + slack:
        return "fail", f"{reading} lies above the end-of-life limit, {old}"
    if low > limit + slack and high <= end + slack:
        return "marginal", f"{reading} lies above the limit of a new part, {new}, within {old}"
    words = ["good"] * (low <= limit + slack) + ["marginal"] + ["bad"] * (high > end + slack)
    return "cannot tell", f"{reading} could be {' or '.join(words)}: limits {new} and {old}"


def _judge_capacitance(share: float) -> Judged:
    text = f"the capacitance is {show(share, RATIO)} of the nominal one"
    if share < _WORN_SHARE - _ROUNDING:
        return "fail", f"{text}, below 64 %"
    if share < _LEAST_SHARE - _ROUNDING:
        return "marginal", f"{text}, between 64 % and 80 %"
    if share > _MOST_SHARE + _ROUNDING:
        return "marginal", f"{text}, above 120 %: a leaky capacitor reads high"
    return "pass", f"{text}, within 20 %"


def _notes(
    verdict: Verdict, measured: float, in_circuit: bool, sheet_limit: float | None
) -> list[str]:
    notes = []
    if in_circuit and verdict != "fail":
        notes.append("read in circuit: good capacitors in parallel hide a bad one; lift a lead")
    if measured <= _SHORTED:
        notes.append("a shorted capacitor reads like a perfect one: measure its resistance too")
    if sheet_limit is None:
        notes.append("limits of general-purpose parts: far too generous for a low-impedance series")
    return notes
