"""`fixbook job show N`: a job whole, with what the book knows of it."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence

from fixbook.api import Bench, Block, TableBlock, TextBlock

from .job import Job
from .job_json import job_to_json
from .note_links import jobs_named_in
from .returns import likely_returns, returns_block
from .shown import (
    day,
    jobs_table,
    panel,
    parts_table,
    print_json,
    readings_table,
    shortened,
    title,
)
from .store import Store, open_store
from .wanted import Wanted

HOW = {"hand": "by hand", "note": "by a note", "body": "by the write-up's own text"}


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Show a job, its links to write-ups and to other jobs."""
    with open_store(bench) as store:
        job = store.get(given.number)
        links = store.links(job.number)
        others = _others(store, job)
        earlier = likely_returns(store, job, bench.shop.warranty_days)
    if given.json:
        print_json(
            {
                **job_to_json(job),
                "links": [{"entry": one, "how": how} for one, how in links.items()],
                "returned_as": [one.number for one in others["It came back as"]],
                "names_jobs": [one.number for one in others["Jobs it names"]],
                "likely_return_of": [one.number for one in earlier if not job.return_of],
            }
        )
        return 0
    bench.show(blocks(bench, job, links, others, earlier))
    return 0


def blocks(
    bench: Bench,
    job: Job,
    links: Mapping[str, str],
    others: Mapping[str, Sequence[Job]],
    earlier: Sequence[Job],
) -> list[Block]:
    """Lay a job out."""
    head = panel(
        f"Job {job.number}",
        [
            ("stage", job.stage.replace("-", " ")),
            ("outcome", job.outcome),
            ("booked in", day(job.booked_in)),
            ("handed over", day(job.handed_over)),
            ("unit", job.unit),
            ("model", job.model),
            ("serial tag", job.serial),
            ("accessories", job.accessories),
            ("condition", job.condition),
            ("complaint", job.complaint),
            ("agreed limit", job.limit),
            ("shelf", job.shelf),
            ("minutes at the bench", job.minutes),
            ("safety test", job.safety_test),
            ("soak", f"{job.soak_minutes} min" if job.soak_minutes is not None else ""),
            ("return of job", job.return_of),
            ("brought in from", job.source),
        ],
    )
    found: list[Block] = [head, *returns_block(job, earlier)]
    if job.signs:
        found.append(TableBlock("Signs", ("sign", "answer"), tuple(sorted(job.signs.items()))))
    found += _links(bench, job, links)
    if job.work:
        found.append(TextBlock("Work", job.work))
    found += [*parts_table(job.parts), *readings_table(job)]
    if job.notes:
        rows = tuple((note.when.replace("T", " "), note.text) for note in job.notes)
        found.append(TableBlock("Notes", ("when", "note"), rows))
    return found + [jobs_table(jobs, heading) for heading, jobs in others.items() if jobs]


def _links(bench: Bench, job: Job, links: Mapping[str, str]) -> list[Block]:
    if not links:
        text = f"None yet; 'fixbook job suggest {job.number}' offers some, with reasons."
        return [TextBlock("Write-ups", text)]
    rows = tuple(
        (entry, shortened(title(bench, entry)), HOW.get(how, how)) for entry, how in links.items()
    )
    return [TableBlock("Write-ups", ("id", "title", "linked"), rows)]


def _others(store: Store, job: Job) -> dict[str, list[Job]]:
    earlier = [job.return_of] if job.return_of else []
    return {
        "It is a return of": list(store.many(earlier).values()),
        "It came back as": store.find(Wanted(return_of=job.number)),
        "Jobs it names": list(store.many(jobs_named_in(job)).values()),
    }
