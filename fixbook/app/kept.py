"""Small JSON files in the cache: what can be made anew, and is, whenever it cannot be read."""

from __future__ import annotations

import contextlib
import json
from pathlib import Path

from fixbook.store.writing import write_text


def read_kept(path: Path) -> dict[str, object]:
    """Give what was kept; empty where the file is missing, damaged or something else."""
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return data if isinstance(data, dict) else {}


def keep(path: Path, value: dict[str, object]) -> None:
    """Keep a value. A cache that cannot be written costs time, not answers."""
    with contextlib.suppress(OSError):
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        write_text(path, json.dumps(value), private=True)


def texts(value: object) -> dict[str, str]:
    """Give a kept mapping of texts; empty where it is something else."""
    if not isinstance(value, dict):
        return {}
    return {str(key): text for key, text in value.items() if isinstance(text, str)}
