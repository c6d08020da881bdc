"""`fixbook job salvage`: what can still be read of a damaged job file, as a new job file."""

from __future__ import annotations

import argparse
import sqlite3
from collections.abc import Iterable, Sequence
from contextlib import closing, suppress
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from fixbook.api import Bench

from .database import open_file
from .errors import JobError
from .migrations import IDENTITY, SCHEMA, VERSION
from .place import FILE, book_file
from .room import address_to_read
from .salvaging_pages import Value, leaf_rows
from .shown import print_json, say
from .tables import tables

if TYPE_CHECKING:
    from sqlalchemy import Table


class Salvaged(NamedTuple):
    """What was taken over."""

    jobs: int
    rows: int
    """Rows of all tables, jobs among them."""
    damaged: tuple[str, ...]
    """The tables that could not be read as a whole: something of them may be lost."""


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Write a new job file with all that can be read of the book's own; 1 where some may be lost."""
    damaged, new = book_file(bench), Path(given.file)
    if damaged is None or not damaged.exists():
        raise JobError("there is no job file in this book", input="--book", read=bench.folder)
    if new.exists():
        raise JobError(
            f"{new} is there already", input="FILE", read=str(new), hint="name a new file"
        )
    done = salvage(damaged, new)
    if given.json:
        print_json({"file": str(new), **done._asdict()})
        return 1 if done.damaged else 0
    what = f"damaged: {', '.join(done.damaged)}" if done.damaged else "nothing in it is damaged"
    say(
        bench,
        f"{done.jobs:,} jobs, {done.rows:,} rows in all, written to {new}; {what}. To use it, move "
        f"{damaged} away with the files of its name, and give the new one the name {FILE}.",
    )
    return 1 if done.damaged else 0


def salvage(damaged: Path, new: Path) -> Salvaged:
    """Copy every row that can be read into a new job file; JobError where nothing can."""
    done = Salvaged(0, 0, ())
    try:
        open_file(new).close()
        with closing(sqlite3.connect(new, isolation_level=None)) as made:
            made.execute("PRAGMA foreign_keys=ON")  # what belongs to a lost job is lost with it
            made.execute("BEGIN")
            taken = _take_over(damaged, made)
            newest = "SELECT coalesce(max(version), 0) + 1 FROM job"
            made.execute(f"UPDATE job_state SET value = ({newest}) WHERE name = '{VERSION}'")
            made.execute("COMMIT")
            made.execute("PRAGMA wal_checkpoint(TRUNCATE)")  # all in the one file, or no room
        done = taken
    except (sqlite3.Error, OSError) as error:
        raise JobError(
            f"what can be read of {damaged} cannot be written to {new}: {error}",
            input="FILE",
            read=str(new),
            hint="make room there, or name a file in a folder with room",
        ) from error
    finally:
        if not done.jobs:
            for left in (new, Path(f"{new}-wal"), Path(f"{new}-shm")):
                left.unlink(missing_ok=True)
    if not done.jobs:
        raise JobError(
            f"no job in {damaged} can be read any more",
            input="job database",
            read=str(damaged),
            hint="put back the file of a backup: 'fixbook book restore BACKUP DIR'",
        )
    return done


def _take_over(damaged: Path, made: sqlite3.Connection) -> Salvaged:
    """Copy table by table; what of a table cannot be reached is looked for page by page."""
    known = [table for table in tables().all.sorted_tables if table is not tables().state]
    bad: list[Table] = []
    name = address_to_read(damaged)
    with closing(sqlite3.connect(name, uri=True, isolation_level=None)) as old:
        for table in known:
            # From both ends: what comes before the damage, and what comes after it.
            if not all(_copy(old, made, table, order) for order in ("ASC", "DESC")):
                bad.append(table)
    if bad:
        rows = list(leaf_rows(damaged.read_bytes()))
        for table in bad:
            _put(made, table, (row for row in rows if _is_row(row, table)))
    counts = {
        table.name: made.execute(f'SELECT count(*) FROM "{table.name}"').fetchone()[0]
        for table in known
    }
    damaged_ones = tuple(table.name for table in bad)
    return Salvaged(counts[tables().job.name], sum(counts.values()), damaged_ones)


def _copy(old: sqlite3.Connection, made: sqlite3.Connection, table: Table, order: str) -> bool:
    """Copy a table's rows up to the first that cannot be read; say whether that was the end."""
    names = ", ".join(f'"{column.name}"' for column in table.c)
    try:
        _put(made, table, old.execute(f'SELECT {names} FROM "{table.name}" ORDER BY rowid {order}'))
    except sqlite3.DatabaseError:
        return False
    return True


def _put(made: sqlite3.Connection, table: Table, rows: Iterable[Sequence[Value]]) -> None:
    """Write rows; one that is there already, or whose job is lost, is passed over."""
    marks = ", ".join("?" * len(table.c))
    for row in rows:
        with suppress(sqlite3.IntegrityError):
            made.execute(f'INSERT OR IGNORE INTO "{table.name}" VALUES ({marks})', list(row))


def _is_row(row: Sequence[Value], table: Table) -> bool:
    """Say whether a row that was found without its table can be one of this."""
    if len(row) != len(table.c) or row[0] in (SCHEMA, VERSION, IDENTITY):
        return False
    for value, column in zip(row, table.c, strict=True):
        kind = column.type.python_type
        fits = (kind, int) if kind in (int, float) else (str,)  # a date is kept as text
        if not (isinstance(value, fits) or (value is None and column.nullable)):
            return False
    return True
