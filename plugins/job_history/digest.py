"""What past jobs say of one entry, small enough to be kept: counts, minutes, models, readings.

A digest outlives the day it was made on: fixed jobs whose warranty time was still running are
kept by its last day, so that `Rates` can be told for any later day without the database.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, NamedTuple

from .job import HANDED_OVER, model_key

LAST = 3
"""How many of the newest jobs a digest names."""
LATELY = 5
"""Years within which a job was booked in lately."""
UNKNOWN_DAY = ""
"""The end of a warranty time that has not begun: the unit is still in the shop."""


class Seen(NamedTuple):
    """What a digest takes from one job with the fault."""

    number: str
    booked_in: date | None
    handed_over: date | None
    stage: str
    outcome: str
    minutes: int | None
    model: str
    came_back: date | bool | None
    """The day a return of it was booked in; True: on a day unknown; None: it never came back."""


class Learnt(NamedTuple):
    """What a target read after a repair that held."""

    target: str
    kind: str
    model: str
    value: float


@dataclass(frozen=True, slots=True)
class Digest:
    """What past jobs say of one entry. Fields are counts of jobs where nothing else is said."""

    seen: int = 0
    """All jobs with this fault, ended or not."""
    held: int = 0
    """Fixed, not returned, warranty time over."""
    returned: int = 0
    """Fixed, and back with the same complaint within the warranty time."""
    improved: int = 0
    not_fixed: int = 0
    running: tuple[str, ...] = ()
    """Fixed and not returned so far: the last warranty day of each (ISO), or UNKNOWN_DAY."""
    minutes: tuple[int, ...] = ()
    """Time of each job that says so, rising."""
    months: tuple[tuple[str, int], ...] = ()
    """Months (2024-03) with how many jobs were booked in, the newest first."""
    models: tuple[tuple[str, int], ...] = ()
    """Models with their counts, the most frequent first."""
    last: tuple[tuple[str, str, str, str], ...] = ()
    """Number, day, model and outcome of the newest jobs, the newest first."""
    readings: tuple[Learnt, ...] = ()
    """What targets read after repairs that were fixed and did not come back."""

    def lately(self, today: date) -> int:
        """Give how many jobs were booked in within LATELY years; those without a day are not."""
        first = f"{today.year - LATELY:04d}-{today.month:02d}"
        return sum(count for month, count in self.months if month >= first)

    def to_json(self) -> dict[str, Any]:
        """Give it as plain values."""
        return {name: getattr(self, name) for name in self.__slots__}


def from_json(values: Mapping[str, Any]) -> Digest:
    """Read what `to_json` gave; KeyError or TypeError where it is something else."""
    return Digest(
        **{name: int(values[name]) for name in COUNTS},
        running=tuple(str(one) for one in values["running"]),
        minutes=tuple(int(one) for one in values["minutes"]),
        months=tuple((str(month), int(count)) for month, count in values["months"]),
        models=tuple((str(model), int(count)) for model, count in values["models"]),
        last=tuple((str(a), str(b), str(c), str(d)) for a, b, c, d in values["last"]),
        readings=tuple(
            Learnt(str(target), str(kind), str(model), float(value))
            for target, kind, model, value in values["readings"]
        ),
    )


COUNTS = ("seen", "held", "returned", "improved", "not_fixed")


def digest(
    jobs: Iterable[Seen],
    *,
    today: date,
    warranty_days: int,
    readings: Iterable[tuple[str, Learnt]] = (),
) -> Digest:
    """Sum up the jobs with one fault; `readings` come with the number of their job."""
    counts: Counter[str] = Counter()
    running: list[str] = []
    stayed: set[str] = set()
    ordered = sorted(jobs, key=lambda one: (one.booked_in or date.min, one.number), reverse=True)
    for job in ordered:
        if job.outcome != "fixed":
            counts[job.outcome] += 1
        elif is_return(job, warranty_days):
            counts["returned"] += 1
        else:
            stayed.add(job.number)
            end = warranty_end(job, warranty_days)
            if end is None or end >= today:
                running.append(end.isoformat() if end else UNKNOWN_DAY)
            else:
                counts["held"] += 1
    return Digest(
        seen=len(ordered),
        held=counts["held"],
        returned=counts["returned"],
        improved=counts["improved"],
        not_fixed=counts["not-fixed"],
        running=tuple(sorted(running)),
        minutes=tuple(sorted(job.minutes for job in ordered if job.minutes)),
        months=tuple(Counter(f"{day:%Y-%m}" for job in ordered if (day := job.booked_in)).items()),
        models=_models(job.model for job in ordered),
        last=tuple(_named(job) for job in ordered[:LAST]),
        readings=tuple(sorted(one for number, one in readings if number in stayed)),
    )


def is_return(job: Seen, warranty_days: int) -> bool:
    """Say whether a fixed job came back within the warranty time; unknown days count as within."""
    back, out = job.came_back, job.handed_over
    if isinstance(back, date) and out is not None:
        return back <= out + timedelta(days=warranty_days)
    return back is not None and back is not False


def warranty_end(job: Seen, warranty_days: int) -> date | None:
    """Give the last warranty day of a job; None while the unit is still in the shop.

    A job brought in without the day of its hand-over counts from the day it was booked in; one
    without any day is taken for old.
    """
    if job.stage != HANDED_OVER:
        return None
    out = job.handed_over or job.booked_in
    return out + timedelta(days=warranty_days) if out else date.min


def together(several: Iterable[Digest]) -> Digest:
    """Join the digests of an entry's id and its former ids, which share no job."""
    found = [one for one in several if one.seen or one.readings]
    if len(found) == 1:
        return found[0]
    models: Counter[str] = Counter()
    months: Counter[str] = Counter()
    for one in found:
        models.update(dict(one.models))
        months.update(dict(one.months))
    last = sorted((job for one in found for job in one.last), key=lambda job: job[1], reverse=True)
    return Digest(
        **{name: sum(getattr(one, name) for one in found) for name in COUNTS},
        running=tuple(sorted(end for one in found for end in one.running)),
        minutes=tuple(sorted(each for one in found for each in one.minutes)),
        months=tuple(sorted(months.items(), reverse=True)),
        models=tuple(models.most_common()),
        last=tuple(last[:LAST]),
        readings=tuple(sorted(each for one in found for each in one.readings)),
    )


def _models(models: Iterable[str]) -> tuple[tuple[str, int], ...]:
    spelled: dict[str, str] = {}
    counts: Counter[str] = Counter()
    for model in models:
        if model:
            counts[model_key(model)] += 1
            spelled.setdefault(model_key(model), model)
    return tuple((spelled[key], count) for key, count in counts.most_common())


def _named(job: Seen) -> tuple[str, str, str, str]:
    day = job.booked_in.isoformat() if job.booked_in else ""
    return job.number, day, job.model, job.outcome or job.stage
