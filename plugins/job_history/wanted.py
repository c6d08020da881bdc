"""Which jobs are asked for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from .job import HANDED_OVER, model_key, serial_key
from .tables import tables

if TYPE_CHECKING:
    from sqlalchemy import Select


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which jobs are asked for; a field that is empty or None does not narrow."""

    open: bool | None = None
    """True: still in the shop; False: handed over."""
    units: tuple[str, ...] = ()
    """Any of these."""
    model: str = ""
    """Compared by `model_key`."""
    serial: str = ""
    """Compared by `serial_key`."""
    stage: str = ""
    outcome: str = ""
    faults: tuple[str, ...] = ()
    """Linked to any of these entries, by their ids."""
    return_of: str = ""
    linked: bool | None = None
    """Whether it is linked to any entry at all."""
    since: date | None = None
    """Booked in on this day or later."""
    limit: int = 0
    """The newest so many; 0: all."""

    def query(self) -> Select[Any]:
        """Give the query for their numbers, the newest first."""
        from sqlalchemy import exists, select

        known = tables()
        job, link = known.job, known.link
        query = select(job.c.number)
        plain = {"stage": self.stage, "outcome": self.outcome, "return_of": self.return_of}
        plain |= {"model_key": model_key(self.model), "serial_key": serial_key(self.serial)}
        for name, value in plain.items():
            if value:
                query = query.where(job.c[name] == value)
        if self.open is not None:
            there = job.c.stage != HANDED_OVER
            query = query.where(there if self.open else ~there)
        if self.units:
            query = query.where(job.c.unit.in_(self.units))
        if self.since:
            query = query.where(job.c.booked_in >= self.since)
        if self.faults:
            of = link.c.entry.in_(self.faults)
            query = query.where(exists().where(link.c.job == job.c.number, of))
        if self.linked is not None:
            any_link = exists().where(link.c.job == job.c.number)
            query = query.where(any_link if self.linked else ~any_link)
        newest = (job.c.booked_in.is_(None), job.c.booked_in.desc(), job.c.version.desc())
        query = query.order_by(*newest, job.c.number)
        return query.limit(self.limit) if self.limit else query
