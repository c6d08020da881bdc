"""What past jobs count for narrowing: faults, and answers to signs, of one unit."""

from __future__ import annotations

from fixbook.api import Bench, Counts

from .figures import known_or_none


def counts(bench: Bench, unit: str) -> Counts | None:
    """Give a unit's counts, as kept; None where it has none or they cannot be read."""
    kept, _ = known_or_none(bench)
    found = kept.unit(unit) if kept else None
    if found is None:
        return None
    return Counts(dict(found["faults"]), dict(found["answers"]), int(found["unlisted"]))
