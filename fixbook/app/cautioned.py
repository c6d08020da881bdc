"""Which full caution texts this sitting has shown already: each is shown once, then in short."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from fixbook.app.kept import keep, read_kept

FILE = "cautions-shown.json"
SITTING_S = 12 * 3600
"""After this long a full text is shown again, in the same terminal too."""
MOST = 500


def first_shown(cache: Path, sitting: str, hazards: Iterable[str], now: float) -> set[str]:
    """Give the hazards whose full text this sitting has not seen, and note that it has now.

    Where nothing can be noted every text counts as unseen: too often beats never.
    """
    kept = {key: at for key, at in _load(cache / FILE).items() if 0 <= now - at < SITTING_S}
    new = {hazard for hazard in hazards if f"{sitting} {hazard}" not in kept}
    if new:
        kept |= {f"{sitting} {hazard}": now for hazard in new}
        recent = dict(sorted(kept.items(), key=lambda pair: pair[1])[-MOST:])
        keep(cache / FILE, dict(recent))
    return new


def _load(path: Path) -> dict[str, float]:
    kept = read_kept(path)
    return {key: float(at) for key, at in kept.items() if isinstance(at, (int, float))}
