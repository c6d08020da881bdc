"""Small JSON files in the cache: what can be made anew, and is, whenever it cannot be read.

Each begins with the checksum of the rest, so that damage is never taken for content.
"""

from __future__ import annotations

import contextlib
import json
from pathlib import Path
from zlib import crc32

from fixbook.store.writing import write_text


def read_kept(path: Path) -> dict[str, object]:
    """Give what was kept; empty where the file is missing, damaged or something else."""
    try:
        head, _, text = path.read_text(encoding="utf-8").partition("\n")
        data = json.loads(text) if head == _sum(text) else {}
    except (OSError, ValueError):
        return {}
    return data if isinstance(data, dict) else {}


def _sum(text: str) -> str:
    return f"{crc32(text.encode('ascii')):08x}"


def keep(path: Path, value: dict[str, object]) -> None:
    """Keep a value. A cache that cannot be written costs time, not answers."""
    with contextlib.suppress(OSError):
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        text = json.dumps(value)
        write_text(path, f"{_sum(text)}\n{text}", private=True)


def texts(value: object) -> dict[str, str]:
    """Give a kept mapping of texts; empty where it is something else."""
    if not isinstance(value, dict):
        return {}
    return {str(key): text for key, text in value.items() if isinstance(text, str)}
