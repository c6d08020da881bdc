"""Where the starter book is on this machine."""

from __future__ import annotations

from pathlib import Path


def starter_folder() -> Path:
    """Give the folder of the starter book's entries, as installed."""
    import fixbook_entries

    return Path(fixbook_entries.__path__[0])
