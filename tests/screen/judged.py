"""The screen's own application in this process, on an emulated terminal, every painting judged.

Keys go in as the bytes that a terminal sends; every answer comes at once, so that nothing has to be
waited for but the painting. The bytes that the screen writes are split into text and control
sequences; the emulator's cells are held against the rows as they were painted.
"""

from __future__ import annotations

import asyncio
import io
import re
import traceback
from collections import deque
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any, Self
from unicodedata import category, combining, normalize

import pyte
from prompt_toolkit.data_structures import Size
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.key_binding import KeyBindings
from prompt_toolkit.output.vt100 import Vt100_Output
from terminal import KEYS
from wcwidth import wcwidth

from fixbook.app.library import Library
from fixbook.render.lines import Line
from fixbook.screen.events import Event, Hears
from fixbook.screen.runtime import Runtime
from fixbook.screen.window import Screen

DONE = "\x1b[34~"
"""A key of no keyboard, after which the painting is judged."""
PASTE, PASTED = "\x1b[200~", "\x1b[201~"
INVISIBLE = frozenset(
    map(
        chr,
        (
            0x00AD, 0x061C, 0x180E, *range(0x200B, 0x2010), *range(0x2028, 0x202F),
            *range(0x2060, 0x2070), 0xFEFF, *range(0xFFF9, 0xFFFC), *range(0xE0000, 0xE0080),
        ),
    )
)  # fmt: skip
"""Letters that turn, join, tag or break a line and are not seen themselves."""
_SEQUENCE = re.compile(
    "\x1b\\[[0-?]*[ -/]*[@-~]"  # CSI
    "|\x1b[\\]PX^_][^\x07\x1b\x9c]*(?:\x07|\x1b\\\\|\x9c)?"  # OSC, DCS, SOS, PM, APC
    "|\x1b[ -/]*[0-~]?"  # the other escapes
    "|[\x00-\x1f\x7f-\x9f]"
)
_LOOK = re.compile("\x1b\\[[0-9;]*m")
_MOVES = re.compile("\x1b\\[[0-9;]*([A-HJKf])")
BOLD, UNDERLINE, REVERSE = "bold", "underscore", "reverse"
LOOKS: dict[str, tuple[set[str], str, str]] = {
    "title": ({BOLD}, "", ""),
    "heading": ({BOLD, UNDERLINE}, "", ""),
    "strong": ({BOLD}, "", ""),
    "caution": ({BOLD, REVERSE}, "", ""),
    "good": ({BOLD}, "black", "green"),
    "doubt": ({BOLD}, "black", "brown"),
    "bad": ({BOLD}, "brightwhite", "red"),
    "chosen": ({REVERSE}, "", ""),
}
"""Each style's marks, foreground and background, as the emulator calls them."""

Look = tuple[object, ...]
"""Marks, foreground and background."""
Cell = tuple[str, Look]


def controls(written: str) -> set[str]:
    """Give the control sequences in what was written; numbers of cursor moves are left out."""
    return {_MOVES.sub("\x1b[#\\1", one) for one in _SEQUENCE.findall(written)}


def foreign(found: set[str], known: set[str]) -> list[str]:
    """Give the sequences that are not known; a look is, where each of its attributes is."""
    parts = {part for one in known if _LOOK.fullmatch(one) for part in one[2:-1].split(";")}
    return [
        ascii(one)
        for one in found - known
        if not (_LOOK.fullmatch(one) and parts.issuperset(one[2:-1].split(";")))
    ]


def hidden(written: str) -> set[str]:
    """Give the letters between the sequences that are not seen but do something."""
    text = set(_SEQUENCE.sub("", written))
    return {one for one in text if one in INVISIBLE or category(one) in ("Cc", "Cs", "Zl", "Zp")}


