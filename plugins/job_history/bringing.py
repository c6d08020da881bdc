"""Bringing a history in: rows to jobs, jobs to the database, the rest aside with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import islice
from typing import NamedTuple, Protocol

from fixbook.api import Bench, UnreadableRow

from .columns import NOTHING
from .job import Job
from .merging import Merged
from .rejected import CLASH, Rejected
from .row_jobs import RowError, RowReader
from .store import BATCH, Store

PSEUDO = {"hours": "minutes", "make": "model", "status": "stage"}
"""Fields of a history that end in a field of another name."""
MOST_REASONS = 200
"""Different reasons that are counted apart."""
FIRST_ROWS = 3
"""Rows that are named for each reason."""


class Numbered(NamedTuple):
    """A row with its number as a person counts."""

    number: int
    row: Mapping[str, str] | UnreadableRow
    clashed: bool = False
    """Whether it was set aside before, because another row has its job's number."""


class Target(Protocol):
    """Where jobs go."""

    def take(self, jobs: list[Job], given: frozenset[str]) -> Merged:
        """Take jobs in one transaction; ValueError where one clashes with what is recorded."""

    def digests(self, jobs: list[Job]) -> Mapping[str, str]:
        """Give the digest with which each job that is known was brought in last."""


@dataclass(slots=True)
class Report:
    """What bringing a history in did."""

    rows: int = 0
    added: int = 0
    changed: int = 0
    same: int = 0
    rejected: int = 0
    reasons: dict[str, int] = field(default_factory=dict)
    """How many rows were rejected for each reason."""
    first_rows: dict[str, list[int]] = field(default_factory=dict)
    """The numbers of the first FIRST_ROWS of them."""
    new_columns: dict[str, None] = field(default_factory=dict)
    """Columns that turned up after the first rows, and went nowhere."""


class Jobs:
    """The database of jobs as a target."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def take(self, jobs: list[Job], given: frozenset[str]) -> Merged:
        """Lay jobs over what is recorded, in one transaction."""
        return self._store.merge(jobs, given=given)

    def digests(self, jobs: list[Job]) -> Mapping[str, str]:
        """Give the digest with which each job that is known was brought in last."""
        known = self._store.sources([job.number for job in jobs])
        return {number: digest_of(source) for number, source in known.items()}


class Nowhere(Jobs):
    """A target for a trial: it counts what would be done, and does nothing."""

    def take(self, jobs: list[Job], given: frozenset[str]) -> Merged:
        """Count the jobs that are new and those that would change."""
        known = self._store.sources([job.number for job in jobs])
        return Merged(len(jobs) - len(known), len(known), 0)


def bring(
    bench: Bench,
    rows: Iterable[Numbered],
    *,
    reader: RowReader,
    target: Target,
    rejected: Rejected,
) -> Report:
    """Bring rows in, BATCH at a time.

    A row that was brought in before and says the same still is passed over, so that what was
    changed at the bench since stays. A row that was set aside for its number is so again, until it
    has a number that is free.
    """
    report = Report()
    seen: dict[str, tuple[int, str]] = {}
    left = iter(rows)
    while batch := list(islice(left, BATCH)):
        read: dict[str, tuple[Numbered, Job]] = {}
        for one in batch:
            found = _read(one, reader, report, rejected)
            if found is None:
                continue
            job, digest = found
            before = seen.setdefault(job.number, (one.number, digest))
            if before[0] == one.number:
                read[job.number] = one, job
            elif before[1] == digest:
                report.same += 1
            else:
                why = (
                    f"job {job.number} is in row {before[0]} {CLASH}: give this row a number of "
                    "its own, or leave it out"
                )
                _reject(one, why, report, rejected)
        _take(read, reader, target, report, rejected)
        bench.progress("bringing jobs in", report.rows, 0)
    return report


def digest_of(source: str) -> str:
    """Give the digest in a job's source; empty where there is none."""
    return source.rpartition("#")[2] if "#" in source else ""


def _read(
    one: Numbered, reader: RowReader, report: Report, rejected: Rejected
) -> tuple[Job, str] | None:
    if not one.row:
        return None
    report.rows += 1
    if isinstance(one.row, UnreadableRow):
        _reject(one, one.row.why, report, rejected)
        return None
    if len(one.row) > len(reader.plan.fields):
        report.new_columns |= dict.fromkeys(
            column for column in one.row if column not in reader.plan.fields
        )
    try:
        return reader.read(one.row)
    except RowError as error:
        _reject(one, str(error), report, rejected)
        return None


def _take(
    read: Mapping[str, tuple[Numbered, Job]],
    reader: RowReader,
    target: Target,
    report: Report,
    rejected: Rejected,
) -> None:
    if not read:
        return
    known = target.digests([job for _, job in read.values()])
    new = [job for _, job in read.values() if known.get(job.number) != digest_of(job.source)]
    report.same += len(read) - len(new)
    for job in [job for job in new if job.number in known and read[job.number][0].clashed]:
        why = (
            f"job {job.number} is in the book {CLASH}: give this row a number of its own, or "
            f"change that job with 'fixbook job edit {job.number}'"
        )
        _reject(read[job.number][0], why, report, rejected)
        new.remove(job)
    fields = {PSEUDO.get(one, one) for one in reader.plan.fields.values()}
    given = frozenset(fields - {NOTHING, "stage", "outcome"} | {"source", "faults"})
    for stage_known in (True, False):
        jobs = [job for job in new if reader.says_stage(job) == stage_known]
        if jobs:
            _merge(jobs, given | ({"stage", "outcome"} if stage_known else set()), target, read,
                   report, rejected)  # fmt: skip


def _merge(
    jobs: list[Job],
    given: frozenset[str],
    target: Target,
    read: Mapping[str, tuple[Numbered, Job]],
    report: Report,
    rejected: Rejected,
) -> None:
    try:
        done = target.take(jobs, given)
    except ValueError as error:
        if len(jobs) == 1:
            _reject(read[jobs[0].number][0], str(error), report, rejected)
            return
        for job in jobs:  # one of them clashes with what is recorded; the others are in
            _merge([job], given, target, read, report, rejected)
        return
    report.added += done.added
    report.changed += done.changed
    report.same += done.same


def _reject(one: Numbered, why: str, report: Report, rejected: Rejected) -> None:
    report.rejected += 1
    if why in report.reasons or len(report.reasons) < MOST_REASONS:
        report.reasons[why] = report.reasons.get(why, 0) + 1
        report.first_rows.setdefault(why, []).append(one.number)
        del report.first_rows[why][FIRST_ROWS:]
    rejected.add(one.number, one.row, why)
