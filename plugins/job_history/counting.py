"""Counting jobs in the database: digests of entries, and a unit's counts for narrowing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator
from datetime import date
from typing import TYPE_CHECKING, Any

from .digest import Digest, Learnt, Seen, digest
from .records import SLICE
from .tables import tables

if TYPE_CHECKING:
    from sqlalchemy import Connection, Select

CONFIRMED = ("fixed", "improved", "uneconomic", "declined")
"""The outcomes that confirm the fault; one that was not fixed may have had another."""


def digests(
    connection: Connection,
    entries: Collection[str] | None,
    *,
    today: date,
    warranty_days: int,
) -> dict[str, Digest]:
    """Sum up the jobs of these entries; None: of all that have any."""
    jobs = seen_jobs(connection, entries)
    readings = _readings(connection, entries)
    return {
        entry: digest(
            jobs.get(entry, ()),
            today=today,
            warranty_days=warranty_days,
            readings=readings.get(entry, ()),
        )
        for entry in ({*jobs, *readings} if entries is None else entries)
    }


def seen_jobs(connection: Connection, entries: Collection[str] | None) -> dict[str, list[Seen]]:
    """Give what digests take from the jobs of these entries, by entry; None: of all entries."""
    from sqlalchemy import select

    known = tables()
    job, link = known.job, known.link
    wanted = ("number", "booked_in", "handed_over", "stage", "outcome", "minutes", "model")
    back = _came_back(connection)
    query = select(link.c.entry, *(job.c[name] for name in wanted)).join(
        link, link.c.job == job.c.number
    )
    found: dict[str, list[Seen]] = defaultdict(list)
    rows = _in_slices(connection, query, link.c.entry, entries)
    for entry, number, booked_in, handed_over, stage, outcome, minutes, model in rows:
        came_back = back.get(number)
        found[entry].append(
            Seen(number, booked_in, handed_over, stage, outcome, minutes, model, came_back)
        )
    return dict(found)


def unit_counts(connection: Connection, unit: str) -> dict[str, Any]:
    """Count a unit's jobs for narrowing, as the fields of `fixbook.api.Counts`.

    Only jobs whose outcome confirms what was found count. Unlisted are jobs that were recorded
    here, ended well and are linked to no entry; imported ones may just not be linked yet.
    """
    from sqlalchemy import exists, func, select

    known = tables()
    job, link, sign = known.job, known.link, known.sign
    mine = (job.c.unit == unit, job.c.outcome.in_(CONFIRMED))
    linked = link.c.job == job.c.number
    faults = select(link.c.entry, func.count()).join(job, linked).where(*mine)
    answers = (
        select(link.c.entry, sign.c.sign, sign.c.answer, func.count())
        .join(job, linked)
        .join(sign, sign.c.job == job.c.number)
        .where(*mine)
        .group_by(link.c.entry, sign.c.sign, sign.c.answer)
    )
    without = select(func.count()).where(
        *mine,
        job.c.outcome.in_(("fixed", "improved")),
        job.c.source == "",
        ~exists().where(linked),
    )
    counted: dict[str, dict[str, dict[str, int]]] = {}
    for entry, name, answer, count in connection.execute(answers):
        counted.setdefault(entry, {}).setdefault(name, {})[answer] = count
    rows = connection.execute(faults.group_by(link.c.entry))
    return {
        "faults": {row[0]: row[1] for row in rows},
        "answers": counted,
        "unlisted": connection.execute(without).scalar() or 0,
    }


def _came_back(connection: Connection) -> dict[str, date | bool]:
    """Give the jobs that came back, with the day of the first return, or True."""
    from sqlalchemy import func, select

    job = tables().job
    query = select(job.c.return_of, func.min(job.c.booked_in)).where(job.c.return_of != "")
    rows = connection.execute(query.group_by(job.c.return_of))
    return {number: day or True for number, day in rows}


def _readings(
    connection: Connection, entries: Collection[str] | None
) -> dict[str, list[tuple[str, Learnt]]]:
    from sqlalchemy import select

    known = tables()
    job, reading = known.job, known.reading
    names = ("target", "kind")
    query = (
        select(
            reading.c.fault, job.c.number, *(reading.c[name] for name in names), job.c.model,
            reading.c.after,
        )
        .join(job, job.c.number == reading.c.job)
        .where(reading.c.after.is_not(None), job.c.outcome == "fixed")
    )  # fmt: skip
    found: dict[str, list[tuple[str, Learnt]]] = defaultdict(list)
    for fault, number, target, kind, model, value in _in_slices(
        connection, query, reading.c.fault, entries
    ):
        found[fault].append((number, Learnt(target, kind, model, value)))
    return dict(found)


def _in_slices(
    connection: Connection, query: Select[Any], column: Any, entries: Collection[str] | None
) -> Iterator[Any]:
    if entries is None:
        yield from connection.execute(query)
        return
    wanted = sorted(entries)
    for start in range(0, len(wanted), SLICE):
        yield from connection.execute(query.where(column.in_(wanted[start : start + SLICE])))
