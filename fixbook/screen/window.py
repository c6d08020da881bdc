"""The screen on a terminal: prompt-toolkit's input line above rows that are painted whole."""

from __future__ import annotations

import asyncio
import contextlib
import os
import signal
import time
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from prompt_toolkit.application import Application
from prompt_toolkit.buffer import Buffer
from prompt_toolkit.document import Document
from prompt_toolkit.filters import Condition
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.keys import Keys
from prompt_toolkit.layout.containers import HSplit, VSplit, Window
from prompt_toolkit.layout.controls import BufferControl, FormattedTextControl
from prompt_toolkit.layout.layout import Layout
from prompt_toolkit.layout.processors import Processor, Transformation, TransformationInput
from prompt_toolkit.mouse_events import MouseButton, MouseEvent, MouseEventType
from prompt_toolkit.output.color_depth import ColorDepth
from prompt_toolkit.selection import SelectionState
from prompt_toolkit.styles import Style

from fixbook.render.clean import clean_letters, clean_line
from fixbook.screen.cells import RowsWindow
from fixbook.screen.events import Do, Event, Resized, Typed, Wheel
from fixbook.screen.fit import CUT, Row
from fixbook.screen.input_line import input_line, one_line
from fixbook.screen.keys import FIRST_PANEL, KEYS, LAST_PANEL
from fixbook.screen.paint import paint
from fixbook.screen.state import LONGEST_NOTE

if TYPE_CHECKING:
    from prompt_toolkit.formatted_text import StyleAndTextTuples
    from prompt_toolkit.input import Input
    from prompt_toolkit.key_binding.key_bindings import NotImplementedOrNone
    from prompt_toolkit.output import Output

    from fixbook.screen.runtime import Runtime

STYLES = Style.from_dict(
    {
        "title": "bold",
        "heading": "bold underline",
        "strong": "bold",
        "caution": "bold reverse",
        "good": "bold fg:ansiblack bg:ansigreen",
        "doubt": "bold fg:ansiblack bg:ansiyellow",
        "bad": "bold fg:ansiwhite bg:ansired",
        "chosen": "reverse",
        "label": "bold reverse",
    }
)
"""Text keeps the terminal's own colours; where there is colour, both of its sides are set, so that
it reads on a dark and on a light terminal. Without colour the words say the same."""
WHEEL_LINES = 3
ESCAPE_WAIT_S = 0.1
"""How long an Escape waits for more of a key's code; over a slow line codes come in parts."""


ENDED = 128
"""Added to a signal's number, the exit status of what it ended."""


class Harmless(Processor):
    """Shows a mark for each letter of the input line that would do anything but show."""

    def apply_transformation(self, transformation_input: TransformationInput) -> Transformation:
        """Change the letters that are shown; the text itself stays as it was typed."""
        pieces = transformation_input.fragments
        return Transformation([(style, clean_letters(text)) for style, text, *_ in pieces])


