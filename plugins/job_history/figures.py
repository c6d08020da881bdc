"""Figures of past jobs kept in the cache, so that a sheet or a search opens no database.

The file is one line of JSON that says what the figures are of, then a line for each entry
(`"amp-dc-offset" TAB {…}`) and each unit (`"unit:power-amplifier" TAB {…}`). A reader finds the
line it needs without reading the others. It is derived data: missing, damaged or out of date, it
is made anew.
"""

from __future__ import annotations

import contextlib
import json
import os
import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fixbook.api import Bench, FixbookError

from .digest import Digest, from_json, together
from .place import FIGURES, SHARED_S, database_key, file_stamp, has_jobs, is_shared

if TYPE_CHECKING:
    from .database import Database

LAYOUT = 3
UNIT = "unit:"
OLD_S = SHARED_S
"""The age from which the figures of a shared database are refreshed in the background."""
JUST_S = 5.0
"""Figures that are no older than this are fresh."""
TRIES = 3


@dataclass(frozen=True, slots=True)
class Figures:
    """The figures of all entries and units, not read yet."""

    head: Mapping[str, Any]
    """What they are of: database, version, warranty time, stamp of the file."""
    lines: str
    age_s: float | None = None
    """How old those of a shared database are; None where they are of now."""

    def digest(self, ids: Iterable[str]) -> Digest:
        """Give what jobs say of an entry: of its id and its former ids, together."""
        found = [self._line(id) for id in ids]
        return together(from_json(one) for one in found if one is not None)

    def unit(self, unit: str) -> Mapping[str, Any] | None:
        """Give the counts of a unit's jobs; None where it has none."""
        return self._line(UNIT + unit)

    def entries(self) -> list[str]:
        """Give the ids of all entries that have figures."""
        keys = [json.loads(line.partition("\t")[0]) for line in self.lines.split("\n") if line]
        return [key for key in keys if not key.startswith(UNIT)]

    def _line(self, key: str) -> Mapping[str, Any] | None:
        mark = f"\n{json.dumps(key)}\t"
        start = self.lines.find(mark)
        if start < 0:
            return None
        begin = start + len(mark)
        end = self.lines.find("\n", begin)
        found: Mapping[str, Any] = json.loads(self.lines[begin : None if end < 0 else end])
        return found


def figures(bench: Bench, *, wait: bool = False) -> Figures | None:
    """Give the figures as they are now; None where no job was ever recorded.

    Those of a shared database may be up to a while old; a process of its own then refreshes
    them, or this one with `wait`. JobError where the database has to be read and cannot be.
    """
    if not has_jobs(bench):
        return None
    path = Path(bench.cache) / FIGURES
    kept = _load(path)
    if kept is not None and _is_of(kept, bench):
        if is_shared(bench):
            if not wait or _age(path.with_suffix(".checked")) <= JUST_S:
                return _aged(bench, kept, path)
        elif (stamp := file_stamp(bench)) and kept.head["stamp"] == stamp:
            return kept
    from .database import open_database

    database = open_database(bench)
    database.close()  # the file is stamped while nobody here has it open
    return refresh(bench, database)


def seen_lately(bench: Bench) -> dict[str, int]:
    """Give how many jobs of the last years each entry had; those without any are left out."""
    kept = figures(bench, wait=True)
    today = date.today()
    counted = {id: kept.digest([id]).lately(today) for id in kept.entries()} if kept else {}
    return {id: count for id, count in counted.items() if count}


def _is_of(kept: Figures, bench: Bench) -> bool:
    same_time = kept.head["warranty_days"] == bench.shop.warranty_days
    return same_time and bool(kept.head["of"] == database_key(bench))


def refresh(bench: Bench, database: Database) -> Figures:
    """Bring the figures up to what the database says now, and give them.

    Only entries that jobs touched since are counted again.
    """
    path = Path(bench.cache) / FIGURES
    kept = _load(path)
    made = Figures({}, "")
    for _ in range(TRIES):
        stamp = "" if database.shared else file_stamp(bench)
        try:
            made = _counted(bench, database, kept)
        finally:
            database.close()
        # A file that was written meanwhile has another stamp, and is counted again.
        if database.shared or file_stamp(bench) == stamp:
            break
        stamp, kept = "", made
    made = Figures({**made.head, "stamp": stamp}, made.lines)
    if kept is None or made != kept:
        _keep(path, made)
    if database.shared:
        _touch(path.with_suffix(".checked"))
    return made


