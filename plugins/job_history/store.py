"""The jobs of a book: read, written and linked, in SQLite or PostgreSQL."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from itertools import islice
from types import TracebackType
from typing import TYPE_CHECKING, Self

from fixbook.api import Bench, did_you_mean

from .database import Database, open_database
from .errors import JobError
from .job import Job
from .merging import Merged, overlay
from .records import SLICE, load, storable
from .tables import tables
from .wanted import Wanted
from .writing import HAND, Writer

if TYPE_CHECKING:
    from sqlalchemy import Connection

BATCH = 1_000
"""Jobs in one transaction of an import."""
NEWEST = 200
"""Jobs among which the highest number is looked for."""

Progress = Callable[[str, int, int], None]
"""Hears what is being done, how far it is, and of how many (0 where that is not known)."""


def open_store(bench: Bench) -> Store:
    """Open the jobs of the book; JobError where there is no book, or no database to be had."""
    from .figures import refresh

    return Store(open_database(bench), lambda database: refresh(bench, database))


class Store:
    """The jobs of a book. Every method raises JobError, with words, where the database cannot."""

    def __init__(
        self, database: Database, after: Callable[[Database], object] | None = None
    ) -> None:
        self.database = database
        self._after = after
        """Called with the database when it is closed after something was written."""
        self._written = False

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let the database go, and bring the figures in the cache up to date."""
        self.database.close()
        if self._written and self._after is not None:
            self._written = False
            self._after(self.database)

    def get(self, number: str) -> Job:
        """Give a job by its number; JobError with close matches where there is none."""
        with self.database.reading() as connection:
            return self._get(connection, number)

    def many(self, numbers: Iterable[str]) -> dict[str, Job]:
        """Give the jobs with these numbers; those that are unknown are left out."""
        with self.database.reading() as connection:
            return load(connection, numbers)

    def sources(self, numbers: Collection[str]) -> dict[str, str]:
        """Give where the jobs with these numbers were brought in from; unknown ones are left out."""
        from sqlalchemy import select

        job = tables().job
        wanted = [storable(one) for one in numbers]
        found: dict[str, str] = {}
        with self.database.reading() as connection:
            for start in range(0, len(wanted), SLICE):
                some = job.c.number.in_(wanted[start : start + SLICE])
                rows = connection.execute(select(job.c.number, job.c.source).where(some))
                found.update((row.number, row.source) for row in rows)
        return found

    def all_numbers_with_stamps(self) -> dict[str, str]:
        """Give every job's number with a text that changes when the job does."""
        from sqlalchemy import select

        job = tables().job
        with self.database.reading() as connection:
            rows = connection.execute(select(job.c.number, job.c.version))
            return {number: str(version) for number, version in rows}

    def find(self, wanted: Wanted) -> list[Job]:
        """Give the jobs that are wanted, the newest first."""
        with self.database.reading() as connection:
            numbers = connection.execute(wanted.query()).scalars().all()
            return list(load(connection, numbers).values())

    def models(self) -> list[str]:
        """Give the models of past jobs, the most frequent first."""
        from sqlalchemy import func, select

        job = tables().job
        count = func.count()
        query = select(job.c.model).where(job.c.model != "").group_by(job.c.model)
        with self.database.reading() as connection:
            return list(connection.execute(query.order_by(count.desc(), job.c.model)).scalars())

    def add(self, job: Job) -> None:
        """Record a new job; JobError where its number is taken."""
        self.add_all([job])

    def add_next(self, make: Callable[[str], Job]) -> Job:
        """Record a new job under the next free number, and give it."""
        return self.add_all([make])[0]

    def add_all(self, jobs: Iterable[Job | Callable[[str], Job]]) -> list[Job]:
        """Record new jobs, all or none, and give them; what makes a job gets the next free number.

        JobError where a number is taken.
        """
        done = []
        with self._writer() as writer:
            for one in jobs:
                if isinstance(one, Job):
                    job = one
                    _check_free(writer.connection, job.number)
                else:
                    number = next_number(writer.connection)
                    job = _made(number, partial(one, number))
                writer.write([(None, job)])
                done.append(job)
        return done

    def next_number(self) -> str:
        """Give the number that the next job would have."""
        with self.database.reading() as connection:
            return next_number(connection)

    def save(self, job: Job) -> None:
        """Record a job, in the place of an older one of its number."""
        with self._writer() as writer:
            old = load(writer.connection, [job.number]).get(storable(job.number))
            writer.write([(old, job)])

    def edit(self, number: str, change: Callable[[Job], Job], how: str = HAND) -> Job:
        """Change a job as it is now, so that nothing written meanwhile by another is lost.

        `how` says how entries that it is newly linked to came to be. Gives the changed job.
        """
        with self._writer() as writer:
            old = self._get(writer.connection, number)
            new = _made(number, lambda: replace(change(old), number=old.number))
            if new != old:
                writer.write([(old, new)], how)
            return load(writer.connection, [old.number])[old.number]

    def merge(
        self,
        jobs: Iterable[Job],
        *,
        given: Collection[str] | None = None,
        progress: Progress | None = None,
        whole: int = 0,
    ) -> Merged:
        """Lay imported jobs over what is recorded (`merging.overlay`), BATCH at a time.

        Each batch is one transaction. The same jobs again change nothing. `whole` is how many
        jobs there are, for `progress`. ValueError where a job clashes with what is recorded.
        """
        added = changed = same = 0
        for batch in _batches(jobs):
            with self._writer() as writer:
                done = writer.merge(batch, lambda old, new: overlay(old, new, given))
            added, changed, same = added + done.added, changed + done.changed, same + done.same
            if progress:
                progress("bringing jobs in", added + changed + same, whole)
        return Merged(added, changed, same)

    def link(self, number: str, entries: Sequence[str], how: str = HAND) -> Job:
        """Link a job to entries, by their ids; former ids that were followed are brought up."""

        def linked(job: Job) -> Job:
            return replace(job, faults=tuple(dict.fromkeys((*job.faults, *entries))))

        return self.edit(number, linked, how)

    def unlink(self, number: str, entries: Sequence[str]) -> Job:
        """Take links away; JobError where the job has no such link."""

        def unlinked(job: Job) -> Job:
            for entry in entries:
                if entry not in job.faults:
                    raise JobError(
                        f"job {job.number} is not linked to {entry!r}",
                        input="ENTRY",
                        read=entry,
                        choices=job.faults,
                        hint=f"its links: {', '.join(job.faults) or 'none'}",
                    )
            return replace(job, faults=tuple(one for one in job.faults if one not in entries))

        return self.edit(number, unlinked)

    def links(self, number: str) -> dict[str, str]:
        """Give the entries a job is linked to, each with how it came to be linked."""
        from sqlalchemy import select

        link = tables().link
        query = select(link.c.entry, link.c.how).where(link.c.job == number).order_by(link.c.place)
        with self.database.reading() as connection:
            return {row.entry: row.how for row in connection.execute(query)}

    def set_links_from(self, entry: str, numbers: Collection[str], how: str) -> None:
        """Let exactly these jobs be linked to an entry in this way; other ways stay."""
        with self._writer() as writer:
            writer.set_links_from(entry, numbers, how)

    def rename(self, old: str, new: str) -> None:
        """Follow an entry to its new id; the old one keeps meaning it."""
        with self._writer() as writer:
            writer.rename(old, new)

    @contextmanager
    def _writer(self) -> Iterator[Writer]:
        with self.database.writing() as connection:
            yield Writer(connection)
        self._written = True

    def _get(self, connection: Connection, number: str) -> Job:
        number = storable(number.strip())
        found = load(connection, [number])
        if not found:
            from sqlalchemy import select

            known = connection.execute(select(tables().job.c.number)).scalars().all()
            near = did_you_mean(number, known, otherwise="'fixbook job list' shows them")
            raise JobError(f"there is no job {number!r}; {near}", input="N", read=number)
        return found[number]


