"""Jobs as rows of the tables, and back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from .job import Job, Note, PartUsed, Reading, model_key, serial_key
from .tables import DATES, NUMBERS, TEXTS, tables

if TYPE_CHECKING:
    from sqlalchemy import Connection, Table

Row = dict[str, Any]
SLICE = 500
"""Numbers in one query: databases limit how many values a statement may carry."""


def job_row(job: Job, version: int) -> Row:
    """Give the row of a job in the job table."""
    row: Row = {name: getattr(job, name) for name in (*DATES, *NUMBERS)}
    row |= {name: storable(getattr(job, name)) for name in TEXTS}
    keys = {"model_key": model_key(job.model), "serial_key": serial_key(job.serial)}
    return {**row, **keys, "number": storable(job.number), "version": version}


def child_rows(job: Job) -> dict[str, list[Row]]:
    """Give a job's rows in the other tables, by the name of the table."""
    own = {"job": storable(job.number)}
    return {
        "job_sign": [
            {**own, "sign": storable(sign), "answer": storable(answer)}
            for sign, answer in job.signs.items()
        ],
        "job_reading": [
            {
                **own,
                "place": place,
                "fault": one.fault,
                "target": storable(one.target),
                "kind": one.kind,
                "before": one.before,
                "after": one.after,
                "meter": storable(one.meter),
            }
            for place, one in enumerate(job.readings)
        ],
        "job_part": [
            {
                **own,
                "place": place,
                "what": storable(one.what),
                "value": storable(one.value),
                "count": one.count,
                "at": storable(one.at),
            }
            for place, one in enumerate(job.parts)
        ],
        "job_note": [
            {**own, "place": place, "when": storable(one.when), "text": storable(one.text)}
            for place, one in enumerate(job.notes)
        ],
    }


def load(connection: Connection, numbers: Iterable[str]) -> dict[str, Job]:
    """Read jobs by their numbers; those that are unknown are left out."""
    wanted = [storable(one) for one in dict.fromkeys(numbers)]
    found: dict[str, Job] = {}
    for start in range(0, len(wanted), SLICE):
        found |= _load_slice(connection, wanted[start : start + SLICE])
    return {number: found[number] for number in wanted if number in found}


def _load_slice(connection: Connection, numbers: Sequence[str]) -> dict[str, Job]:
    from sqlalchemy import select

    known = tables()
    rows = connection.execute(select(known.job).where(known.job.c.number.in_(numbers))).mappings()
    jobs = {row["number"]: dict(row) for row in rows}
    if not jobs:
        return {}
    children = {
        table.name: _children(connection, table, list(jobs))
        for table in (known.link, *known.children)
    }
    return {
        number: _job(row, {name: rows.get(number, []) for name, rows in children.items()})
        for number, row in jobs.items()
    }


def _children(
    connection: Connection, table: Table, numbers: Sequence[str]
) -> dict[str, list[Mapping[str, Any]]]:
    from sqlalchemy import select

    query = select(table).where(table.c.job.in_(numbers))
    if "place" in table.c:
        query = query.order_by(table.c.job, table.c.place)
    found: dict[str, list[Mapping[str, Any]]] = defaultdict(list)
    for row in connection.execute(query).mappings():
        found[row["job"]].append(dict(row))
    return found


def _job(row: Mapping[str, Any], children: Mapping[str, list[Mapping[str, Any]]]) -> Job:
    return Job(
        number=row["number"],
        **{name: row[name] for name in (*DATES, *NUMBERS, *TEXTS)},
        signs={one["sign"]: one["answer"] for one in children["job_sign"]},
        faults=tuple(one["entry"] for one in children["job_link"]),
        parts=tuple(
            PartUsed(one["what"], one["value"], one["count"], one["at"])
            for one in children["job_part"]
        ),
        readings=tuple(
            Reading(
                one["fault"], one["target"], one["kind"], one["before"], one["after"], one["meter"]
            )
            for one in children["job_reading"]
        ),
        notes=tuple(Note(one["when"], one["text"]) for one in children["job_note"]),
    )


def storable(text: str) -> str:
    """Give a text as every database can hold it: no zero bytes, no halves of characters."""
    if text.isascii() and "\0" not in text:
        return text
    return text.replace("\0", "").encode("utf-8", "replace").decode("utf-8")
