"""Which column of a shop's history goes where: guessed from names and from what stands below."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fixbook.api import close_matches, did_you_mean

from .cells import folded
from .errors import JobError
from .privacy import PRIVATE, holds_contacts, looks_private

MOST_NAME = 500
"""Characters of a column's name; with more it is text that stands where names should."""
NOTHING = "nothing"
"""The field of a column that is left out."""

NAMES: Mapping[str, tuple[str, ...]] = {
    "number": (
        "number", "job number", "job no", "job nr", "job id", "job", "ticket number", "ticket no",
        "ticket id", "ticket", "work order", "work order no", "repair number", "repair no",
        "repair id", "order number", "order no", "docket", "case number", "case no", "rma",
        "reference", "ref", "ref no", "no", "nr", "id",
    ),
    "booked_in": (
        "booked in", "date in", "booked", "received", "date received", "received on", "intake",
        "intake date", "checked in", "arrived", "arrival", "opened", "opened at", "created",
        "created at", "created on", "date created", "start date", "in", "date",
    ),
    "handed_over": (
        "handed over", "date out", "collected", "collected on", "collection date", "returned",
        "date returned", "delivered", "delivery date", "closed", "closed at", "date closed",
        "completed", "completed on", "completed at", "date completed", "completion date",
        "finished", "finished on", "end date", "out",
    ),
    "unit": (
        "unit", "unit type", "device type", "device", "equipment type", "equipment", "category",
        "product type", "apparatus", "item type", "item", "kind", "type", "class",
    ),
    "make": ("make", "brand", "manufacturer", "maker"),
    "model": ("model", "model no", "model number", "model name", "model id", "product"),
    "serial": ("serial", "serial no", "serial number", "serial nr", "sn", "s n", "ser no", "tag"),
    "accessories": ("accessories", "accessory", "came with", "with it", "included"),
    "condition": ("condition", "cosmetic condition", "cosmetic", "damage", "condition in"),
    "complaint": (
        "complaint", "customer complaint", "reported fault", "fault reported", "fault",
        "fault description", "problem", "problem description", "symptom", "symptoms", "issue",
        "defect", "defect reported", "description", "faults",
    ),
    "limit": ("limit", "agreed limit", "cost limit", "price limit", "spend limit", "budget"),
    "shelf": ("shelf", "bin", "rack", "location", "shelf no", "storage"),
    "stage": ("stage",),
    "status": ("status", "state", "job status", "repair status"),
    "signs": ("signs",),
    "faults": ("faults", "entry", "entries", "write up", "write ups", "fault ids", "fault id"),
    "work": (
        "work", "work done", "work performed", "work carried out", "repair done", "repair",
        "action", "action taken", "actions", "diagnosis", "fault found", "cause", "findings",
        "found", "solution", "remedy", "service report", "what was done",
    ),
    "parts": ("parts", "parts used", "parts fitted", "parts replaced", "components", "spares"),
    "readings": ("readings",),
    "notes": (
        "notes", "note", "comments", "comment", "remarks", "remark", "memo", "engineer notes",
        "technician notes", "bench notes",
    ),
    "minutes": (
        "minutes", "minutes spent", "mins", "min", "time min", "labour minutes", "labor minutes",
        "time", "time spent", "time taken", "duration", "bench time", "labour", "labor",
    ),
    "hours": ("hours", "hrs", "labour hours", "labor hours", "hours spent", "time h", "time hours"),
    "safety_test": ("safety test", "electrical safety", "pat", "pat test", "safety"),
    "soak_minutes": ("soak minutes", "soak", "soak test", "soak time", "burn in"),
    "outcome": (
        "outcome", "result", "resolution", "disposition", "repair outcome", "repair result",
    ),
    "return_of": (
        "return of", "previous job", "earlier job", "original job", "repeat of", "warranty of",
        "parent job",
    ),
}  # fmt: skip
"""The names of columns that go to each field, the surest first. Common practice, no source."""

SEVERAL = ("accessories", "condition", "complaint", "work", "notes", "parts")
"""Fields that several columns may go to; their texts are joined."""
TEXTS = (*SEVERAL, "limit", "shelf", "safety_test", "model", "unit")
"""Fields whose columns are looked at for ways to reach people."""
ANY_WORD = ("complaint", "work", "notes", "parts", "accessories", "condition", "serial", "model")
"""Fields that a single telling word in a longer name of a column is enough for."""