def _counted(bench: Bench, database: Database, kept: Figures | None) -> Figures:
    from sqlalchemy import select

    from .counting import digests, unit_counts
    from .migrations import IDENTITY, VERSION
    from .tables import tables

    known = tables()
    warranty = bench.shop.warranty_days
    with database.reading() as connection:
        rows = connection.execute(select(known.state.c.name, known.state.c.value))
        state = {row.name: row.value for row in rows}
        head = {
            "layout": LAYOUT,
            "of": database_key(bench),
            "identity": state[IDENTITY],
            "version": int(state[VERSION]),
            "warranty_days": warranty,
        }
        since = _since(kept, head)
        if kept is not None and since == head["version"]:
            return Figures({**head, "stamp": kept.head["stamp"]}, kept.lines)
        changed: set[str] | None = None
        if kept is not None and since is not None:
            newer = select(known.change.c.entry).where(known.change.c.version > since)
            changed = set(connection.execute(newer).scalars())
        units = _units(connection, changed)
        entries = None if changed is None else {one for one in changed if not one.startswith(UNIT)}
        found = digests(connection, entries, today=date.today(), warranty_days=warranty)
        values: dict[str, Mapping[str, Any] | None] = {
            entry: one.to_json() if one.seen or one.readings else None
            for entry, one in found.items()
        }
        for unit in units:
            counts = unit_counts(connection, unit)
            values[UNIT + unit] = counts if any(counts.values()) else None
    lines = _lines(kept) if kept is not None and changed is not None else {}
    for key, value in values.items():
        lines.pop(json.dumps(key), None)
        if value is not None:
            lines[json.dumps(key)] = json.dumps(value, separators=(",", ":"))
    text = "".join(f"\n{key}\t{value}" for key, value in sorted(lines.items()))
    return Figures({**head, "stamp": ""}, text)


def _units(connection: Any, changed: set[str] | None) -> list[str]:
    from sqlalchemy import select

    from .tables import tables

    if changed is not None:
        return [one.removeprefix(UNIT) for one in changed if one.startswith(UNIT)]
    return list(connection.execute(select(tables().job.c.unit).distinct()).scalars())


def _since(kept: Figures | None, head: Mapping[str, Any]) -> int | None:
    """Give the version that the kept figures are of; None where they are of something else."""
    if kept is None or any(kept.head[name] != head[name] for name in ("identity", "warranty_days")):
        return None
    version = int(kept.head["version"])
    return version if version <= head["version"] else None


def _aged(bench: Bench, kept: Figures, path: Path) -> Figures:
    age = _age(path.with_suffix(".checked"))
    if age > OLD_S and _age(path.with_suffix(".asked")) > OLD_S:
        _touch(path.with_suffix(".asked"))
        bench.refresh_beside()
    return Figures(kept.head, kept.lines, age)


def _age(path: Path) -> float:
    try:
        return max(0.0, time.time() - path.stat().st_mtime)
    except OSError:
        return float("inf")


def _touch(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.touch()
        os.utime(path)


def _lines(kept: Figures) -> dict[str, str]:
    pairs = (line.partition("\t") for line in kept.lines.split("\n") if line)
    return {key: value for key, _, value in pairs}


def _load(path: Path) -> Figures | None:
    try:
        head, newline, lines = path.read_text(encoding="utf-8").partition("\n")
        found = json.loads(head)
        wanted = {"layout", "of", "identity", "version", "warranty_days", "stamp", "size"}
        if set(found) != wanted or found["layout"] != LAYOUT or found["size"] != len(lines):
            return None
    except (OSError, ValueError, TypeError):
        return None
    del found["size"]
    return Figures(found, newline + lines if lines else "")


def _keep(path: Path, made: Figures) -> None:
    """Write the figures in one step; a cache that cannot be written costs time, not answers."""
    text = made.lines[1:]
    head = json.dumps({**made.head, "size": len(text)})
    partial = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        partial.write_text(f"{head}\n{text}", encoding="utf-8")
        os.replace(partial, path)
    except OSError:
        with contextlib.suppress(OSError):
            partial.unlink()


def known_or_none(bench: Bench) -> tuple[Figures | None, str]:
    """Give the figures for a sheet, or why they cannot be read: a sheet is shown all the same."""
    try:
        return figures(bench), ""
    except FixbookError as error:
        return None, f"{error.why}; {error.hint}" if error.hint else error.why
