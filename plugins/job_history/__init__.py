"""The shop's own past jobs behind every write-up.

Each hook imports what it needs when it is called, so that a sheet pays for no database.
"""

from __future__ import annotations

from fixbook.api import Calculator, Command, JobSource, ScreenPanel, calculators_in, hook


@hook
def fixbook_commands() -> list[Command]:
    """Give `fixbook job`."""
    from .commands import configure, run

    return [Command("job", "the shop's jobs: record, link, bring in, see what held", configure, run)]


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


@hook
def fixbook_screen_panels() -> list[ScreenPanel]:
    """Give the job at the bench: started, noted, measured and closed on the screen."""
    from .panel import panel

    return [panel()]
