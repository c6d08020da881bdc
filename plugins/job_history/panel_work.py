"""What the job panel has done: jobs started, noted, measured and closed in the database."""

from __future__ import annotations

import json
from argparse import Namespace
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from fixbook.api import Bench, Block, PanelWork, TableBlock, read, sentence

from .errors import JobError
from .job import Job, Note, Reading
from .measuring import with_readings
from .noting import known_entries
from .shown import readings_table, shortened, title
from .store import open_store
from .wanted import Wanted
from .writing import NOTE

Done = dict[str, Any]
"""`number`, `said`, `blocks`, and what the step of that work needs beside them."""


def work(bench: Bench, wanted: PanelWork) -> Done:
    """Do what the panel asks for; JobError, with words, where it cannot be done."""
    doing: dict[str, Callable[[Bench, Mapping[str, str]], Done]] = {
        "look": look,
        "start": start,
        "take": take,
        "note": note,
        "readings": measure,
        "close": close,
    }
    return doing[wanted.name](bench, wanted.values)


def look(bench: Bench, values: Mapping[str, str]) -> Done:
    """Say which jobs are open, the newest first."""
    from .place import has_jobs

    if not has_jobs(bench):
        return {"open": "", "said": "" if bench.folder else NO_BOOK}
    with open_store(bench) as store:
        jobs = store.find(Wanted(open=True, limit=int(values["most"])))
    named = [[job.number, shortened(f"{job.model} {job.complaint}".strip())] for job in jobs]
    return {"open": json.dumps(named)}


def start(bench: Bench, values: Mapping[str, str]) -> Done:
    """Record a new job under the next free number, linked to the write-up it was started from."""
    faults = (bench.entry(values["entry"]).id,) if values.get("entry") else ()
    noted = values.get("note", "").strip()

    def make(number: str) -> Job:
        return Job(
            number,
            booked_in=date.today(),
            unit=values.get("unit", ""),
            model=values.get("model", "").strip(),
            complaint=values.get("complaint", "").strip(),
            stage="on-bench",
            faults=faults,
            notes=(Note(values.get("when", ""), noted),) if noted else (),
        )

    readings = _readings(bench, values.get("readings", ""))
    with open_store(bench) as store:
        job = store.add_next(make)
        if readings:
            job = store.edit(job.number, lambda now: _measured(now, readings))
    return {**_shown(bench, job), "said": f"job {job.number} is started"}


def take(bench: Bench, values: Mapping[str, str]) -> Done:
    """Go on with a job."""
    with open_store(bench) as store:
        job = store.get(values["number"])
    last = job.notes[-1].text if job.notes else ""
    return {**_shown(bench, job), "last": last, "said": f"going on with job {job.number}"}


def note(bench: Bench, values: Mapping[str, str]) -> Done:
    """Put a note into the job; entries that it links to become links of the job."""
    entries, unknown = known_entries(bench, values["text"])
    new = Note(values.get("when", ""), values["text"])

    def noted(job: Job) -> Job:
        faults = tuple(dict.fromkeys((*job.faults, *entries)))
        return replace(job, notes=(*job.notes, new), faults=faults)

    with open_store(bench) as store:
        job = store.edit(values["number"], noted, NOTE)
    return {**_shown(bench, job), "said": " ".join(sentence(one) for one in ("noted", *unknown))}


def measure(bench: Bench, values: Mapping[str, str]) -> Done:
    """Record readings: the first of a target is from before the repair, later ones from after."""
    readings = _readings(bench, values["readings"])
    with open_store(bench) as store:
        job = store.edit(values["number"], lambda now: _measured(now, readings))
    names = ", ".join(one.target for one in readings)
    return {**_shown(bench, job), "said": f"recorded: {names}"}


def close(bench: Bench, values: Mapping[str, str]) -> Done:
    """Close the job as the command line does; JobError says what is missing."""
    from .closing import run

    typed = {name: values.get(name, "").strip() or None for name in TYPED}
    given = Namespace(
        **typed, number=values["number"], fault=None, part=None, handed_over=None, json=False
    )
    try:
        run(bench, given)
    except JobError as error:
        raise JobError(error.why, input=error.input, read=error.read) from error
    pending = values.get("note", "").strip()
    if pending:
        note(bench, {"number": values["number"], "text": pending, "when": values.get("when", "")})
    with open_store(bench) as store:
        job = store.get(values["number"])
    return {**_shown(bench, job), "said": f"job {job.number} is closed: {job.outcome}"}


TYPED = ("outcome", "minutes", "work", "safety_test", "soak")
NO_BOOK = (
    "only the starter book is open, and jobs are kept in a book of your own: leave the screen and "
    "make one with 'fixbook book new DIR'"
)


def _readings(bench: Bench, text: str) -> list[Reading]:
    found = []
    for entry_id, name, typed in json.loads(text) if text else []:
        entry = bench.entry(entry_id)
        target = next((one for one in entry.targets if one.name == name), None)
        if target is not None:
            value = read(typed, target.kind, name=name).value
            found.append(Reading(entry.id, name, target.kind.name, after=value))
    return found


def _measured(job: Job, new: list[Reading]) -> Job:
    had = {(one.fault, one.target) for one in job.readings}
    placed = []
    for one in new:
        if (one.fault, one.target) not in had:
            one = replace(one, before=one.after, after=None)
            had.add((one.fault, one.target))
        placed.append(one)
    return replace(job, readings=with_readings(job.readings, placed))


def _shown(bench: Bench, job: Job) -> Done:
    rows = [("unit", job.unit), ("model", job.model), ("complaint", job.complaint)]
    rows += [("write-up", f"{title(bench, one)} ({one})") for one in job.faults]
    head = TableBlock(f"Job {job.number}", ("", ""), tuple(row for row in rows if row[1]))
    notes = tuple((one.when.replace("T", " "), one.text) for one in reversed(job.notes))
    table = [TableBlock("Notes, the newest first", ("when", "note"), notes)] if notes else []
    blocks: list[Block] = [*table, *readings_table(job), head]
    return {"number": job.number, "blocks": tuple(blocks)}
