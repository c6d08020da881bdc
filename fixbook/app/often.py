"""What a shop sees often ranks a little higher among equals.

The score of a write-up that past jobs had is raised by at most MOST, and that is done after
ranking, among the hits asked for and the next few: what fits better by more than that stays
before it. Plugins count (`fixbook_seen_here`); the counts are kept in the cache, in a file that a
search reads without any plugin. Without counts nothing is done at all.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from fixbook.app.kept import keep, read_kept

if TYPE_CHECKING:
    from fixbook.core.query import Findings, Hit, Request

FILE = "seen.json"
MOST = 0.05
"""The most by which a score is raised, as a share of it."""
HALF = 10
"""Half of MOST is reached at this many times, or at what the shop's faults have on average where
that is more: what is seen no oftener than the rest gains nothing on it."""
NEXT = 10
"""Hits beyond those asked for among which one may move up."""


class Often:
    """The counts of a book as its cache has them."""

    def __init__(self, cache: Path) -> None:
        self._path = cache / FILE
        self._read = 0
        self._counts: dict[str, int] = {}
        self._half = float(HALF)

    def wider(self, request: Request) -> Request:
        """Give the request with the hits added among which one may move up."""
        if not self._counts_now() or not request.words or request.limit < 1:
            return request
        return request._replace(limit=request.limit + NEXT)

    def ranked(self, findings: Findings, request: Request) -> Findings:
        """Put the hits of the wider request in order, and give those of the request itself."""
        if not self._counts or not findings.hits:
            return findings
        hits = [self._raised(hit, explain=request.explain) for hit in findings.hits]
        hits.sort(key=lambda hit: -hit.score)
        return findings._replace(hits=tuple(hits[: max(0, request.limit)]))

    def keep(self, counts: Mapping[str, int]) -> None:
        """Keep new counts; where there are none, nothing is left to be read."""
        counted = {id: count for id, count in counts.items() if count > 0}
        if counted:
            keep(self._path, dict(counted))
        else:
            with contextlib.suppress(OSError):
                self._path.unlink(missing_ok=True)

    def _raised(self, hit: Hit, *, explain: bool) -> Hit:
        count = self._counts.get(hit.key, 0)
        if not count or hit.score <= 0:
            return hit
        worth, share = hit.score * MOST, count / (count + self._half)
        gains = hit.gains
        if explain:
            from fixbook.core.query import Gain

            times = "once" if count == 1 else f"{count} times"
            gains = (*gains, Gain(f"seen here {times}", ("past jobs",), worth, share))
        return hit._replace(score=hit.score + worth * share, gains=gains)

    def _counts_now(self) -> dict[str, int]:
        try:
            changed = os.stat(self._path).st_mtime_ns
        except OSError:
            changed = 0
        if changed != self._read:
            self._read = changed
            found = read_kept(self._path) if changed else {}
            self._counts = {id: n for id, n in found.items() if isinstance(n, int) and n > 0}
            average = sum(self._counts.values()) / max(1, len(self._counts))
            self._half = max(float(HALF), average)
        return self._counts


def add_up(several: Iterable[Mapping[str, int]]) -> dict[str, int]:
    """Add up what several plugins have counted; TypeError where one gave no whole numbers."""
    counts: dict[str, int] = {}
    for one in several:
        for id, count in one.items():
            counts[id] = counts.get(id, 0) + int(count)
    return counts
