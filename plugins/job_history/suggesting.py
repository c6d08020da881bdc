"""`fixbook job suggest`: write-ups that may fit a job, each with its score and reasons.

Nothing is linked without a yes to that very link.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from fixbook.api import Bench, Block, Input, TableBlock, TextBlock

from .errors import JobError
from .job import Job
from .listing import whole
from .shown import print_json, shortened
from .store import open_store
from .suggestion import Material, Suggestion
from .wanted import Wanted


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Suggest links for one job or all without any; 1 where nothing fits."""
    if bool(given.number) == bool(given.all):
        raise JobError("name a job, or say --all", input="N", hint="'fixbook job list' shows them")
    limit = whole("--limit", given.limit)
    with open_store(bench) as store:
        jobs = store.find(Wanted(linked=False)) if given.all else [store.get(given.number)]
    material = Material(bench.entries(), bench.vocabulary)
    found: list[Suggestion] = []
    for place, job in enumerate(jobs):
        if place % 100 == 0:
            bench.progress("looking at jobs", place, len(jobs))
        found += material.suggest(job)[: 1 if given.all else limit]
    if given.json:
        print_json([one.to_json() for one in found])
    elif given.ask:
        _ask(bench, jobs, found)
    else:
        bench.show(_blocks(found, jobs))
    return 0 if found else 1


def _blocks(found: Sequence[Suggestion], jobs: Sequence[Job]) -> list[Block]:
    if not found:
        nothing = "No write-up fits well enough." if jobs else "Every job is linked."
        return [TextBlock("", nothing)]
    rows = tuple(
        (one.job, one.entry, f"{one.score:.2f}", shortened(one.title, 44), "; ".join(one.reasons))
        for one in found
    )
    hint = "Link what is right: fixbook job link N ENTRY; or be asked one by one: --ask"
    return [TableBlock("Suggestions", ("job", "write-up", "score", "title", "why"), rows, hint)]


def _ask(bench: Bench, jobs: Sequence[Job], found: Sequence[Suggestion]) -> None:
    by_number = {job.number: job for job in jobs}
    linked = 0
    with open_store(bench) as store:
        for one in found:
            job = by_number[one.job]
            lines = [
                f"Job {job.number}: {job.model} {shortened(job.complaint, 200)}".rstrip(),
                f"{one.entry}: {one.title}",
                f"score {one.score:.2f}: {'; '.join(one.reasons)}",
            ]
            bench.show([TextBlock("", "\n\n".join(lines))])
            link = Input("link", "choice", required=False, default="no", choices=("yes", "no"))
            if bench.ask([link]).get("link", "no").strip().lower() == "yes":
                store.link(one.job, [one.entry])
                store.database.close()  # no connection stays open while one thinks about the next
                linked += 1
    bench.show([TextBlock("", f"{linked} of {len(found)} linked.")])
