"""A process beside this one that brings a book's index up to date, for nobody to wait for."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fixbook.app.library import Library


def refresh_beside(library: Library) -> None:
    """Start `fixbook book refresh` for this book and do not wait; failing costs freshness only."""
    if not sys.executable:
        return
    try:
        running = subprocess.Popen(
            command(str(library.own) if library.own else ""),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
    except OSError:
        return
    running.returncode = 0  # nobody waits for it, and that is no leak to warn of


def command(folder: str) -> list[str]:
    """Give the command that refreshes the index of the book in a folder."""
    book = ["--book", folder] if folder else []
    return [sys.executable, "-m", "fixbook", "book", "refresh", *book]
