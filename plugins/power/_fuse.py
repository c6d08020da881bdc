"""A fuse for a fuse."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Annotated

from fixbook.api import (
    AMPS,
    CELSIUS,
    MEMORY,
    PRACTICE,
    PROVE_DEAD,
    PUBLISHED,
    SECONDARY,
    Amps,
    Answer,
    CalculationError,
    Celsius,
    Entry,
    Kind,
    Part,
    Source,
    Table,
    Target,
    above,
    calculator,
    show,
    within,
    worst,
)

from ._fuse_rules import Row, behaviour, compare, select
from ._marking import Marking, read_marking

_COLUMNS: Mapping[str, Kind | None] = {
    "rule": None,
    "verdict": None,
    "needed": AMPS,
    "standard_rating": AMPS,
    "why": None,
}


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if not isinstance(where, Part) or not re.search(r"\bfuse\b", where.is_.lower()):
        return None
    try:
        read_marking(where.value, "original")
    except CalculationError:
        return None
    return {"original": where.value}


@calculator(
    "fuse",
    formula="new circuit: In >= I/0.75 (UL 248-14), In >= I (IEC 60127), then the next rating",
    sources=[
        Source("UL 248-14, in a fuse maker's selection guide", PUBLISHED),
        Source("IEC 60127-2, quick glass, in a second maker's note and a mailing list", SECONDARY),
        Source("load of 75 % of a UL rating for long", SECONDARY),
        Source("same characteristic, breaking capacity and voltage not lower", PRACTICE),
        Source("order of the breaking capacities L, E, H; lists of ratings", MEMORY),
    ],
    cautions=[
        "Never fit a higher rating, and never bridge a fuse.",
        "A fuse that blew with a blackened tube had a short behind it: find that first.",
        PROVE_DEAD,
    ],
    gives={"rows": "each rule with its verdict; for a new circuit the rating needed and to take"},
    fits=_fits,
)
def fuse(
    original: Annotated[str | None, "marking of the original, as T 2 A L 250 V"] = None,
    offered: Annotated[str | None, "marking of the fuse to be fitted"] = None,
    load: Annotated[Amps | None, "current that flows for long", above(0, 100)] = None,
    temperature: Annotated[Celsius, "temperature around the fuse", within(-40, 125)] = 25,
) -> Answer:
    """May this fuse replace that one, and what does it do with my load?

    Like for like: the same standard, characteristic and rating; breaking capacity and voltage
    not lower. Two 1 A fuses are not the same: at 1.5 A a UL one opens within an hour, an IEC
    one may carry it for longer than that, so a rating of one standard is never turned into one
    of the other. Without an original, the load alone gives the rating for a new circuit.

    Letters: FF, F, M, T, TT from very quick to very slow; L, E, H for the breaking capacity.
    The times are those of quick glass fuses, 32 mA to 6.3 A; time-lag ones take longer.

    Example: for 2.1 A a new circuit takes 3 A of UL 248-14, or 2.5 A of IEC 60127.
    """
    first = read_marking(original, "original") if original else None
    second = read_marking(offered, "offered") if offered else None
    if second and not first:
        raise CalculationError(
            "give the marking of the original too; an offered fuse is held against it",
            input="original",
            choices=["original"],
        )
    rows: list[Row] = compare(first, second) if first and second else []
    overall = worst([row.verdict for row in rows]) if rows else "info"
    judged = second or first
    if load is not None:
        rows += behaviour(judged, load) if judged else select(load)
    if not rows and first:
        rows = [Row("marking", "info", _in_words(first))]
    if not rows:
        raise CalculationError(
            "give the original and the offered fuse, or the load of a new circuit",
            input="original",
            choices=["original and offered", "load"],
        )
    deciding = [row for row in rows if row.verdict == overall]
    return Answer(
        [Table("rows", _COLUMNS, [_record(row) for row in rows])],
        verdict=overall,
        why="; ".join(f"{row.rule}: {row.why}" for row in deciding),
        assumptions=[
            f"{name}: IEC 60127, by its letters"
            for name, one in (("original", first), ("offered", second))
            if one and one.assumed
        ],
        notes=_notes([one for one in (first, second) if one], load, temperature),
    )


def _record(row: Row) -> Mapping[str, float | int | str | bool | None]:
    return {
        "rule": row.rule,
        "verdict": row.verdict,
        "needed": row.needed,
        "standard_rating": row.standard_rating,
        "why": row.why,
    }


def _notes(fuses: Sequence[Marking], load: float | None, temperature: float) -> list[str]:
    notes = []
    sizes = [one.size for one in fuses]
    if len(sizes) == 2 and (sizes[0] is None) != (sizes[1] is None):
        notes.append("Only one of them states its size: compare them.")
    if load is not None and any(one.characteristic in ("M", "T", "TT") for one in fuses):
        notes.append("The times are those of quick fuses: a time-lag one takes longer.")
    if temperature != 25:
        notes.append(
            f"Ratings hold at about 25 degC; at {show(temperature, CELSIUS)} take the factor from "
            "the maker's sheet."
        )
    return notes


def _in_words(one: Marking) -> str:
    said = [
        show(one.amps, AMPS),
        f"characteristic {one.characteristic or 'not stated'}",
        f"breaking capacity {one.breaking or 'not stated'}",
        f"{one.volts:g} V" if one.volts else "voltage not stated",
        f"standard {one.standard or 'not stated'}",
    ]
    return ", ".join(said)
