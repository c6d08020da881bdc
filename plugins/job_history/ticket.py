"""`fixbook job ticket N`: what is printed at intake and stays with the unit."""

from __future__ import annotations

import argparse

from fixbook.api import Bench, Block, PanelBlock, TextBlock

from .job import Job
from .job_json import job_to_json
from .shown import day, print_json
from .store import open_store

BLANK = "." * 30


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Show the ticket; what is not recorded has a line to write on."""
    with open_store(bench) as store:
        job = store.get(given.number)
    if given.json:
        print_json(job_to_json(job))
    else:
        bench.show(blocks(job, bench.shop.name))
    return 0


def blocks(job: Job, shop: str) -> list[Block]:
    """Lay the ticket out."""
    values = {
        "booked in": day(job.booked_in),
        "unit": job.unit.replace("-", " "),
        "model": job.model,
        "serial tag": job.serial,
        "shelf": job.shelf,
        "came with": job.accessories,
        "condition": job.condition,
        "complaint": job.complaint,
        "agreed limit": job.limit,
        "return of job": job.return_of or "no",
    }
    heading = f"JOB {job.number}" + (f", {shop}" if shop else "")
    agreed = "Agreed, and handed in as described: " + BLANK
    return [
        PanelBlock(heading, {name: text or BLANK for name, text in values.items()}),
        TextBlock("", agreed),
    ]