class Judged:
    """The bench screen of a library, with what was wrong with its paintings in `faults`."""

    def __init__(self, library: Library, columns: int = 80, rows: int = 24) -> None:
        self.size = Size(rows=rows, columns=columns)
        self.controls: set[str] = set()
        self.faults: list[tuple[str, str]] = []
        """Kind (`hidden`, `coloured`, `misfit`, `raised`, `titled`, `lasting`) and what."""
        self.paintings = 0
        self._rows: list[Line] = []
        self.played = Played(library, lambda what: self.faults.append(("raised", what)))
        self.emulator = pyte.Screen(columns, rows)
        self._stream = pyte.Stream(self.emulator)
        self._out = _Caught()
        self._runner = asyncio.Runner()
        self._painted: asyncio.Future[None] | None = None

    def __enter__(self) -> Self:
        self._pipe_of = create_pipe_input()
        self._pipe = self._pipe_of.__enter__()
        output = Vt100_Output(self._out, lambda: self.size, term="xterm-256color", enable_cpr=False)
        self.window = Screen(self.played, environment={}, input=self._pipe, output=output)
        bindings = self.window.application.key_bindings
        assert isinstance(bindings, KeyBindings)
        bindings.add("f20", eager=True)(lambda event: self._asked())
        self._runner.run(self._start())
        self.press()
        return self

    def __exit__(self, *_: object) -> None:
        if not self._task.done():
            self._task.cancel()
            self._runner.run(asyncio.wait([self._task]))
        self._runner.close()
        self.played.end()
        self._pipe_of.__exit__(None, None, None)

    @property
    def state(self) -> Any:
        """The screen's state as it is now."""
        return self.played.state

    def press(self, *keys: str) -> None:
        """Press keys by name, or type what is given; then judge the painting."""
        self._send("".join(KEYS.get(key, key) for key in keys))

    def paste(self, text: str, before: str = "") -> None:
        """Paste a text as terminals do, after other keys: the mark of its end cannot be in it."""
        self._send(f"{before}{PASTE}{text.replace(PASTED, '')}{PASTED}")

    def leave(self) -> None:
        """Leave; it is a fault not to be able to, or to leave the terminal in another state."""
        plain = pyte.Screen(self.size.columns, self.size.rows)
        self._pipe.send_text(KEYS["Ctrl-Q"])
        ended, _ = self._runner.run(asyncio.wait([self._task], timeout=20))
        self._take()
        if not ended or self._task.exception() is not None:
            self.faults.append(("raised", "it does not leave"))
        if self.emulator.mode != plain.mode or self.emulator.cursor.hidden:
            self.faults.append(("lasting", f"modes {self.emulator.mode}"))

    def _send(self, text: str) -> None:
        self._pipe.send_bytes((text + DONE).encode("utf-8", "surrogatepass"))
        self._runner.run(self._wait())
        self._judge(self._take())

    async def _start(self) -> None:
        loop = asyncio.get_running_loop()
        loop.set_exception_handler(lambda _, about: self._raised(about))
        application = self.window.application
        application.after_render += lambda _: self._rendered()
        self._asking = False
        self._painted = loop.create_future()
        self._asking = True
        running = application.run_async(handle_sigint=False, set_exception_handler=False)
        self._task = asyncio.ensure_future(running)
        await asyncio.wait_for(self._painted, 20)
        self._asking, self._painted = False, loop.create_future()

    async def _wait(self) -> None:
        assert self._painted is not None
        await asyncio.wait([self._painted, self._task], timeout=20, return_when="FIRST_COMPLETED")
        if not self._painted.done():
            error = self._task.exception() if self._task.done() else None
            raise AssertionError(f"the screen hangs or has ended: {error!r} {self.faults}")
        self._asking = False
        self._painted = asyncio.get_running_loop().create_future()

    def _asked(self) -> None:
        self._asking = True
        self.window.application.invalidate()

    def _rendered(self) -> None:
        if self._asking and self._painted is not None and not self._painted.done():
            self._painted.set_result(None)

    def _raised(self, about: dict[str, Any]) -> None:
        self.faults.append(("raised", repr(about.get("exception") or about.get("message"))))

    def _take(self) -> str:
        data = self._out.taken()
        written = data.decode("utf-8", "replace")
        self._stream.feed("".join(one for one in written if not _stops_the_emulator(one)))
        self.controls |= controls(written)
        self.faults += [("hidden", ascii(one)) for one in sorted(hidden(written))]
        return written

    def _judge(self, _: str) -> None:
        self.paintings += 1
        screen, rows = self.emulator, self.window.rows
        if (screen.title, screen.icon_name) != ("", ""):
            self.faults.append(("titled", ascii(screen.title)))
        if len(rows) != self.size.rows - 1:
            self.faults.append(("misfit", f"{len(rows)} rows"))
        dirty, before = set(screen.dirty), self._rows
        screen.dirty.clear()
        self._rows = [row.line for row in rows]
        for at, row in enumerate(rows, 1):
            if at not in dirty and at <= len(before) and before[at - 1] == row.line:
                continue  # it was judged as it stands
            wanted, got = list(_wanted(row.line)), list(self._cells(at))
            if len(wanted) > self.size.columns:
                self.faults.append(("misfit", ascii((at, row.line))))
            for kind, which in (("misfit", 0), ("coloured", 1)):
                if [one[which] for one in _trimmed(wanted)] != [
                    one[which] for one in _trimmed(got)
                ]:
                    self.faults.append((kind, ascii((at, row.line, "".join(c for c, _ in got)))))
        width, chosen = self._label_width(), self.window.buffer.selection_state is not None
        looks = {PLAIN_LOOK, _look("chosen")} if chosen else {PLAIN_LOOK}
        for at, cell in enumerate(self._cells(0) if 0 in dirty else ()):
            label = at < width
            if (cell[1] == LOOK_OF_LABEL) != label or (not label and cell[1] not in looks):
                self.faults.append(("coloured", f"the input line, column {at}: {cell}"))
                break

    def _label_width(self) -> int:
        shown = self.window._label()
        return sum(max(0, wcwidth(letter)) for letter in shown[0][1])

    def _cells(self, at: int) -> Iterator[Cell]:
        line = self.emulator.buffer[at]
        for column in range(self.emulator.columns):
            cell = line[column]
            yield _seen(cell)


