"""`fixbook job hand-over N`: the note that goes out with the unit."""

from __future__ import annotations

import argparse
from dataclasses import replace
from datetime import date, timedelta

from fixbook.api import Bench, Block, TextBlock

from .checking import TESTED, runs_from_mains
from .job import HANDED_OVER, Job
from .job_json import job_to_json
from .proving import refuse_unproved
from .shown import day, panel, parts_table, print_json, readings_table, title
from .store import open_store

ENDINGS = {
    "fixed": "Repaired.",
    "improved": "Improved, and not wholly repaired.",
    "not-fixed": "Not repaired.",
    "no-fault-found": "The fault did not show itself here.",
    "uneconomic": "Not worth repairing.",
    "declined": "Not repaired, as agreed.",
    "": "The work has not ended.",
}


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Show the hand-over note; JobError where a mains unit would go out with it unproved."""
    with open_store(bench) as store:
        job = store.get(given.number)
    refuse_unproved(bench, job, replace(job, stage=HANDED_OVER))
    if given.json:
        until = warranty_until(job, bench.shop.warranty_days)
        print_json({**job_to_json(job), "warranty_until": day(until) or None})
    else:
        bench.show(blocks(bench, job))
    return 0


def blocks(bench: Bench, job: Job) -> list[Block]:
    """Lay the note out."""
    shop = bench.shop.name
    head = panel(
        f"JOB {job.number}" + (f", {shop}" if shop else ""),
        [
            ("unit", job.unit.replace("-", " ")),
            ("model", job.model),
            ("serial tag", job.serial),
            ("complaint", job.complaint),
            ("handed over", day(job.handed_over or date.today())),
            ("give back", job.accessories),
        ],
    )
    found: list[Block] = [head, TextBlock("How it ended", ENDINGS[job.outcome])]
    if job.faults:
        text = "\n\n".join(title(bench, one) for one in job.faults)
        found.append(TextBlock("What was found", text))
    if job.work:
        found.append(TextBlock("What was done", job.work))
    found += [*parts_table(job.parts), *readings_table(job), *_proof(bench, job)]
    until = warranty_until(job, bench.shop.warranty_days)
    if until:
        text = f"Should the same complaint come back by {until}, bring it in with this note."
        found.append(TextBlock("Warranty", text))
    return found


def warranty_until(job: Job, days: int) -> date | None:
    """Give the last warranty day; None where nothing was repaired."""
    if job.outcome not in ("fixed", "improved"):
        return None
    return (job.handed_over or date.today()) + timedelta(days=days)


def _proof(bench: Bench, job: Job) -> list[Block]:
    soak = f"It ran for {job.soak_minutes} minutes. " if job.soak_minutes else ""
    if job.safety_test:
        return [TextBlock("Proved safe", f"{soak}{job.safety_test}")]
    if job.outcome in TESTED and runs_from_mains(bench, job):
        text = (
            f"{soak}NO SAFETY TEST IS RECORDED. Do not hand this unit over before it was tested "
            "by the code that holds where you are."
        )
        return [TextBlock("Not proved safe", text, weight="bad")]
    return [TextBlock("", soak)] if soak else []
