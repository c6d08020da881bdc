"""The parts list of one or several write-ups, ready to pick, held against the shop's stock list.

Each hook imports what it needs when it is called, so that a search pays for no stock list.
"""

from __future__ import annotations

from fixbook.api import Command, Entry, ScreenPanel, hook

__all__ = ["fixbook_commands", "fixbook_screen_panels", "fixbook_summary"]


@hook
def fixbook_commands() -> list[Command]:
    """Give `fixbook kit`."""
    from .command import configure, run

    return [Command("kit", "list the parts and tools of write-ups, ready to pick", configure, run)]


@hook
def fixbook_summary(entry: Entry) -> str:
    """Say in a line what a write-up takes."""
    parts = sum(part.count for part in entry.parts)
    words = [f"{parts} part{'s' if parts != 1 else ''}" if parts else ""]
    words.append(f"about {entry.minutes} min" if entry.minutes else "")
    words.append(entry.skill.replace("-", " "))
    return ", ".join(word for word in words if word)


@hook
def fixbook_screen_panels() -> list[ScreenPanel]:
    """Show the kit of the sheet on the bench screen."""
    from .panel import panel

    return [panel()]
