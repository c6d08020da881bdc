"""Refreshing the figures and the index of a shared database in a process of its own."""

from __future__ import annotations

import subprocess
import sys

from fixbook.api import Bench


def refresh_in_background(bench: Bench) -> None:
    """Start `fixbook book refresh` for this book and do not wait; a failure costs freshness only."""
    try:
        running = subprocess.Popen(
            command(bench),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
    except OSError:
        return
    running.returncode = 0  # nobody waits for it, and that is no leak to warn of


def command(bench: Bench) -> list[str]:
    """Give the command that refreshes what this book says of past jobs."""
    book = ["--book", bench.folder] if bench.folder else []
    return [sys.executable, "-m", "fixbook", "book", "refresh", *book]
