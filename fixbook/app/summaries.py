"""The plugins' lines of figures for entries, kept in the cache.

A line is asked for once after its entry, a plugin or a watched file has changed, and only for
entries that are shown.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from fixbook.app.kept import keep, read_kept
from fixbook.app.library import Library

FILE = "summaries.json"
MOST = 20_000


def summaries(library: Library, shown: Mapping[str, str], state: str) -> dict[str, str]:
    """Give the line of each entry that is shown.

    `shown` maps ids to their stamps; `state` is a text that changes when any line may have.
    """
    path = library.cache / FILE
    kept = _load(path, state)
    new = {id: at for id, at in shown.items() if id not in kept or kept[id][0] != at or not at}
    if new:
        from fixbook.app.bench import LibraryBench

        bench = LibraryBench(library)
        for id, stamp in new.items():
            filed = library.find(id)
            kept[id] = (stamp, bench.summary(filed.entry) if filed else "")
        recent = dict(list(kept.items())[-MOST:])
        keep(path, {"state": state, "lines": recent})
    return {id: kept[id][1] for id in shown}


def _load(path: Path, state: str) -> dict[str, tuple[str, str]]:
    kept = read_kept(path)
    lines = kept.get("lines")
    if kept.get("state") != state or not isinstance(lines, dict):
        return {}
    pairs = {str(id): line for id, line in lines.items() if isinstance(line, list)}
    return {id: (str(line[0]), str(line[1])) for id, line in pairs.items() if len(line) == 2}