@cache
def _seen(cell: pyte.screens.Char) -> Cell:
    """Give a cell's letter and its look."""
    fg, bg = (("" if one == "default" else one) for one in (cell.fg, cell.bg))
    marks = {name for name in (BOLD, UNDERLINE, REVERSE) if getattr(cell, name)}
    odd = cell.italics or cell.strikethrough or cell.blink
    return _settled(_bare(cell.data), (frozenset(marks), fg, bg, *(["odd"] if odd else [])))


def _settled(letter: str, look: Look) -> Cell:
    """A blank that is bold and nothing else looks as any blank."""
    bold = look == (frozenset({BOLD}), "", "")
    return letter, PLAIN_LOOK if letter == " " and bold else look


class Played(Runtime):
    """The runtime without threads: what is asked for is done at once, in the order of its lanes."""

    def __init__(self, library: Library, raised: Callable[[str], None]) -> None:
        self._events: deque[Event] = deque()
        self._jobs: dict[str, Callable[[], None]] = {}
        self._busy = False
        super().__init__(library, self._events.append)
        self._raised = raised
        for lane in (self._search, self._table, self._saver):
            lane.ask = self._jobs.__setitem__  # type: ignore[method-assign]

    def begin(self) -> None:
        """Open the book; the window is told by the first key."""
        self._open()
        self.send(Hears(""))

    def send(self, event: Event) -> None:
        """Let something happen, and everything that follows from it."""
        super().send(event)
        if self._busy:
            return
        self._busy = True
        while self._events or self._jobs:
            if self._events:
                super().send(self._events.popleft())
                continue
            job = self._jobs.pop(next(iter(self._jobs)))
            try:
                job()
            except Exception as error:  # noqa: BLE001  # it is counted
                self._raised("".join(traceback.format_exception(error)[-3:]))
        self._busy = False


class _Caught(io.StringIO):
    """An output that keeps the bytes."""

    encoding = "utf-8"

    def __init__(self) -> None:
        super().__init__()
        self.buffer = io.BytesIO()

    def isatty(self) -> bool:
        """Be a terminal."""
        return True

    def taken(self) -> bytes:
        """Give what came since the last time."""
        data = self.buffer.getvalue()
        self.buffer.seek(0)
        self.buffer.truncate()
        return data


@cache
def _stops_the_emulator(letter: str) -> bool:
    """Say whether pyte leaves out all that follows a letter: variation selectors, fillers."""
    return letter > "~" and wcwidth(letter) == 0 and not combining(letter)


@cache
def _look(style: str) -> Look:
    marks: set[str] = set()
    fg = bg = ""
    for name in style.split():
        more, new_fg, new_bg = LOOKS.get(name, (set(), "", ""))
        marks, fg, bg = marks | more, new_fg or fg, new_bg or bg
    return frozenset(marks), fg, bg


PLAIN_LOOK = _look("")
LOOK_OF_LABEL = _look("caution")


def _wanted(line: list[tuple[str, str]]) -> Iterator[Cell]:
    """Give the cells of a painted line, as columns are counted letter by letter."""
    for style, text in line:
        look = _look(style)
        for letter in text:
            width = wcwidth(letter)
            if width > 0:
                yield _settled(" " if letter == "\xa0" else _bare(letter), look)
            if width == 2:
                yield "", look


@cache
def _bare(text: str) -> str:
    """Give the first letter that takes a column, without accents: terminals join them as they do."""
    return "".join(one for one in normalize("NFD", text) if wcwidth(one) > 0)


def _trimmed(
    cells: list[Cell],
) -> list[Cell]:
    while cells and cells[-1][0] in ("", " ") and cells[-1][1] == PLAIN_LOOK:
        cells.pop()
    return cells
