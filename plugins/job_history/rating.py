"""`fixbook job rates`: how often a fault was seen, its fix held, and how long it took."""

from __future__ import annotations

import argparse
from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date

from fixbook.api import Bench, Block, TableBlock, TextBlock

from .checking import unit_id
from .counting import seen_jobs
from .digest import Seen, digest
from .job import model_key
from .rates import Rates, minutes_words, rate_words, rates
from .sheet_block import bars
from .shown import print_json
from .store import Store, open_store

COLUMNS = (
    "fault", "seen", "fixed", "returned", "improved", "not fixed", "in warranty",
    "fixes that held", "minutes",
)  # fmt: skip
NOTE = (
    "Fixed counts repairs whose warranty time is over or that came back; those still inside it "
    "stand apart and count for nothing yet. A unit taken elsewhere is not seen here."
)


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Show the figures of one fault or all; 1 where no job had it."""
    with open_store(bench) as store:
        jobs = _jobs(bench, store, given)
    today, days = date.today(), bench.shop.warranty_days
    if given.by:
        found = [
            (value, rates(fault, digest(some, today=today, warranty_days=days), today))
            for fault, several in jobs.items()
            for value, some in apart(several, given.by)
        ]
        if given.json:
            print_json([{**one.to_json(), given.by: value or None} for value, one in found])
        else:
            bench.show(_table(found, given.by))
        return 0 if found else 1
    told = [
        rates(fault, digest(several, today=today, warranty_days=days), today)
        for fault, several in jobs.items()
    ]
    told.sort(key=lambda one: (-one.seen, one.fault))
    if given.json:
        print_json(told[0].to_json() if given.entry else [one.to_json() for one in told])
    else:
        bench.show(_table([("", one) for one in told if one.seen], ""))
    return 0 if any(one.seen for one in told) else 1


def apart(jobs: Sequence[Seen], by: str) -> list[tuple[str, list[Seen]]]:
    """Put jobs apart by model or by the year they were booked in; the most frequent first."""
    groups: dict[str, list[Seen]] = defaultdict(list)
    names: dict[str, str] = {}
    for job in jobs:
        value = job.model if by == "model" else str(job.booked_in.year if job.booked_in else "")
        key = model_key(value)
        groups[key].append(job)
        names.setdefault(key, value)
    ordered = sorted(groups, reverse=True) if by == "year" else sorted(groups)
    if by == "model":
        ordered.sort(key=lambda key: (not key, -len(groups[key])))
    return [(names[key], groups[key]) for key in ordered]


def _jobs(bench: Bench, store: Store, given: argparse.Namespace) -> dict[str, list[Seen]]:
    with store.database.reading() as connection:
        if given.entry:
            entry = bench.entry(given.entry)
            found = seen_jobs(connection, {entry.id, *entry.aliases})
            return {entry.id: [job for jobs in found.values() for job in jobs]}
        found = seen_jobs(connection, None)
    if not given.unit:
        return found
    inside = bench.vocabulary.unit_and_contents(unit_id(bench, given.unit))
    own = {entry.id for entry in bench.entries() if entry.unit in inside}
    return {fault: jobs for fault, jobs in found.items() if fault in own}


def _table(found: Iterable[tuple[str, Rates]], by: str) -> list[Block]:
    rows = []
    shown = list(found)
    for value, one in shown:
        counts = (
            one.seen, one.fixed, one.returned, one.improved, one.not_fixed, one.in_warranty,
        )  # fmt: skip
        cells = (one.fault, *(str(count) for count in counts), rate_words(one.fix_rate))
        rows.append((*((value or "unknown",) if by else ()), *cells, minutes_words(one)))
    if not rows:
        return [TextBlock("", "No job is linked to it.")]
    table = TableBlock("", ((by,) if by else ()) + COLUMNS, tuple(rows), NOTE)
    return [table, *bars((value or one.fault, one) for value, one in shown)]