def _made(number: str, make: Callable[[], Job]) -> Job:
    """Make a job of what was typed; JobError where its fields clash."""
    try:
        return make()
    except ValueError as error:
        raise JobError(f"job {number}: {error}", input="job", read=number) from error


def _check_free(connection: Connection, number: str) -> None:
    if load(connection, [number]):
        raise JobError(
            f"there is a job {number!r} already",
            input="number",
            read=number,
            hint=f"'fixbook job edit {number}' changes it",
        )


def next_number(connection: Connection) -> str:
    """Give a free number that goes on from the newest jobs': 2041 to 2042, J-009 to J-010."""
    from sqlalchemy import select

    job = tables().job
    newest = select(job.c.number).order_by(job.c.version.desc()).limit(NEWEST)
    for numbers in (newest, select(job.c.number)):
        known = set(connection.execute(numbers).scalars())
        candidate = _after_highest(known)
        taken = select(job.c.number).where(job.c.number == candidate)
        if connection.execute(taken).scalar() is None:
            return candidate
    raise JobError("no free job number was found", input="number", hint="give one: --number N")


def _after_highest(known: Iterable[str]) -> str:
    found = [match for one in known if (match := re.fullmatch(r"(.*?)([0-9]{1,15})", one))]
    if not found:
        return "1"
    highest = max(found, key=lambda match: int(match[2]))
    return f"{highest[1]}{int(highest[2]) + 1:0{len(highest[2])}d}"


def _batches(jobs: Iterable[Job]) -> Iterator[list[Job]]:
    left = iter(jobs)
    while batch := list(islice(left, BATCH)):
        yield batch
