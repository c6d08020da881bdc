"""`job:` links in write-ups: a job that a write-up names is linked to it."""

from __future__ import annotations

import contextlib
import json
import os
from pathlib import Path

from fixbook.api import Bench, Entry, FixbookError, IndexFields

from .note_links import linked_jobs
from .place import has_jobs

FILE = "job-bodies.json"
"""In the cache: which write-ups named which jobs when they were last indexed."""


def fields(bench: Bench, entry: Entry) -> IndexFields | None:
    """Follow a write-up's `job:` links when it is indexed, and let it be found by their numbers."""
    numbers = linked_jobs(entry.body)
    if not has_jobs(bench):
        return IndexFields(facets={"job": numbers}) if numbers else None
    path = Path(bench.cache) / FILE
    known = _load(path)
    if list(numbers) != known.get(entry.id, []) and _followed(bench, entry.id, numbers):
        known[entry.id] = list(numbers)
        _keep(path, {id: named for id, named in known.items() if named})
    return IndexFields(facets={"job": numbers}) if numbers else None


def _followed(bench: Bench, entry: str, numbers: tuple[str, ...]) -> bool:
    from .store import open_store
    from .writing import BODY

    try:
        with open_store(bench) as store:
            store.set_links_from(entry, numbers, BODY)
    except FixbookError:
        return False  # a search goes on without; the next indexing of this write-up tries again
    return True


def _load(path: Path) -> dict[str, list[str]]:
    try:
        found: dict[str, list[str]] = json.loads(path.read_text(encoding="utf-8"))
        return found if isinstance(found, dict) else {}
    except (OSError, ValueError):
        return {}


def _keep(path: Path, known: dict[str, list[str]]) -> None:
    partial = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        partial.write_text(json.dumps(known), encoding="utf-8")
        os.replace(partial, path)
    except OSError:  # the links are followed again next time
        with contextlib.suppress(OSError):
            partial.unlink()
