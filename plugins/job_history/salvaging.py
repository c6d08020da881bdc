"""`fixbook job salvage`: what can still be read of a damaged job file, as a new job file."""

from __future__ import annotations

import argparse
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple
from urllib.parse import quote

from fixbook.api import Bench

from .database import open_file
from .errors import JobError
from .migrations import VERSION
from .place import FILE, book_file
from .shown import print_json, say
from .tables import tables

if TYPE_CHECKING:
    from sqlalchemy import Table

SMALLEST_ROW = 16
"""Bytes that a row takes at least: how many there can be where the file does not say."""
GIVE_UP = 2_000
"""After so many rows in a row that cannot be read, a table is given up."""


class Salvaged(NamedTuple):
    """What was taken over."""

    jobs: int
    rows: int
    """Rows of all tables, jobs among them."""
    unreadable: int
    """Rows that are known to be there and could not be read, wholly or in part."""


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Write a new job file with all that can be read of the book's own; 1 where rows are lost."""
    damaged, new = book_file(bench), Path(given.file)
    if damaged is None or not damaged.exists():
        raise JobError("there is no job file in this book", input="--book", read=bench.folder)
    if new.exists():
        raise JobError(
            f"{new} is there already", input="FILE", read=str(new), hint="name a new file"
        )
    done = salvage(bench, damaged, new)
    if given.json:
        print_json({"file": str(new), **done._asdict()})
    else:
        say(
            bench,
            f"{done.jobs:,} jobs ({done.rows:,} rows) written to {new}; "
            f"{done.unreadable:,} rows could not be read whole. Look through it with "
            f"'fixbook job list'; to use it, move {damaged} away and give it the name {FILE}.",
        )
    return 1 if done.unreadable else 0


def salvage(bench: Bench, damaged: Path, new: Path) -> Salvaged:
    """Copy every row that can be read into a new job file; JobError where nothing can."""
    name = f"file:{quote(os.path.abspath(damaged))}?mode=ro"
    jobs = rows = unreadable = 0
    try:
        open_file(new).close()
        with (
            closing(sqlite3.connect(name, uri=True, isolation_level=None)) as old,
            closing(sqlite3.connect(new, isolation_level=None)) as made,
        ):
            made.execute("PRAGMA foreign_keys=ON")  # what belongs to a lost job is lost with it
            made.execute("BEGIN")
            for table in tables().all.sorted_tables:
                if table.name == tables().state.name:
                    continue
                columns = {column.name: column.name in table.primary_key for column in table.c}
                for whole, row in _rows(old, table.name, columns, damaged.stat().st_size):
                    unreadable += not whole
                    kept = row is not None and _put(made, table.name, {**_blank(table), **row})
                    rows += kept
                    jobs += kept and table.name == tables().job.name
                    if rows % 1000 == 0:
                        bench.progress("taking over", rows, 0)
            newest = "SELECT coalesce(max(version), 0) + 1 FROM job"
            made.execute(f"UPDATE job_state SET value = ({newest}) WHERE name = '{VERSION}'")
            made.execute("COMMIT")
    except (sqlite3.Error, OSError) as error:
        raise JobError(
            f"what can be read of {damaged} cannot be written to {new}: {error}",
            input="FILE",
            read=str(new),
            hint="name a file in a folder with room",
        ) from error
    finally:
        if not jobs:
            for left in (new, Path(f"{new}-wal"), Path(f"{new}-shm")):
                left.unlink(missing_ok=True)
    if not jobs:
        raise JobError(
            f"no job in {damaged} can be read any more",
            input="job database",
            read=str(damaged),
            hint="put back the file of a backup: 'fixbook book restore BACKUP DIR'",
        )
    return Salvaged(jobs, rows, unreadable)


def _rows(
    old: sqlite3.Connection, table: str, columns: dict[str, bool], size: int
) -> Iterator[tuple[bool, dict[str, object] | None]]:
    """Give each row of a table, one by one, and whether it was read whole; None: not at all."""
    names = ", ".join(f'"{name}"' for name in columns)
    last, known = _last(old, table, size)
    failed = 0
    for number in range(1, last + 1):
        try:
            found = old.execute(f'SELECT {names} FROM "{table}" WHERE rowid = {number}').fetchone()
        except sqlite3.Error:
            failed += 1
            if failed > GIVE_UP:
                return
            part = _part(old, table, list(columns), number)
            readable = all(name in part for name, key in columns.items() if key)
            if known or readable:
                yield False, part if readable else None
            continue
        failed = 0
        if found is not None:
            yield True, dict(zip(columns, found, strict=True))


def _last(old: sqlite3.Connection, table: str, size: int) -> tuple[int, bool]:
    """Give the highest number of a row; where that is damaged, one that none can exceed."""
    try:
        found = old.execute(f'SELECT coalesce(max(rowid), 0) FROM "{table}"').fetchone()[0]
    except sqlite3.Error:
        return size // SMALLEST_ROW, False
    return (found, True) if isinstance(found, int) else (size // SMALLEST_ROW, False)


def _part(
    old: sqlite3.Connection, table: str, columns: list[str], number: int
) -> dict[str, object]:
    """Give those columns of a row that can be read."""
    part: dict[str, object] = {}
    for name in columns:
        with suppress(sqlite3.Error):
            query = f'SELECT "{name}" FROM "{table}" WHERE rowid = {number}'
            if (found := old.execute(query).fetchone()) is not None:
                part[name] = found[0]
    return part


def _blank(table: Table) -> dict[str, object]:
    """Give what stands in place of columns that could not be read and must hold something."""
    return {
        one.name: "" if one.type.python_type is str else 0 for one in table.c if not one.nullable
    }


def _put(made: sqlite3.Connection, table: str, row: dict[str, object]) -> bool:
    """Write a row; False where it is no such row, or its job is lost."""
    names = ", ".join(f'"{name}"' for name in row)
    marks = ", ".join("?" * len(row))
    with suppress(sqlite3.IntegrityError):
        done = made.execute(f'INSERT INTO "{table}" ({names}) VALUES ({marks})', [*row.values()])
        return done.rowcount == 1
    return False
