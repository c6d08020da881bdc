"""The jobs of a book: read, written and linked, in SQLite or PostgreSQL."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import date
from types import TracebackType
from typing import TYPE_CHECKING, Any

from fixbook.api import Bench, FixbookError, close_matches, did_you_mean

from .job import Job

BATCH = 1_000
"""Jobs in one transaction of an import."""
HAND, NOTE, BODY = "hand", "note", "body"
"""How a job was linked to an entry: by a person, by a link in its notes, by one in a write-up."""

Progress = Callable[[str, int, int], None]
"""Hears what is being done, how far it is, and of how many (0 where that is not known)."""


class JobError(FixbookError):
    """A job, or the database of jobs, that cannot be used."""


@dataclass(frozen=True, slots=True)
class Merged:
    """What an import did to the table."""

    added: int
    changed: int
    same: int


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which jobs are asked for; a field that is empty or None does not narrow."""

    open: bool | None = None
    unit: str = ""
    model: str = ""
    """Compared by `model_key`."""
    serial: str = ""
    """Compared by `serial_key`."""
    stage: str = ""
    outcome: str = ""
    fault: str = ""
    """An entry's id."""
    return_of: str = ""
    linked: bool | None = None
    since: date | None = None
    """Booked in on or after this day."""
    limit: int = 0
    """The newest so many; 0: all."""


def open_store(bench: Bench) -> Store:
    """Open the jobs of the book; JobError where there is no book, or no database to be had."""
    raise NotImplementedError


class Store:
    """The jobs of a book. Every method raises JobError, with words, where the database cannot."""

    def __enter__(self) -> Store:
        return self

    def close(self) -> None:
        """Let the database go and bring the figures in the cache up to date."""

    def get(self, number: str) -> Job:
        """Give a job by its number; JobError with close matches where there is none."""

    def many(self, numbers: Iterable[str]) -> dict[str, Job]:
        """Give the jobs with these numbers; those that are unknown are left out."""

    def all_numbers_with_stamps(self) -> dict[str, str]:
        """Give every job's number with a text that changes when the job does."""

    def find(self, wanted: Wanted) -> list[Job]:
        """Give the jobs that are wanted, the newest first."""

    def models(self) -> list[str]:
        """Give the models of past jobs, the most frequent first."""

    def add(self, job: Job) -> None:
        """Record a new job; JobError where its number is taken."""

    def add_next(self, make: Callable[[str], Job]) -> Job:
        """Record a new job under the next free number."""

    def save(self, job: Job) -> None:
        """Record a job, in the place of an older one of its number."""

    def edit(self, number: str, change: Callable[[Job], Job]) -> Job:
        """Change a job as it is now, so that nothing written meanwhile by another is lost."""

    def merge(
        self,
        jobs: Iterable[Job],
        *,
        given: Collection[str] | None = None,
        progress: Progress | None = None,
    ) -> Merged:
        """Lay imported jobs over what is recorded (`merging.overlay`), BATCH at a time.

        Each batch is one transaction. The same jobs again change nothing.
        """

    def link(self, number: str, entries: Sequence[str], how: str = HAND) -> Job:
        """Link a job to entries (ids as they are now)."""

    def unlink(self, number: str, entries: Sequence[str]) -> Job:
        """Take links away; JobError where the job has no such link."""
