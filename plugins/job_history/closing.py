"""`fixbook job close N`: how a job ended, and for mains units that it was proved safe."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from typing import Any

from fixbook.api import Bench, CalculationError, CautionBlock, Input, TextBlock, did_you_mean

from .checking import TESTED, runs_from_mains
from .errors import JobError
from .job import HANDED_OVER, OUTCOMES, Job, PartUsed
from .job_json import job_to_json, read_date, read_fields
from .shown import print_json
from .store import open_store

SAFETY = (
    "Before a mains unit goes back: earth continuity, insulation and leakage, by the code that "
    "holds where you are. Local codes and licensed practice come first; their limits count, "
    "and none is suggested here."
)


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Close a job; JobError where a mains unit goes back without its safety test and soak."""
    found = [bench.entry(one).id for one in given.fault or ()]
    with open_store(bench) as store:
        job = store.get(given.number)
        values = _asked(bench, job, _typed(given))
        mains = runs_from_mains(bench, replace(job, faults=(*job.faults, *found)))
        needed = mains and values.get("outcome", job.outcome) in TESTED
        values = _proved_safe(bench, job, values, needed=needed)

        def closed(now: Job) -> Job:
            parts = (*now.parts, *values.get("parts", ()))
            faults = tuple(dict.fromkeys((*now.faults, *found)))
            return _ended(replace(now, **{**values, "parts": parts, "faults": faults}))

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


def _typed(given: argparse.Namespace) -> dict[str, Any]:
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
        values["handed_over"] = read_date("--handed-over", given.handed_over)
    if given.part:
        values["parts"] = tuple(PartUsed(what) for what in given.part)
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
    tested = values.get("safety_test") or job.safety_test
    soaked = values.get("soak_minutes", job.soak_minutes)
    if not needed or (tested and soaked is not None):
        return values
    form = [
        Input("safety_test", "text", help="what was tested, and how it read"),
        Input("soak_minutes", "text", help="minutes it ran before it was believed"),
    ]
    missing = [one for one, had in zip(form, (tested, soaked is not None), strict=True) if not had]
    if sys.stdin is not None and sys.stdin.isatty():
        bench.show([CautionBlock("mains", SAFETY)])
    try:
        said = bench.ask(missing)
    except CalculationError as error:
        options = {"safety_test": "--safety-test TEXT", "soak_minutes": "--soak MINUTES"}
        raise JobError(
            f"job {job.number} is a mains unit and goes back without its "
            f"{' and '.join(one.name.replace('_', ' ') for one in missing)}. {SAFETY}",
            input=missing[0].name,
            hint=f"add {' '.join(options[one.name] for one in missing)}; where it was not done, "
            "say so and why",
        ) from error
    return {**values, **read_fields(said)}
