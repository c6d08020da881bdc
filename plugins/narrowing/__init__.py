"""Which check next: from a complaint to the right sheet, learning from this shop's own jobs.

Each hook imports what it needs when it is called.
"""

from __future__ import annotations

from fixbook.api import Command, ScreenPanel, hook


@hook
def fixbook_commands() -> list[Command]:
    """Give `fixbook narrow`."""
    from .command import options, run

    summary = "which check next: from a complaint to the right sheet"
    return [Command("narrow", summary, options, run)]


@hook
def fixbook_screen_panels() -> list[ScreenPanel]:
    """Give the narrowing beside the results of the bench screen."""
    from .panel import panel

    return [panel()]
