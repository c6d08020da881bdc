"""Four years of jobs: what came in when, what was wrong, and how it ended."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta
from random import Random
from typing import NamedTuple

from fixbook.demo.faults import Fault, faults

YEARS = {2022: 125, 2023: 140, 2024: 160, 2025: 175}
"""How many jobs each year brought; the shop grows. 600 together."""
WARRANTY_DAYS = 90
_COMES_BACK = 0.045
_SEASONS = {  # weights of the months, January first
    "synthesizer": (8, 8, 9, 10, 11, 10, 6, 6, 9, 10, 12, 13),  # before festivals and Christmas
    "mixing-desk": (6, 7, 9, 12, 14, 12, 8, 6, 8, 8, 9, 9),
    "valve-amplifier": (8, 8, 8, 9, 10, 9, 7, 7, 9, 10, 11, 10),
    "loudspeaker": (6, 6, 8, 11, 13, 13, 9, 7, 8, 8, 8, 8),
    "turntable": (15, 11, 8, 7, 6, 6, 6, 6, 8, 9, 10, 12),  # presents that do not work
    "radio-receiver": (8, 7, 8, 9, 10, 11, 10, 9, 8, 8, 7, 9),
    "power-amplifier": (10, 9, 8, 7, 7, 9, 10, 8, 8, 9, 10, 11),  # heat, and long evenings
}
_EVEN = (1,) * 12


class PastJob(NamedTuple):
    """A job as it was, before anybody typed it into a list."""

    number: int
    booked_in: date
    handed_over: date | None
    unit: str
    model: str
    serial: str
    complaint: str
    work: str
    parts: str
    minutes: int
    outcome: str
    """Empty: it is still in the shop."""
    entry: str
    """The write-up of its fault; empty where there is none."""
    return_of: int | None = None


def past_jobs(random: Random) -> list[PastJob]:
    """Give 600 jobs over four years, in the order in which they came in."""
    began: list[tuple[date, Fault, str, str]] = []
    for year, count in YEARS.items():
        began += [_coming(random, year) for _ in range(count)]
    began.sort(key=lambda one: one[0])
    made: list[PastJob] = []
    again: list[tuple[date, PastJob, Fault]] = []
    for day, fault, model, serial in began:
        number = 1000 + len(made) + 1
        due = next((one for one in again if one[0] <= day), None)
        if due is not None:  # an earlier unit comes back in the place of a new one
            again.remove(due)
            made.append(_returned(random, number, day, due[1], due[2]))
            continue
        job = _done(random, number, day, fault, model, serial)
        made.append(job)
        if job.outcome == "fixed" and job.handed_over and random.random() < _COMES_BACK:
            back = job.handed_over + timedelta(days=random.randint(4, WARRANTY_DAYS - 25))
            again.append((back, job, fault))
    return [_still_here(one, number) for number, one in enumerate(made)]


def _coming(random: Random, year: int) -> tuple[date, Fault, str, str]:
    known = faults()
    fault = random.choices(known, [one.weight for one in known])[0]
    month = random.choices(range(1, 13), _SEASONS.get(fault.unit, _EVEN))[0]
    day = date(year, month, random.randint(1, 28))
    if day.weekday() == 6:  # closed on Sundays
        day += timedelta(days=1)
    model = random.choice(fault.models)
    return day, fault, model, _serial(random, model)


def _serial(random: Random, model: str) -> str:
    letters = "".join(one for one in model.split()[-1] if one.isalpha())
    return f"{letters}{random.randint(2, 9)}{random.randint(100, 19_999):05d}"


def _done(random: Random, number: int, day: date, fault: Fault, model: str, serial: str) -> PastJob:
    outcome = _outcome(random, fault)
    worked = outcome in ("fixed", "improved", "not-fixed")
    minutes = _minutes(random, fault.minutes if worked else 15)
    work = random.choice(fault.works) if outcome in ("fixed", "improved") else _nothing(outcome)
    out = day + timedelta(days=min(60, 1 + round(random.lognormvariate(1.9, 0.6))))
    return PastJob(
        number=number,
        booked_in=day,
        handed_over=out,
        unit=fault.unit,
        model=model,
        serial=serial,
        complaint=random.choice(fault.complaints),
        work=work,
        parts=fault.parts if outcome in ("fixed", "improved") else "",
        minutes=minutes,
        outcome=outcome,
        entry=fault.entry if worked else "",
    )


def _returned(random: Random, number: int, day: date, earlier: PastJob, fault: Fault) -> PastJob:
    again = _done(random, number, day, fault, earlier.model, earlier.serial)
    said = random.choice(("same again: ", "back again, ", "still: "))
    return again._replace(
        complaint=said + earlier.complaint, return_of=earlier.number, outcome="fixed",
        work=f"under warranty: {random.choice(fault.works)}", parts=fault.parts, entry=fault.entry,
    )  # fmt: skip


def _outcome(random: Random, fault: Fault) -> str:
    kind = random.random()
    for share, outcome in ((0.05, "declined"), (0.04, "uneconomic"), (0.05, "no-fault-found")):
        if kind < share:
            return outcome
        kind -= share
    if random.random() < fault.held:
        return "fixed"
    return random.choice(("improved", "not-fixed"))


def _nothing(outcome: str) -> str:
    said: dict[str, str] = {
        "declined": "quote refused, given back as it came",
        "uneconomic": "costs more than it is worth, kept for parts",
        "no-fault-found": "played all day, nothing found",
        "not-fixed": "tried, did not help, given back",
    }
    return said[outcome]


def _minutes(random: Random, middle: int) -> int:
    """Give a time spread like times of work are: never short of a floor, now and then far over."""
    return max(5, 5 * round(middle * math.exp(random.gauss(0, 0.32)) / 5))


def _still_here(job: PastJob, place: int) -> PastJob:
    """Let the last few jobs still be in the shop."""
    total = sum(YEARS.values())
    if place < total - 7:
        return job
    return job._replace(handed_over=None, outcome="", work="", parts="", minutes=0, entry="")


def by_year(jobs: Sequence[PastJob]) -> dict[int, list[PastJob]]:
    """Give the jobs of each year."""
    return {year: [one for one in jobs if one.booked_in.year == year] for year in YEARS}
