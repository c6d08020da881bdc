"""`fixbook job estimate`: minutes and parts for a quote, as past jobs of the kind took them.

A quote is about the next job. By the order of the times alone, whatever their distribution, the
next of n + 1 like jobs takes at most the k-th of n times with probability k/(n + 1).
"""

from __future__ import annotations

import argparse
import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass

from fixbook.api import Bench, Block, Entry, PanelBlock, TableBlock, TextBlock

from .checking import unit_id
from .errors import JobError
from .job import OUTCOMES, Job, model_key
from .shown import print_json
from .statistics import FEWEST, median_interval, quantile
from .store import Store, open_store
from .tables import tables
from .wanted import Wanted

TRIED = ("fixed", "improved", "not-fixed")
"""Outcomes of jobs in which the work was done."""
SURE = 0.8
"""How surely the next job takes no longer than what is to be quoted."""
NEWEST = 2000
"""So many jobs are looked at, the newest first."""
MOST_FAULTS, MOST_PARTS = 10, 15


@dataclass(frozen=True, slots=True)
class Minutes:
    """What the jobs took. None where there are too few to say."""

    jobs: int
    median: float
    low: float | None
    """The interval that holds the median with 95 %, like `high`."""
    high: float | None
    quote: int | None
    """The next job takes at most so long with `SURE`."""
    lowest: int
    highest: int


@dataclass(frozen=True, slots=True)
class PartTaken:
    """A part that jobs took."""

    what: str
    jobs: int
    of: int
    """Jobs that say which parts they took."""
    fewest: int
    """Pieces, in the jobs that took it; like `most`."""
    most: int


