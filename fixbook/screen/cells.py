"""The painted rows on prompt-toolkit's screen: a row that stays as it is costs next to nothing.

prompt-toolkit copies every letter of every row into a new screen and compares it with the letter
before, at each painting. Here a row is made of letters only when it has changed; one that has not
is left blank on both screens that are compared, so that nothing is sent for it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from functools import cache
from typing import TYPE_CHECKING

from prompt_toolkit.application.current import get_app
from prompt_toolkit.layout.containers import Container
from prompt_toolkit.layout.dimension import Dimension
from prompt_toolkit.layout.screen import _CHAR_CACHE as CHARS
from prompt_toolkit.layout.screen import Char, Screen, WritePosition

from fixbook.render.lines import Line
from fixbook.screen.fit import Row

if TYPE_CHECKING:
    from prompt_toolkit.key_binding.key_bindings import NotImplementedOrNone
    from prompt_toolkit.layout.mouse_handlers import MouseHandlers
    from prompt_toolkit.mouse_events import MouseEvent

Cells = defaultdict[int, Char]
Painter = Callable[[int, int], Sequence[Row]]
"""Gives the rows for so many columns and rows."""
Clicked = Callable[["MouseEvent", int, int], "NotImplementedOrNone"]
"""Takes what the mouse did, with row and column."""


class RowsWindow(Container):
    """The part of the window that is painted row by row."""

    def __init__(self, painter: Painter, clicked: Clicked) -> None:
        self._painter = painter
        self._clicked = clicked
        self._shown: list[tuple[Line, Cells]] = []
        """What stands on the terminal, as far as `_on` is what was rendered last."""
        self._on: Screen | None = None

    def reset(self) -> None:
        """Keep nothing over a reset."""
        self._shown, self._on = [], None

    def preferred_width(self, max_available_width: int) -> Dimension:
        """Take what there is."""
        return Dimension()

    def preferred_height(self, width: int, max_available_height: int) -> Dimension:
        """Take all but the input line; said exactly, so that no row is shared out one by one."""
        return Dimension.exact(max(1, max_available_height - 1))

    def get_children(self) -> list[Container]:
        """Have no parts."""
        return []

    def write_to_screen(
        self,
        screen: Screen,
        mouse_handlers: MouseHandlers,
        write_position: WritePosition,
        parent_style: str,
        erase_bg: bool,
        z_index: int | None,
    ) -> None:
        """Put the rows on the screen that is rendered next."""
        top, width, height = write_position.ypos, write_position.width, write_position.height
        before = get_app().renderer.last_rendered_screen
        shown = self._shown if before is not None and before is self._on else []
        now: list[tuple[Line, Cells]] = []
        for at, row in enumerate(self._painter(width, height)[:height]):
            old = shown[at] if at < len(shown) else None
            if old is not None and before is not None:
                same = old[0] == row.line
                before.data_buffer[top + at] = BLANK if same else old[1]
                if same:
                    screen.data_buffer[top + at] = BLANK
                    now.append(old)
                    continue
            cells = screen.data_buffer[top + at] = cells_of(row.line)
            now.append((row.line, cells))
        self._shown, self._on = now, screen
        screen.width = max(screen.width, write_position.xpos + width)
        screen.height = max(screen.height, top + height)
        self._take_mouse(mouse_handlers, top, height)

    def _take_mouse(self, mouse_handlers: MouseHandlers, top: int, height: int) -> None:
        def moved(event: MouseEvent) -> NotImplementedOrNone:
            return self._clicked(event, event.position.y - top, event.position.x)

        everywhere: defaultdict[int, Callable[[MouseEvent], NotImplementedOrNone]]
        everywhere = defaultdict(lambda: moved)
        for at in range(height):
            mouse_handlers.mouse_handlers[top + at] = everywhere


def _blank() -> Cells:
    blank = CHARS[" ", ""]
    return defaultdict(lambda: blank)


BLANK = _blank()
"""A row that says nothing."""


def cells_of(line: Line) -> Cells:
    """Give the cells of a line; what takes no column joins the letter before it.

    A blank that does not break is shown as any other: prompt-toolkit would underline it.
    """
    cells = _blank()
    at = 0
    for styles, text in line:
        style = class_names(styles)
        if text.isascii():
            cells.update(
                zip(range(at, at + len(text)), [CHARS[c, style] for c in text], strict=True)
            )
            at += len(text)
            continue
        for letter in text.replace("\xa0", " "):
            char = CHARS[letter, style]
            if char.width:
                cells[at] = char
                for beside in range(at + 1, at + char.width):
                    cells[beside] = CHARS["", style]
                at += char.width
            elif at:
                last = at - 1
                while last and not cells[last].char:
                    last -= 1
                cells[last] = CHARS[cells[last].char + letter, cells[last].style]
    return cells


@cache
def class_names(style: str) -> str:
    """Give prompt-toolkit's name of a style; what is plain or quiet has none."""
    return " ".join(f"class:{one}" for one in style.split() if one not in ("plain", "quiet"))