class Screen:
    """The application: one input line, and the painted rows."""

    def __init__(
        self,
        runtime: Runtime,
        *,
        environment: Mapping[str, str] | None = None,
        input: Input | None = None,
        output: Output | None = None,
    ) -> None:
        self._runtime = runtime
        self._environment = os.environ if environment is None else environment
        self._syncing = False
        self._labelled = ""
        """What the line in sight is for."""
        self.rows: list[Row] = []
        self.buffer = Buffer(
            multiline=False,
            on_text_changed=self._typed,
            read_only=Condition(lambda: not self._syncing and not self._takes()),
        )
        self.application: Application[None] = Application(
            layout=self._layout(),
            key_bindings=self._bindings(),
            style=STYLES,
            full_screen=True,
            mouse_support=True,
            color_depth=self._depth(),
            input=input,
            output=output,
            after_render=self._rendered,
        )
        self.application.ttimeoutlen = ESCAPE_WAIT_S
        self.application.timeoutlen = ESCAPE_WAIT_S
        self._begun = False
        self._hung_up = 0
        """The signal that ended the screen, if one did."""

    def run(self) -> int:
        """Show the screen until the user leaves, or the terminal goes away; the exit status."""
        try:
            self.application.run(pre_run=self._heed_signals, handle_sigint=False)
        except EOFError:  # the terminal went away without a signal
            return ENDED + 1
        except OSError:
            if not self._hung_up:  # else there is no terminal to be left as it was
                raise
        return self._hung_up and ENDED + self._hung_up

    def _heed_signals(self) -> None:
        """Leave in good order when the terminal is closed: what was typed last is saved."""
        loop = asyncio.get_running_loop()
        for name in ("SIGHUP", "SIGTERM"):
            with contextlib.suppress(AttributeError, RuntimeError):  # not on every system
                number = getattr(signal, name)
                loop.add_signal_handler(number, self._hang_up, int(number))

    def _hang_up(self, number: int) -> None:
        self._hung_up = number
        if self.application.is_running and not self.application.is_done:
            self.application.exit()

    def post(self, event: Event) -> None:
        """Let something happen, from any thread."""
        loop = self.application.loop
        if loop is not None and not loop.is_closed():
            loop.call_soon_threadsafe(self.send, event)

    def send(self, event: Event) -> None:
        """Let something happen, and show what became of it."""
        self._runtime.send(event)
        self._sync()
        if self._runtime.state.left and self.application.is_running:
            if not self.application.is_done:
                self.application.exit()
        else:
            self.application.invalidate()

    def _sync(self) -> None:
        """Let the input line show what the state says stands in it."""
        line = input_line(self._runtime.state)
        if (self.buffer.text, self._labelled) != (line.text, line.label):
            self._labelled = line.label
            self._syncing = True
            try:
                self.buffer.set_document(Document(line.text, len(line.text)), bypass_readonly=True)
            finally:
                self._syncing = False
            self._select(line.before)

    def _select(self, all_of_it: bool) -> None:
        """Select the whole line, so that the first letter takes its place, or nothing."""
        self.buffer.exit_selection()
        if all_of_it:
            self.buffer.selection_state = SelectionState()
            self.buffer.selection_state.enter_shift_mode()

    def _typed(self, _: Buffer) -> None:
        if not self._syncing:
            self.send(Typed(self.buffer.text))

    def _takes(self) -> bool:
        return input_line(self._runtime.state).takes

    def _rendered(self, _: Application[None]) -> None:
        if not self._begun:
            self._begun = True
            self._runtime.begin()

    def _depth(self) -> ColorDepth | None:
        if self._environment.get("NO_COLOR") or self._environment.get("TERM") == "dumb":
            return ColorDepth.DEPTH_1_BIT
        return None

    def _layout(self) -> Layout:
        typed = BufferControl(self.buffer, input_processors=[Harmless()])
        line = Window(typed, height=1, wrap_lines=False)
        label = Window(
            FormattedTextControl(self._label), height=1, dont_extend_width=True, wrap_lines=False
        )
        rows = RowsWindow(self._paint, self._mouse)
        return Layout(HSplit([VSplit([label, line], height=1), rows]), focused_element=line)

    def _paint(self, width: int, height: int) -> list[Row]:
        """Paint the state as it is now, at the size the terminal has now."""
        state = self._runtime.state
        if (state.columns, state.rows) != (width, height + 1):
            self._runtime.send(Resized(width, height + 1))
        self.rows = paint(self._runtime.state)
        return self.rows

    def _mouse(self, event: MouseEvent, at: int, column: int) -> NotImplementedOrNone:
        """Turn clicks and the wheel into events."""
        side = "left" if column <= self._runtime.state.left_width else "right"
        if event.event_type == MouseEventType.SCROLL_DOWN:
            self.send(Wheel(side, WHEEL_LINES))
        elif event.event_type == MouseEventType.SCROLL_UP:
            self.send(Wheel(side, -WHEEL_LINES))
        elif event.event_type == MouseEventType.MOUSE_UP and (
            event.button not in (MouseButton.RIGHT, MouseButton.MIDDLE)
        ):
            zones = self.rows[at].zones if 0 <= at < len(self.rows) else ()
            here = [one for one in zones if one.begin <= column < one.end]
            if here:
                self.send(Do(here[0].action, here[0].about, now()))
        return None

    def _label(self) -> StyleAndTextTuples:
        words = clean_line(input_line(self._runtime.state).label)
        most = max(8, self._runtime.state.columns // 2)
        words = words if len(words) <= most else words[: most - 1] + CUT
        return [("class:label", f" {words}: "), ("", " ")]

    def _bindings(self) -> KeyBindings:
        keys = KeyBindings()
        for name, action in KEYS.items():
            keys.add(name, eager=True)(self._doing(action))
        for number in range(FIRST_PANEL, LAST_PANEL + 1):
            keys.add(f"f{number}", eager=True)(self._doing("panel", str(number - FIRST_PANEL)))
        empty = Condition(lambda: not self.buffer.text)
        keys.add("backspace", eager=True, filter=empty)(self._doing("erase"))

        @keys.add(Keys.BracketedPaste, eager=True)
        def paste(event: KeyPressEvent) -> None:
            if self._takes():
                self.buffer.cut_selection()
                self.buffer.insert_text(one_line(event.data, LONGEST_NOTE))

        @keys.add(Keys.Any, eager=True, filter=Condition(lambda: not self._takes()))
        def nothing_to_type(event: KeyPressEvent) -> None:
            if event.data.isprintable():
                self.send(Typed(event.data))

        return keys

    def _doing(self, action: str, about: str = "") -> Callable[[KeyPressEvent], None]:
        def do(event: KeyPressEvent) -> None:
            self.send(Do(action, about, now()))

        return do


def now() -> str:
    """Give this minute, as `2026-11-25T14:30`."""
    return time.strftime("%Y-%m-%dT%H:%M")
