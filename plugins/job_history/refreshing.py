"""`fixbook job figures`: bringing the kept figures up to what the database says now."""

from __future__ import annotations

import argparse

from fixbook.api import Bench

from .database import open_database
from .figures import refresh
from .shown import print_json, say


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Refresh the figures and say how many write-ups have any."""
    found = refresh(bench, open_database(bench))
    count = len(found.entries())
    if given.json:
        print_json({"entries": count, "version": found.head["version"]})
    else:
        say(bench, f"Figures of {count:,} write-ups are up to date.")
    return 0