_EXACT = {
    name: (field, place)
    for field, names in reversed(tuple(NAMES.items()))
    for place, name in enumerate(names)
}
_IDS = re.compile(r'[\["]*[a-z0-9]+(?:-[a-z0-9]+)+(?:["\[\];, ]+[a-z0-9]+(?:-[a-z0-9]+)+)*["\]]*')
"""One id of a write-up or several, in words or as a JSON list."""


@dataclass(frozen=True, slots=True)
class Guess:
    """Where a column goes, and why."""

    column: str
    field: str
    """A name of NAMES, or NOTHING."""
    why: str


def guess(columns: Sequence[str], sample: Sequence[Mapping[str, str]]) -> list[Guess]:
    """Guess where each column goes; what looks like customers' names or numbers goes nowhere.

    `sample` holds some rows. A field that one column alone can fill goes to the surest. JobError
    where a name is longer than any name of a column, as a key of JSON Lines can be.
    """
    if long := next((column for column in columns if len(column) > MOST_NAME), ""):
        raise JobError(
            f"the name of a column has {len(long):,} characters ({long[:40]!r} ...)",
            hint='see that each row names its values briefly, such as {"complaint": "It hums"}',
            input="column",
            read=long[:MOST_NAME],
        )
    first = [_guess(column, [row.get(column, "") for row in sample]) for column in columns]
    best: dict[str, tuple[int, str]] = {}
    for one, place in first:
        if one.field not in (*SEVERAL, NOTHING):
            best[one.field] = min(best.get(one.field, (999, "")), (place, one.column))
    chosen = {field: column for field, (_, column) in best.items()}
    return [
        one
        if chosen.get(one.field, one.column) == one.column
        else Guess(one.column, NOTHING, f"{chosen[one.field]} is the surer {one.field}")
        for one, _ in first
    ]


def corrected(guesses: Sequence[Guess], corrections: Sequence[str]) -> list[Guess]:
    """Give the guesses with `column=field` corrections; JobError names what there is none of."""
    found = {one.column: one for one in guesses}
    for text in corrections:
        column, equals, field = text.rpartition("=")
        if not equals:
            raise JobError(
                f"{text!r} is no correction", hint="write --map 'COLUMN=FIELD'", input="map",
                read=text,
            )  # fmt: skip
        name = column_called(column, list(found))
        found[name] = Guess(name, field_called(field), "as you say")
        for other in found.values():
            same = other.field == found[name].field and other.column != name
            if same and other.field not in (*SEVERAL, NOTHING):
                found[other.column] = Guess(other.column, NOTHING, f"{name} is the {other.field}")
    return list(found.values())


def column_called(name: str, columns: Sequence[str]) -> str:
    """Give a column by its name or the beginning of it; JobError with close matches."""
    if name in columns:
        return name
    wanted = folded(name)
    by_name = {folded(column): column for column in columns}
    begun = [column for key, column in by_name.items() if wanted and key.startswith(wanted)]
    if wanted in by_name or len(begun) == 1:
        return by_name.get(wanted) or begun[0]
    near = did_you_mean(name, columns, otherwise=f"there are {', '.join(columns)}")
    raise JobError(
        f"there is no column {name!r}; {near}",
        input="column",
        read=name,
        choices=close_matches(name, columns) or columns,
    )


def field_called(name: str) -> str:
    """Give a field by its name; JobError with close matches."""
    wanted = "_".join(folded(name).split()) or NOTHING
    known = [*NAMES, NOTHING]
    if wanted in known:
        return wanted
    near = did_you_mean(wanted, known, otherwise=f"it is one of {', '.join(known)}")
    raise JobError(f"jobs have no field {name!r}; {near}", input="map", read=name, choices=known)


def _guess(column: str, values: Sequence[str]) -> tuple[Guess, int]:
    """Guess where a column goes, and how sure that is: the lower, the surer."""
    field, place, why = _by_name(column, values)
    if field == NOTHING and looks_private(column):
        return Guess(column, NOTHING, PRIVATE), 0
    if field in TEXTS and holds_contacts(values):
        return Guess(column, NOTHING, "left out: it holds names, numbers or mail addresses"), 0
    return Guess(column, field, why), place


def _by_name(column: str, values: Sequence[str]) -> tuple[str, int, str]:
    name = folded(column)
    if name == "faults" and all(_IDS.fullmatch(value) for value in values if value):
        return "faults", 0, "its name, and it holds ids of write-ups"
    if name in _EXACT:
        return (*_EXACT[name], "its name")
    if not looks_private(column):
        words = set(name.split())
        for field in ANY_WORD:
            telling = [one for one in NAMES[field] if one in words]
            if telling:
                return field, 100, f"its name has {telling[0]!r} in it"
    return NOTHING, 0, "no field has such a name"
