"""The shop's own past jobs behind every write-up.

Each hook imports what it needs when it is called, so that a sheet pays for no database.
"""

from __future__ import annotations

from fixbook.api import Calculator, JobSource, calculators_in, hook


@hook
def fixbook_calculators() -> list[Calculator]:
    """Give the sums behind the figures of past jobs."""
    from . import calculators, returning

    return calculators_in({**vars(calculators), **vars(returning)})


@hook
def fixbook_job_sources() -> list[JobSource]:
    """Give the ways to read history: delimited text, spreadsheets, JSON, a database's table."""
    from .sources import SOURCES

    return list(SOURCES)
