"""Where a history is, and which way of reading it fits."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from fixbook.api import Bench, JobSource, close_matches, did_you_mean

from .errors import JobError
from .sql_rows import shown_address, sqlite_path

OPTIONS = ("encoding", "delimiter", "sheet", "table")
OLD_SHEETS = (".xls", ".ods", ".numbers", ".xlsb")


@dataclass(frozen=True, slots=True)
class Place:
    """A history: how it is read, and where."""

    source: JobSource
    address: str
    name: str
    """How it is called in a job's source: a file's name, or an address without a password."""
    options: Mapping[str, str]
    folders: tuple[Path, ...]
    """Where rejected rows may be kept, the best place first."""
    kept_as: str
    """How the file of rejected rows begins."""


def place_of(bench: Bench, given: argparse.Namespace) -> Place:
    """Say where the history is and how it is read; JobError where that cannot be told."""
    sources = bench.job_sources()
    options = {name: getattr(given, name) for name in OPTIONS if getattr(given, name)}
    own = Path(bench.folder)
    if bool(given.file) == bool(given.sql):
        raise JobError(
            "say which file to bring in, or --sql ADDRESS --table NAME, and not both",
            input="FILE",
            hint="such as 'fixbook job import jobs.csv'",
        )
    return (
        _in_database(given, sources, options, own)
        if given.sql
        else _in_file(given, sources, options, own)
    )


def _in_database(
    given: argparse.Namespace, sources: Sequence[JobSource], options: Mapping[str, str], own: Path
) -> Place:
    source = _named(given.source or "database", sources)
    path = sqlite_path(given.sql)
    shown = shown_address(given.sql) if path is None else Path(path).name
    kept_as = "".join(one if one.isalnum() else "-" for one in given.table or "table")
    name = f"{shown} {given.table or ''}".strip()
    return Place(source, given.sql, name, options, (own,), kept_as)


def _in_file(
    given: argparse.Namespace, sources: Sequence[JobSource], options: Mapping[str, str], own: Path
) -> Place:
    path = Path(given.file)
    if path.is_dir() or not path.exists():
        what = "is a folder" if path.is_dir() else "is not there"
        raise JobError(f"{given.file} {what}", input="FILE", read=given.file)
    source = _named(given.source, sources) if given.source else _fitting(path, sources)
    return Place(source, given.file, path.name, options, (path.parent, own), path.name)


def _fitting(path: Path, sources: Sequence[JobSource]) -> JobSource:
    ending = path.suffix.lower()
    found = [one for one in sources if ending in one.endings]
    if found:
        return found[-1]  # a plugin of the shop's own comes after the bundled one
    known = ", ".join(sorted({one for source in sources for one in source.endings}))
    if ending in OLD_SHEETS:
        hint = "save it as .xlsx or .csv in a spreadsheet program"
    else:
        hint = f"known: {known}; or say --as {' or --as '.join(repr(one.name) for one in sources)}"
    raise JobError(
        f"nothing here reads {path.name}: the ending {ending or '(none)'} is unknown",
        hint=hint,
        input="FILE",
        read=str(path),
    )


def _named(name: str, sources: Sequence[JobSource]) -> JobSource:
    by_name = {one.name: one for one in sources}
    if name in by_name:
        return by_name[name]
    begun = [one for one in sources if one.name.lower().startswith(name.strip().lower())]
    if len(begun) == 1:
        return begun[0]
    near = did_you_mean(name, by_name, otherwise=f"there are {', '.join(by_name)}")
    raise JobError(
        f"there is no way to read {name!r}; {near}",
        input="as",
        read=name,
        choices=close_matches(name, by_name) or list(by_name),
    )
