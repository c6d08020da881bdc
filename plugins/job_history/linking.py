"""`fixbook job link N ENTRY…`: which faults a job had."""

from __future__ import annotations

import argparse

from fixbook.api import Bench

from .job_json import job_to_json
from .shown import print_json, say, title
from .store import open_store


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Link a job to write-ups; an id that nobody knows links nothing."""
    entries = list(dict.fromkeys(bench.entry(one).id for one in given.entries))
    with open_store(bench) as store:
        job = store.link(given.number, entries)
    if given.json:
        print_json(job_to_json(job))
    else:
        named = "; ".join(f"{one}, {title(bench, one)}" for one in job.faults)
        say(bench, f"Job {job.number} is linked to {named}.")
    return 0
