"""`fixbook job stage N STAGE`: where a job stands."""

from __future__ import annotations

import argparse
from dataclasses import replace
from datetime import date

from fixbook.api import DOUBT, Bench, Block, TextBlock, did_you_mean

from .errors import JobError
from .job import HANDED_OVER, STAGES, Job
from .job_json import job_to_json
from .proving import refuse_unproved
from .shown import print_json
from .store import open_store


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Move a job to a stage; handed over, it takes today as the day unless one is recorded.

    JobError where a mains unit would go back without its safety test and soak.
    """
    stage = stage_named(given.stage)

    def moved(job: Job) -> Job:
        out = (job.handed_over or date.today()) if stage == HANDED_OVER else None
        new = replace(job, stage=stage, handed_over=out)
        refuse_unproved(bench, job, new)
        return new

    with open_store(bench) as store:
        job = store.edit(given.number, moved)
    if given.json:
        print_json(job_to_json(job))
        return 0
    blocks: list[Block] = [TextBlock("", f"Job {job.number} is {stage.replace('-', ' ')}.")]
    if stage == HANDED_OVER and not job.outcome:
        why = f"It has no outcome: fixbook job close {job.number} --outcome WORD"
        blocks.append(TextBlock("", why, weight=DOUBT))
    bench.show(blocks)
    return 0


def stage_named(typed: str) -> str:
    """Give a stage by its name or any unique beginning of it; JobError with close matches."""
    wanted = "-".join(typed.lower().replace("-", " ").split())
    found = [one for one in STAGES if one == wanted] or [
        one for one in STAGES if wanted and one.startswith(wanted)
    ]
    if len(found) == 1:
        return found[0]
    near = did_you_mean(wanted, STAGES, otherwise=f"one of {', '.join(STAGES)}")
    why = f"{typed!r} could be {' or '.join(found)}" if found else f"no stage {typed!r}; {near}"
    raise JobError(why, input="STAGE", read=typed, choices=found or STAGES)
