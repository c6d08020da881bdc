"""`fixbook job export`: jobs as CSV that a spreadsheet may open, or as JSON Lines."""

from __future__ import annotations

import argparse
import contextlib
import csv
import json
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TextIO

from fixbook.api import Bench, what_to_do

from .errors import JobError
from .job import Job
from .job_json import NAMES, job_to_json
from .listing import wanted
from .shown import quantity, say
from .store import open_store

FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""What a cell must not begin with, lest a spreadsheet runs it."""


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Write the jobs that are asked for, the oldest first; to a file, or to the output."""
    as_lines = given.jsonl or given.json or (given.file.endswith((".jsonl", ".json")))
    if as_lines and given.csv:
        raise JobError("both CSV and JSON Lines are asked for", input="--csv", hint="choose one")
    asked = wanted(bench, given)
    with open_store(bench) as store:
        jobs = list(reversed(store.find(asked)))
    texts = json_lines(jobs) if as_lines else ()
    if given.file == "-":
        _write(sys.stdout, jobs, texts, as_lines=as_lines)
        return 0
    try:
        out = Path(given.file).open("x", encoding="utf-8", newline="")  # noqa: SIM115  # see below
        try:
            with out:
                _write(out, jobs, texts, as_lines=as_lines)
        except BaseException:  # half a file would pass for a whole one
            with contextlib.suppress(OSError):
                Path(given.file).unlink()
            raise
    except OSError as error:
        raise JobError(
            f"{given.file} cannot be written: {error.strerror or error}",
            input="FILE",
            read=given.file,
            hint=what_to_do(
                error, "name a file that does not exist yet, in a folder you may write to"
            ),
        ) from error
    say(bench, f"{len(jobs):,} jobs written to {given.file}.")
    return 0


def json_lines(jobs: Iterable[Job]) -> Iterator[str]:
    """Give each job as a line of JSON, as `fixbook job add` and `job import` read it."""
    return (json.dumps(job_to_json(job)) + "\n" for job in jobs)


def cells(job: Job) -> list[str]:
    """Give a job's fields as cells, in the order of the columns."""
    values = job_to_json(job)
    values["signs"] = "; ".join(f"{sign}={answer}" for sign, answer in sorted(job.signs.items()))
    values["faults"] = "; ".join(job.faults)
    values["parts"] = "; ".join(
        " ".join(word for word in (f"{one.count} x", one.what, one.value, one.at) if word)
        for one in job.parts
    )
    values["readings"] = "; ".join(
        f"{one.target}: {quantity(one.before, one.kind) or '?'} -> "
        f"{quantity(one.after, one.kind) or '?'}"
        for one in job.readings
    )
    values["notes"] = "\n".join(f"{note.when} {note.text}".strip() for note in job.notes)
    return [harmless("" if values[name] is None else str(values[name])) for name in NAMES]


def harmless(cell: str) -> str:
    """Keep a spreadsheet from running a cell: one that begins like a formula gets a quote."""
    return f"'{cell}" if cell.lstrip(" \n").startswith(FORMULA) else cell


def _write(out: TextIO, jobs: Iterable[Job], texts: Iterable[str], *, as_lines: bool) -> None:
    if as_lines:
        out.writelines(texts)
        return
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(NAMES)
    writer.writerows(cells(job) for job in jobs)
