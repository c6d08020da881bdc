"""`fixbook job add --from FILE`: recording jobs that are written as JSON."""

from __future__ import annotations

import argparse
import json
import sys
from functools import partial
from pathlib import Path
from typing import Any

from fixbook.api import Bench, FixbookError, TextBlock

from .checking import checked
from .errors import JobError
from .job import Job
from .job_json import job_to_json, make_job, read_fields
from .proving import missing, refuse_unproved
from .returns import likely_returns, returns_block
from .shown import print_json
from .store import open_store

LARGEST = 64 * 1024 * 1024
"""Bytes; what is larger is history, and 'job import' brings it in."""
NO_NUMBER = "without a number"
"""Stands for the number that a job is given when it is recorded."""


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Record one job or a list: all of it or, where anything is wrong, nothing."""
    read = read_json(given.file)
    rows = read if isinstance(read, list) else [read]
    with open_store(bench) as store:
        jobs = [_job(bench, row, given.file, place) for place, row in enumerate(rows, 1)]
        done = store.add_all(job if number else partial(_renumbered, job) for job, number in jobs)
        earlier = {job.number: likely_returns(store, job, bench.shop.warranty_days) for job in done}
    if given.json:
        print_json([job_to_json(job) for job in done])
        return 0
    said = TextBlock("", f"Recorded {len(done)}: job {', '.join(job.number for job in done)}.")
    likely = [block for job in done for block in returns_block(job, earlier[job.number])]
    bench.show([said, *likely])
    return 0


def read_json(file: str) -> Any:
    """Read JSON from a file, or from the input for `-`; JobError."""
    try:
        if file == "-":
            text = sys.stdin.read(LARGEST + 1)
        else:
            with Path(file).open(encoding="utf-8-sig") as opened:
                text = opened.read(LARGEST + 1)
        if len(text) > LARGEST:
            raise JobError(f"{file} is larger than 64 MiB", hint="see 'fixbook job import --help'")
        return json.loads(text)
    except OSError as error:
        gone = isinstance(error, FileNotFoundError)
        why = "is not there" if gone else f"cannot be read: {error.strerror or error}"
        raise JobError(
            f"{file} {why}", input="--from", read=file, hint="name a file, or - for the input"
        ) from error
    except (ValueError, RecursionError) as error:
        why = " ".join(str(error).split())
        raise JobError(
            f"{file} cannot be read as JSON: {why}",
            input="--from",
            read=file,
            hint='write {"unit": "power-amplifier", "complaint": "hums"}, or a list of these',
        ) from error


def _job(bench: Bench, row: object, file: str, place: int) -> tuple[Job, str]:
    """Give the job of a row, and its number where one is written."""
    if not isinstance(row, dict):
        raise JobError(f"{file}, job {place}: {row!r:.40} is no object", input="--from", read=file)
    try:
        return _recorded(bench, read_fields(row, day_first=bench.shop.day_first))
    except FixbookError as error:
        raise JobError(
            f"{file}, job {place}: {error.why}",
            input=error.input,
            read=error.read,
            hint=error.hint,
            choices=error.choices,
        ) from error


def _recorded(bench: Bench, values: dict[str, Any]) -> tuple[Job, str]:
    number = str(values.get("number", "")).strip()
    job = checked(bench, make_job({**values, "number": number or NO_NUMBER}))
    fields = " and ".join(f'"{one}"' for one in missing(job))
    refuse_unproved(bench, None, job, f"write {fields} into it")
    return job, number


def _renumbered(job: Job, number: str) -> Job:
    from dataclasses import replace

    return replace(job, number=number)
