"""`fixbook job list`: past jobs, or with --open today's bench."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from dataclasses import replace

from fixbook.api import Bench, TextBlock, close_matches

from .checking import unit_id
from .closing import outcome_named
from .errors import JobError
from .job import STAGES, model_key
from .job_json import job_to_json, read_day
from .shown import jobs_table, print_json
from .staging import stage_named
from .store import open_store
from .wanted import Wanted


def run(bench: Bench, given: argparse.Namespace) -> int:
    """List the jobs that are asked for; 1 where there is none."""
    asked = replace(wanted(bench, given), limit=whole("--limit", given.limit))
    with open_store(bench) as store:
        jobs = store.find(asked)
        models = store.models() if asked.model and not jobs else []
    if given.open:
        jobs.sort(key=lambda job: STAGES.index(job.stage))
    if given.json:
        print_json([job_to_json(job) for job in jobs])
    elif jobs:
        bench.show([jobs_table(jobs)])
    else:
        nothing = "The bench is clear." if given.open else "No job fits."
        bench.show([TextBlock("", f"{nothing} {_no_such_model(asked.model, models)}".rstrip())])
    return 0 if jobs else 1


def _no_such_model(model: str, known: Sequence[str]) -> str:
    """Say that no past job has a model, and which ones are near; empty where one has."""
    names: dict[str, str] = {}
    for one in known:
        names.setdefault(model_key(one), one)
    if not model or model_key(model) in names:
        return ""
    near = [names[key] for key in close_matches(model_key(model), names)]
    meant = f"did you mean {' or '.join(near)}?" if near else "'fixbook job list' shows them all"
    return f"No past job has the model {model!r}; {meant}"


def wanted(bench: Bench, given: argparse.Namespace) -> Wanted:
    """Read the options that say which jobs are meant; JobError."""
    units: tuple[str, ...] = ()
    if given.unit:
        units = bench.vocabulary.unit_and_contents(unit_id(bench, given.unit))
    faults: tuple[str, ...] = ()
    if given.fault:
        entry = bench.entry(given.fault)
        faults = (entry.id, *entry.aliases)
    return Wanted(
        open=True if given.open else None,
        units=units,
        model=given.model or "",
        serial=given.serial or "",
        stage=stage_named(given.stage) if given.stage else "",
        outcome=outcome_named(given.outcome) if given.outcome else "",
        faults=faults,
        linked=False if given.unlinked else None,
        since=read_day("--since", given.since, day_first=bench.shop.day_first)
        if given.since
        else None,
    )


def whole(name: str, typed: str) -> int:
    """Read a count of 1 to 100,000; JobError."""
    if not re.fullmatch("[0-9]{1,6}", typed) or not 0 < int(typed) <= 100_000:
        raise JobError(
            f"{name} is a number from 1 to 100000, not {typed!r}", input=name, read=typed
        )
    return int(typed)
