"""Starting the bench screen on an open library."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fixbook.app.library import Library
    from fixbook.screen.events import Event

SWITCH_S = 0.001
"""How long a lane may keep Python before a key is looked at; the usual 5 ms are felt."""


def run_screen(library: Library) -> int:
    """Show the bench screen until the user leaves; gives the exit status."""
    from fixbook.screen.runtime import Runtime
    from fixbook.screen.window import Screen

    waiting: list[Screen] = []

    def post(event: Event) -> None:
        for screen in waiting:
            screen.post(event)

    sys.setswitchinterval(SWITCH_S)
    runtime = Runtime(library, post)
    screen = Screen(runtime)
    waiting.append(screen)
    try:
        return screen.run()
    finally:
        runtime.end()
