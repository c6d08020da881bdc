"""What a shop sees often ranks a little higher among equals.

The score of a write-up that past jobs had is raised by at most MOST, after the ranking, among the
hits asked for and the next few: what fits better by more than that stays before it. Plugins count
(`fixbook_seen_here`); the counts are kept in the cache, in a file that a search reads without any
plugin. Without counts nothing is done at all.
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


class Often:
    """The counts of a book as its cache has them."""

    def __init__(self, cache: Path) -> None:
        self._path = cache / FILE
        self._read = 0
        self._counts: dict[str, int] = {}
        self._shares: dict[str, float] = {}

    def raised(self, request: Request) -> Mapping[str, float]:
        """Give the share of its score that each write-up gains in the answer to a request."""
        return self._shares_now() if request.words else {}

    def explained(self, findings: Findings) -> Findings:
        """Add what a raised hit gained to the parts of its score."""
        hits = (self._explained(hit) for hit in findings.hits)
        return findings._replace(hits=tuple(hits))

    def keep(self, counts: Mapping[str, int]) -> None:
        """Keep new counts; where there are none, nothing is left to be read."""
        counted = {id: count for id, count in counts.items() if count > 0}
        if counted:
            keep(self._path, dict(counted))
        else:
            with contextlib.suppress(OSError):
                self._path.unlink(missing_ok=True)

    def _explained(self, hit: Hit) -> Hit:
        from fixbook.core.query import Gain

        count, gained = self._counts.get(hit.key, 0), self._shares.get(hit.key, 0.0)
        if not count or hit.score <= 0:
            return hit
        times = "once" if count == 1 else f"{count} times"
        worth = hit.score / (1 + gained) * MOST
        gain = Gain(f"seen here {times}", ("past jobs",), worth, gained / MOST)
        return hit._replace(gains=(*hit.gains, gain))

    def _shares_now(self) -> Mapping[str, float]:
        try:
            changed = os.stat(self._path).st_mtime_ns
        except OSError:
            changed = 0
        if changed != self._read:
            self._read = changed
            found = read_kept(self._path) if changed else {}
            self._counts = {id: n for id, n in found.items() if isinstance(n, int) and n > 0}
            average = sum(self._counts.values()) / max(1, len(self._counts))
            half = max(float(HALF), average)
            self._shares = {id: MOST * n / (n + half) for id, n in self._counts.items()}
        return self._shares


def add_up(several: Iterable[Mapping[str, int]]) -> dict[str, int]:
    """Add up what several plugins have counted; TypeError where one gave no whole numbers."""
    counts: dict[str, int] = {}
    for one in several:
        for id, count in one.items():
            counts[id] = counts.get(id, 0) + int(count)
    return counts