@dataclass(frozen=True, slots=True)
class Estimate:
    """What past jobs say to a quote."""

    jobs: int
    """All that ended."""
    outcomes: Mapping[str, int]
    returned: int
    """Units of these jobs that came back."""
    minutes: Minutes | None
    parts: tuple[PartTaken, ...]
    faults: tuple[tuple[str, int, float | None], ...]
    """Write-up, jobs, median minutes; the most frequent first."""


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Show the estimate; 1 where no job ended."""
    if bool(given.entry) == bool(given.unit):
        raise JobError(
            "an estimate is for a write-up or for a unit" + (", not both" if given.entry else ""),
            hint="fixbook job estimate ENTRY, or fixbook job estimate --unit UNIT",
            input="ENTRY",
        )
    entry = bench.entry(given.entry) if given.entry else None
    faults = (entry.id, *entry.aliases) if entry else ()
    units: tuple[str, ...] = ()
    if given.unit:
        units = tuple(bench.vocabulary.unit_and_contents(unit_id(bench, given.unit)))
    model = model_key(given.model or "")
    with open_store(bench) as store:
        there = store.find(Wanted(faults=faults, units=units, limit=NEWEST))
        jobs = [job for job in there if job.outcome and model in model_key(job.model)]
        back = _returned(store, [job.number for job in jobs])
    found = estimate(jobs, back)
    if given.json:
        head = {"entry": entry and entry.id, "unit": given.unit, "model": given.model}
        stated = {"stated_minutes": entry and entry.minutes, "quote_is_enough_with": SURE}
        print_json({**head, **stated, **asdict(found)})
    else:
        bench.show(told(found, entry))
    return 0 if jobs else 1


def _returned(store: Store, numbers: Sequence[str]) -> int:
    """Count the jobs that another one is a return of."""
    from sqlalchemy import select

    earlier = tables().job.c.return_of
    with store.database.reading() as connection:
        named = connection.execute(select(earlier).where(earlier != "").distinct()).scalars()
        return len(set(named) & set(numbers))


def estimate(jobs: Sequence[Job], returned: int) -> Estimate:
    """Sum up jobs that ended."""
    tried = [job for job in jobs if job.outcome in TRIED]
    ends = Counter(job.outcome for job in jobs)
    return Estimate(
        jobs=len(jobs),
        outcomes={name: ends[name] for name in OUTCOMES if ends[name]},
        returned=returned,
        minutes=_minutes([job.minutes for job in tried if job.minutes is not None]),
        parts=_parts(tried),
        faults=_faults(tried),
    )


def _minutes(taken: Sequence[int]) -> Minutes | None:
    if not taken:
        return None
    ordered = sorted(taken)
    middle = median_interval(ordered)
    rank = math.ceil(SURE * (len(ordered) + 1) - 1e-9)
    quote = ordered[rank - 1] if rank <= len(ordered) else None
    return Minutes(
        len(ordered), middle.median, middle.low, middle.high, quote, ordered[0], ordered[-1]
    )


def _parts(jobs: Sequence[Job]) -> tuple[PartTaken, ...]:
    counts: dict[str, list[int]] = defaultdict(list)
    names: dict[str, str] = {}
    saying = [job for job in jobs if job.parts]
    for job in saying:
        pieces: Counter[str] = Counter()
        for part in job.parts:
            name = " ".join(one for one in (part.what, part.value) if one)
            names.setdefault(model_key(name), name)
            pieces[model_key(name)] += part.count
        for key, count in pieces.items():
            counts[key].append(count)
    taken = [
        PartTaken(names[key], len(some), len(saying), min(some), max(some))
        for key, some in counts.items()
    ]
    return tuple(sorted(taken, key=lambda one: (-one.jobs, one.what))[:MOST_PARTS])


def _faults(jobs: Sequence[Job]) -> tuple[tuple[str, int, float | None], ...]:
    of: dict[str, list[Job]] = defaultdict(list)
    for job in jobs:
        for fault in job.faults:
            of[fault].append(job)
    rows = []
    for fault, some in of.items():
        taken = [job.minutes for job in some if job.minutes is not None]
        rows.append((fault, len(some), quantile(taken, 0.5) if taken else None))
    return tuple(sorted(rows, key=lambda one: (-one[1], one[0]))[:MOST_FAULTS])


def told(found: Estimate, entry: Entry | None) -> list[Block]:
    """Say an estimate in words."""
    if not found.jobs:
        stated = f" The write-up says {entry.minutes} min." if entry and entry.minutes else ""
        return [TextBlock("", f"No job of this kind ended here yet.{stated}")]
    ends = ", ".join(f"{name} {count}" for name, count in found.outcomes.items())
    back = f"; {found.returned} came back" if found.returned else ""
    values = {"jobs that ended": f"{found.jobs} ({ends}{back})", **_times(found.minutes)}
    if entry and entry.minutes:
        values["the write-up says"] = f"{entry.minutes} min"
    blocks: list[Block] = [PanelBlock("Estimate", values)]
    if found.parts:
        rows = tuple(
            (one.what, f"{one.jobs} of {one.of}", _pieces(one.fewest, one.most))
            for one in found.parts
        )
        note = "Of the jobs that say which parts they took."
        blocks.append(TableBlock("Parts", ("part", "jobs", "pieces"), rows, note))
    if entry is None and found.faults:
        faults = tuple(
            (fault, str(count), "" if middle is None else f"{middle:.0f} min")
            for fault, count, middle in found.faults
        )
        blocks.append(TableBlock("Faults", ("fault", "jobs", "in the middle"), faults))
    return blocks


def _times(minutes: Minutes | None) -> dict[str, str]:
    if minutes is None:
        return {"minutes": "no job says how long it took"}
    spread = f"{minutes.lowest} to {minutes.highest} min, {minutes.jobs} jobs"
    if minutes.jobs < FEWEST or minutes.quote is None:
        return {"minutes": f"{spread}: too few to say more"}
    middle = f"{minutes.median:.0f} min"
    if minutes.low is not None and minutes.high is not None:
        middle += f" ({minutes.low:.0f} to {minutes.high:.0f} min at 95 % confidence)"
    return {
        "in the middle": middle,
        "to quote": f"{minutes.quote} min: four of five next jobs take no longer",
        "shortest and longest": spread,
    }


def _pieces(fewest: int, most: int) -> str:
    return str(fewest) if fewest == most else f"{fewest} to {most}"
