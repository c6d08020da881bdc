"""`fixbook job close N`: how a job ended, and for mains units that it was proved safe."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from typing import Any

from fixbook.api import Bench, CalculationError, CautionBlock, Input, TextBlock, did_you_mean

from .checking import TESTED, runs_from_mains
from .errors import JobError
from .job import HANDED_OVER, OUTCOMES, Job
from .job_json import job_to_json, read_day, read_fields
from .parts import read_part
from .proving import PROOFS, SAFETY, missing, options, refuse_unproved, unproved
from .shown import print_json
from .store import open_store


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Close a job; JobError where a mains unit goes back without its safety test and soak."""
    found = [bench.entry(one).id for one in given.fault or ()]
    with open_store(bench) as store:
        job = store.get(given.number)
        values = _asked(bench, job, _typed(given, day_first=bench.shop.day_first))
        mains = runs_from_mains(bench, replace(job, faults=(*job.faults, *found)))
        needed = mains and values.get("outcome", job.outcome) in TESTED
        values = _proved_safe(bench, job, values, needed=needed)

        def closed(now: Job) -> Job:
            parts = (*now.parts, *values.get("parts", ()))
            faults = tuple(dict.fromkeys((*now.faults, *found)))
            new = _ended(replace(now, **{**values, "parts": parts, "faults": faults}))
            refuse_unproved(bench, now, new)
            return new

        job = store.edit(given.number, closed)
    if given.json:
        print_json(job_to_json(job))
        return 0
    rest = "" if job.faults else f" 'fixbook job suggest {job.number}' offers write-ups to link."
    bench.show([TextBlock("", f"Job {job.number} closed: {job.outcome}, {job.stage}.{rest}")])
    return 0


def outcome_named(typed: str) -> str:
    """Give an outcome by its name; JobError with close matches."""
    wanted = "-".join(typed.lower().replace("-", " ").split())
    if wanted in OUTCOMES:
        return wanted
    near = did_you_mean(wanted, OUTCOMES, otherwise=f"one of {', '.join(OUTCOMES)}")
    raise JobError(f"no outcome {typed!r}; {near}", input="--outcome", read=typed, choices=OUTCOMES)


def _ended(job: Job) -> Job:
    if not job.outcome:
        raise JobError(
            f"job {job.number} has no outcome",
            input="--outcome",
            hint=f"add --outcome WORD: {', '.join(OUTCOMES)}",
            choices=OUTCOMES,
        )
    if job.handed_over:
        return replace(job, stage=HANDED_OVER)
    return job if job.stage == HANDED_OVER else replace(job, stage="ready")


def _typed(given: argparse.Namespace, *, day_first: bool) -> dict[str, Any]:
    typed = {
        "minutes": given.minutes,
        "work": given.work,
        "safety_test": given.safety_test,
        "soak_minutes": given.soak,
    }
    values = read_fields({name: text for name, text in typed.items() if text is not None})
    if given.outcome is not None:
        values["outcome"] = outcome_named(given.outcome)
    if given.handed_over is not None:
        values["handed_over"] = read_day("--handed-over", given.handed_over, day_first=day_first)
    if given.part:
        values["parts"] = tuple(read_part(" ".join(text.split())) for text in given.part)
    return values


def _asked(bench: Bench, job: Job, values: dict[str, Any]) -> dict[str, Any]:
    """Ask for what a close cannot do without; without a terminal that is an error."""
    if values.get("outcome") or job.outcome:
        return values
    form = [
        Input("outcome", "choice", choices=OUTCOMES, help="how it ended"),
        Input("minutes", "text", required=False, help="time at the bench"),
        Input("work", "text", required=False, help="what was done"),
    ]
    said = bench.ask([one for one in form if one.name not in values])
    typed = {name: text for name, text in said.items() if name != "outcome"}
    return {**values, **read_fields(typed), "outcome": outcome_named(said.get("outcome", ""))}


def _proved_safe(bench: Bench, job: Job, values: dict[str, Any], *, needed: bool) -> dict[str, Any]:
    now = replace(job, **{one: values[one] for one in PROOFS if one in values})
    if not needed or not missing(now):
        return values
    form = [
        Input("safety_test", "text", help="what was tested, and how it read"),
        Input("soak_minutes", "text", help="minutes it ran before it was believed"),
    ]
    if sys.stdin is not None and sys.stdin.isatty():
        bench.show([CautionBlock("mains", SAFETY)])
    try:
        said = bench.ask([one for one in form if one.name in missing(now)])
    except CalculationError as error:
        raise unproved(now, f"add {options(now)}") from error
    return {**values, **read_fields(said)}
