"""Where the jobs of a book are kept, told without opening anything."""

from __future__ import annotations

import os
from hashlib import sha256
from pathlib import Path

from fixbook.api import Bench

FILE = "jobs.sqlite"
SETTINGS = "fixbook.toml"
FIGURES = "job-figures"
"""The file of figures in the cache."""
SHARED_S = 30.0
"""What others do in a shared database shows, at the latest, on the next look after this time."""
ENVIRONMENT = "FIXBOOK_JOBS"
"""Holds the address of a shared database; it goes before the one in fixbook.toml."""


def shared_address(bench: Bench) -> str:
    """Give the address of a database that several benches share; empty where there is none."""
    return (os.environ.get(ENVIRONMENT) or bench.shop.jobs).strip()


def is_shared(bench: Bench) -> bool:
    """Say whether the jobs are in a database that several benches share."""
    return bool(shared_address(bench))


def database_key(bench: Bench) -> str:
    """Give a text that tells one database from another and gives no password away."""
    return sha256(shared_address(bench).encode()).hexdigest()[:16] if is_shared(bench) else ""


def book_file(bench: Bench) -> Path | None:
    """Give the book's own job file, which need not exist; None where there is no book."""
    return Path(bench.folder) / FILE if bench.folder else None


def has_jobs(bench: Bench) -> bool:
    """Say whether there is a database of jobs at all."""
    file = book_file(bench)
    return is_shared(bench) or (file is not None and os.path.exists(file))


def watched(bench: Bench) -> tuple[str, ...]:
    """Give the files that change when jobs do, or when they are kept elsewhere from now on."""
    file = book_file(bench)
    own = () if file is None else (str(file), f"{file}-wal", str(file.with_name(SETTINGS)))
    return (*own, str(Path(bench.cache) / FIGURES)) if own or is_shared(bench) else ()


def file_stamp(bench: Bench) -> str:
    """Give a text that changes when the book's job file does; empty where there is none."""
    file = book_file(bench)
    if file is None or not os.path.exists(file):
        return ""
    return ";".join(_stamp(path) for path in (str(file), f"{file}-wal"))


def _stamp(path: str) -> str:
    try:
        info = os.stat(path)
    except OSError:
        return "-"
    return f"{info.st_size}:{info.st_mtime_ns}"
