"""`fixbook job add --from FILE`: recording jobs that are written as JSON."""

from __future__ import annotations

import argparse
import json
import sys
from functools import partial
from pathlib import Path
from typing import Any

from fixbook.api import Bench

from .checking import checked
from .errors import JobError
from .job import Job
from .job_json import job_to_json, make_job, read_fields
from .returns import likely_returns, returns_block
from .shown import print_json, say
from .store import open_store

LARGEST = 64 * 1024 * 1024
"""Bytes; what is larger is history, and 'job import' brings it in."""


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Record one job or a list; all are read before any is recorded."""
    read = read_json(given.file)
    rows = read if isinstance(read, list) else [read]
    values = [_fields(row, place, given.file) for place, row in enumerate(rows, 1)]
    with open_store(bench) as store:
        jobs = [_recorded(bench, one) for one in values]
        done: list[Job] = []
        for job, number in jobs:
            if number:
                store.add(job)
            else:
                job = store.add_next(partial(_renumbered, job))
            done.append(job)
        earlier = {job.number: likely_returns(store, job, bench.shop.warranty_days) for job in done}
    if given.json:
        print_json([job_to_json(job) for job in done])
        return 0
    say(bench, f"Recorded {len(done)}: job {', '.join(job.number for job in done)}.")
    bench.show([block for job in done for block in returns_block(job, earlier[job.number])])
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
    except (OSError, ValueError, RecursionError) as error:
        why = getattr(error, "strerror", None) or " ".join(str(error).split())
        raise JobError(
            f"{file} cannot be read as JSON: {why}",
            input="--from",
            read=file,
            hint='write {"unit": "power-amplifier", "complaint": "hums"}, or a list of these',
        ) from error


def _fields(row: object, place: int, file: str) -> dict[str, Any]:
    if not isinstance(row, dict):
        raise JobError(f"{file}, job {place}: {row!r:.40} is no object", input="--from", read=file)
    try:
        return read_fields(row)
    except JobError as error:
        raise JobError(
            f"{file}, job {place}: {error.why}",
            input=error.input,
            read=error.read,
            hint=error.hint,
            choices=error.choices,
        ) from error


def _recorded(bench: Bench, values: dict[str, Any]) -> tuple[Job, str]:
    number = str(values.get("number", "")).strip()
    return checked(bench, make_job({**values, "number": number or "new"})), number


def _renumbered(job: Job, number: str) -> Job:
    from dataclasses import replace

    return replace(job, number=number)
