"""Writing jobs and their links inside one transaction, and noting what that touches."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from .job import Job
from .merging import Merged
from .migrations import VERSION
from .records import SLICE, Row, child_rows, job_row, load, storable
from .tables import tables

if TYPE_CHECKING:
    from sqlalchemy import Connection, Table

HAND, NOTE, BODY = "hand", "note", "body"
"""How a job was linked: by a person, by a link in its notes, by a link in a write-up's body."""
UNIT = "unit:"
"""Before a unit's id, where the figures of a unit are meant and not those of an entry."""

Change = tuple[Job | None, Job]
"""A job as it was (None: it is new), and as it is to be."""


class Writer:
    """Writes within a transaction. Each writing transaction is one version of the database."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection
        self._version: int | None = None
        self._known_aliases: dict[str, str] | None = None

    @property
    def version(self) -> int:
        """The version of this transaction, one above the last."""
        if self._version is None:
            state = tables().state
            row = state.c.name == VERSION
            last = self.connection.execute(state.select().where(row)).mappings().one()
            self._version = int(last["value"]) + 1
            new = {"value": str(self._version)}
            self.connection.execute(state.update().where(row).values(new))
        return self._version

    def merge(self, jobs: Sequence[Job], join: Callable[[Job, Job], Job]) -> Merged:
        """Write jobs, each joined with what is recorded under its number; count them."""
        before = load(self.connection, [job.number for job in jobs])
        after: dict[str, Job] = {}
        for job in jobs:
            number = storable(job.number)
            old = after.get(number) or before.get(number)
            after[number] = join(old, job) if old else job
        after = {number: self._followed(job) for number, job in after.items()}
        changes: list[Change] = [
            (before.get(number), job)
            for number, job in after.items()
            if number not in before or _differs(before[number], job)
        ]
        self.write(changes)
        added = sum(1 for old, _ in changes if old is None)
        return Merged(added, len(changes) - added, len(jobs) - len(changes))

    def write(self, changes: Sequence[Change], how: str = HAND) -> None:
        """Write jobs whole, with all that belongs to them."""
        if not changes:
            return
        changes = [(old, self._followed(new)) for old, new in changes]
        known = tables()
        new = [job_row(job, self.version) for old, job in changes if old is None]
        self._insert(known.job, new)
        self._update_jobs([job_row(job, self.version) for old, job in changes if old is not None])
        self._write_children(changes)
        self._write_links(changes, how)
        self._touch(changes)

    def rename(self, old: str, new: str) -> None:
        """Move every link and reading of an entry to its new id, and keep the old as an alias."""
        known = tables()
        alias, link, reading = known.alias, known.link, known.reading
        self.connection.execute(alias.delete().where(alias.c.old.in_([old, new])))
        self.connection.execute(alias.update().where(alias.c.new == old).values(new=new))
        self.connection.execute(alias.insert(), {"old": old, "new": new})
        self._known_aliases = None
        both = link.select().with_only_columns(link.c.job).where(link.c.entry == new)
        twice = self.connection.execute(both).scalars().all()
        for start in range(0, len(twice), SLICE):
            some = twice[start : start + SLICE]
            self.connection.execute(link.delete().where(link.c.entry == old, link.c.job.in_(some)))
        self._stamp_jobs_of(old)
        self.connection.execute(link.update().where(link.c.entry == old).values(entry=new))
        self.connection.execute(reading.update().where(reading.c.fault == old).values(fault=new))
        units = self.connection.execute(
            known.job.select()
            .with_only_columns(known.job.c.unit)
            .join(link, link.c.job == known.job.c.number)
            .where(link.c.entry == new)
            .distinct()
        ).scalars()
        self._touched({old, new, *(UNIT + unit for unit in units)})

    def set_links_from(self, entry: str, numbers: Collection[str], how: str) -> None:
        """Let exactly these jobs, as far as they are known, be linked to an entry in this way."""
        link = tables().link
        mine = link.select().where(link.c.entry == entry, link.c.how == how)
        had = {row["job"] for row in self.connection.execute(mine).mappings()}
        jobs = load(self.connection, {*had, *numbers})
        changes: list[Change] = []
        for number, job in jobs.items():
            wanted = number in numbers
            if wanted and entry not in job.faults:
                changes.append((job, replace(job, faults=(*job.faults, entry))))
            elif not wanted:
                left = tuple(one for one in job.faults if one != entry)
                changes.append((job, replace(job, faults=left)))
        self.write(changes, how)

    def _followed(self, job: Job) -> Job:
        """Bring former ids of entries up to the ids that hold now."""
        aliases = self._aliases()
        if not aliases or not (job.faults or job.readings):
            return job
        faults = tuple(dict.fromkeys(aliases.get(one, one) for one in job.faults))
        readings = tuple(
            replace(one, fault=aliases.get(one.fault, one.fault)) for one in job.readings
        )
        return replace(job, faults=faults, readings=readings)

    def _aliases(self) -> dict[str, str]:
        if self._known_aliases is None:  # once a transaction, not once a job
            rows = self.connection.execute(tables().alias.select()).mappings()
            self._known_aliases = {row["old"]: row["new"] for row in rows}
        return self._known_aliases

    def _insert(self, table: Table, rows: Sequence[Row]) -> None:
        if rows:
            self.connection.execute(table.insert(), rows)

    def _update_jobs(self, rows: Sequence[Row]) -> None:
        if not rows:
            return
        from sqlalchemy import bindparam

        job = tables().job
        names = [name for name in rows[0] if name != "number"]
        update = (
            job.update()
            .where(job.c.number == bindparam("its_number"))
            .values({name: bindparam(f"new_{name}") for name in names})
        )
        values = [
            {"its_number": row["number"], **{f"new_{name}": row[name] for name in names}}
            for row in rows
        ]
        self.connection.execute(update, values)

    def _write_children(self, changes: Sequence[Change]) -> None:
        olds = [child_rows(old) if old else {} for old, _ in changes]
        news = [child_rows(new) for _, new in changes]
        for table in tables().children:
            moved = [
                (old.get(table.name, []), new[table.name], job.number)
                for old, new, (_, job) in zip(olds, news, changes, strict=True)
                if old.get(table.name, []) != new[table.name]
            ]
            self._delete_of(table, [storable(number) for old, _, number in moved if old])
            self._insert(table, [row for _, new, _ in moved for row in new])

    def _delete_of(self, table: Table, numbers: Sequence[str]) -> None:
        for start in range(0, len(numbers), SLICE):
            some = numbers[start : start + SLICE]
            self.connection.execute(table.delete().where(table.c.job.in_(some)))

    def _write_links(self, changes: Sequence[Change], how: str) -> None:
        from sqlalchemy import bindparam

        link = tables().link
        gone = [
            {"its_job": storable(job.number), "its_entry": entry}
            for old, job in changes
            for entry in (old.faults if old else ())
            if entry not in job.faults
        ]
        if gone:
            same = (link.c.job == bindparam("its_job"), link.c.entry == bindparam("its_entry"))
            self.connection.execute(link.delete().where(*same), gone)
        rows = []
        for old, job in changes:
            had = old.faults if old else ()
            for place, entry in enumerate(job.faults):
                if entry not in had:
                    number = storable(job.number)
                    rows.append({"job": number, "entry": entry, "place": place, "how": how})
        self._insert(link, rows)

    def _touch(self, changes: Iterable[Change]) -> None:
        touched: set[str] = set()
        earlier: set[str] = set()
        for old, new in changes:
            for one in (old, new):
                if one is not None:
                    touched |= {*one.faults, UNIT + one.unit}
                    touched |= {reading.fault for reading in one.readings}
                    earlier |= {one.return_of} if one.return_of else set()
        for job in load(self.connection, earlier).values():
            touched |= set(job.faults)
        self._touched(touched)

    def _touched(self, entries: Collection[str]) -> None:
        from sqlalchemy import bindparam

        change = tables().change
        if entries:
            keys = [{"its_entry": entry} for entry in entries]
            same = change.c.entry == bindparam("its_entry")
            self.connection.execute(change.delete().where(same), keys)
            self._insert(
                change, [{"entry": entry, "version": self.version} for entry in sorted(entries)]
            )

    def _stamp_jobs_of(self, entry: str) -> None:
        known = tables()
        linked = known.link.select().with_only_columns(known.link.c.job)
        of = known.job.c.number.in_(linked.where(known.link.c.entry == entry))
        self.connection.execute(known.job.update().where(of).values(version=self.version))


def _differs(old: Job, new: Job) -> bool:
    """Say whether a job would be stored otherwise than it is."""
    if old == new:
        return False
    rows: list[Any] = [(job_row(job, 0), child_rows(job), job.faults) for job in (old, new)]
    return bool(rows[0] != rows[1])
