"""The jobs of a book as a file of its backup, consistent at the moment it is asked for."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from fixbook.api import BackupFile, Bench

from . import import_memory
from .errors import JobError
from .place import FILE, has_jobs, is_shared
from .room import FREE, address_to_read, is_full

LINES = "jobs.jsonl"


def files(bench: Bench) -> list[BackupFile]:
    """Give the job file of the book, or a shared database's jobs as JSON Lines.

    What the book remembers of its imports goes along.
    """
    memory = Path(bench.folder, import_memory.FILE)
    found = []
    if bench.folder and memory.is_file():
        found.append(BackupFile(import_memory.FILE, memory.read_bytes))
    if not has_jobs(bench):
        return found
    if is_shared(bench):
        return [*found, BackupFile(LINES, lambda: as_lines(bench))]
    return [*found, BackupFile(FILE, lambda: as_file(bench))]


def as_file(bench: Bench) -> bytes:
    """Copy the job file as it is at this moment, whatever others write meanwhile."""
    file = Path(bench.folder, FILE)
    try:
        with (
            closing(sqlite3.connect(address_to_read(file), uri=True)) as there,
            closing(sqlite3.connect(":memory:")) as copy,
        ):
            there.backup(copy)
            if (said := copy.execute("PRAGMA quick_check(1)").fetchone()[0]) != "ok":
                raise sqlite3.DatabaseError(" ".join(said.split()))
            return copy.serialize()
    except sqlite3.Error as error:
        raise JobError(
            f"{file} cannot be copied: {error}",
            input="job database",
            read=str(file),
            hint=FREE
            if is_full(str(file))
            else "'fixbook job salvage FILE' takes out what can still be read",
        ) from error


def as_lines(bench: Bench) -> bytes:
    """Write all jobs as `fixbook job add` and `job import` read them."""
    from .exporting import json_lines
    from .store import open_store
    from .wanted import Wanted

    with open_store(bench) as store:
        return "".join(json_lines(store.find(Wanted()))).encode()
