"""`fixbook job rates`: how often a fault was seen, its fix held, and how long it took."""

from __future__ import annotations

import argparse
from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from fixbook.api import Bench, Block, PanelBlock, TableBlock, TextBlock

from .checking import unit_id
from .counting import seen_jobs
from .digest import Seen, digest
from .job import model_key
from .rates import Rates, minutes_words, rate_words, rates
from .sheet_block import bars
from .shown import print_json
from .statistics import FEWEST
from .store import Store, open_store

COLUMNS = ("seen", "held", "returns", "warranty", "minutes")
LIST_NOTE = (
    f"Held: fixed and not come back, of all that were fixed, improved or not fixed; from {FEWEST} "
    "jobs on with what it is likely to be (95 % confidence). Warranty: fixed, and its time still "
    "running; these count for nothing yet. Minutes: in the middle, and for four of five. A unit "
    "taken elsewhere is not seen here. 'fixbook job rates ENTRY' tells all of one fault."
)
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
            bench.show(_apart(found, given.by))
        return 0 if found else 1
    told = [
        rates(fault, digest(several, today=today, warranty_days=days), today)
        for fault, several in jobs.items()
    ]
    told.sort(key=lambda one: (-one.seen, one.fault))
    if given.json:
        print_json(told[0].to_json() if given.entry else [one.to_json() for one in told])
    else:
        seen = [one for one in told if one.seen]
        bench.show(_whole(seen[0]) if given.entry and seen else _table(seen))
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


def _whole(one: Rates) -> list[Block]:
    """Tell all of one fault."""
    values = {
        "fault": one.fault,
        "seen": str(one.seen),
        "fixed": str(one.fixed),
        "returned": str(one.returned),
        "improved": str(one.improved),
        "not fixed": str(one.not_fixed),
        "in warranty": str(one.in_warranty),
        "fixes that held": rate_words(one.fix_rate),
        "minutes": minutes_words(one),
    }
    filled = {name: text for name, text in values.items() if text}
    return [PanelBlock("", filled, NOTE), *bars([(one.fault, one)])]


def _table(seen: Sequence[Rates]) -> list[Block]:
    """List faults, each on a line that a terminal has room for."""
    if not seen:
        return [TextBlock("", "No job is linked to it.")]
    rows = tuple((one.fault, *_figures(one)) for one in seen)
    table = TableBlock("", ("fault", *COLUMNS), rows, LIST_NOTE)
    return [table, *bars((one.fault, one) for one in seen)]


def _apart(found: Sequence[tuple[str, Rates]], by: str) -> list[Block]:
    """List the models or years of each fault under its name."""
    if not found:
        return [TextBlock("", "No job is linked to it.")]
    blocks: list[Block] = []
    for fault in dict.fromkeys(one.fault for _, one in found):
        its = [(value or "unknown", one) for value, one in found if one.fault == fault]
        rows = tuple((value, *_figures(one)) for value, one in its)
        blocks += [TableBlock(fault, (by, *COLUMNS), rows, cut=(by,)), *bars(its)]
    return [*blocks, TextBlock("", LIST_NOTE)]


def _figures(one: Rates) -> tuple[str, ...]:
    tried = one.fixed + one.improved + one.not_fixed
    held = f"{one.fixed - one.returned} of {tried}" if tried else ""
    if one.fix_rate is not None:
        held += f" ({100 * one.fix_rate.low:.0f}\u2013{100 * one.fix_rate.high:.0f} %)"
    timed = one.median is not None and one.p80 is not None
    minutes = f"{one.median:.0f}, {one.p80:.0f}" if timed else ""
    return (str(one.seen), held, str(one.returned), str(one.in_warranty), minutes)
