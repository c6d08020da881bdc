"""A terminal for tests: the program runs on a real pseudo-terminal, an emulator reads its screen."""

from __future__ import annotations

import contextlib
import fcntl
import os
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Mapping, Sequence
from typing import Self

import pyte

KEYS = {
    "Enter": "\r", "Escape": "\x1b", "Tab": "\t", "Shift-Tab": "\x1b[Z", "Backspace": "\x7f",
    "Up": "\x1b[A", "Down": "\x1b[B", "Left": "\x1b[D", "Right": "\x1b[C",
    "PageUp": "\x1b[5~", "PageDown": "\x1b[6~", "Home": "\x1b[H", "End": "\x1b[F",
    "Ctrl-Home": "\x1b[1;5H", "Ctrl-End": "\x1b[1;5F", "Delete": "\x1b[3~",
    "F1": "\x1bOP", "F2": "\x1bOQ", "F3": "\x1bOR", "F4": "\x1bOS", "F5": "\x1b[15~",
    "F6": "\x1b[17~", "F7": "\x1b[18~", "F8": "\x1b[19~", "F9": "\x1b[20~",
    "Ctrl-Q": "\x11", "Ctrl-F": "\x06", "Ctrl-C": "\x03",
}  # fmt: skip
"""What a terminal sends for each key."""
PATIENCE_S = 20.0
QUIET_S = 0.3
"""A painting that was begun is done after so long without more of it."""


class Terminal:
    """The bench screen, or a command, on a terminal of a given size."""

    def __init__(
        self,
        columns: int = 80,
        rows: int = 24,
        *,
        words: Sequence[str] = (),
        environment: Mapping[str, str] | None = None,
    ) -> None:
        self.screen = pyte.Screen(columns, rows)
        self._lines = [""] * rows
        self._stream = pyte.ByteStream(self.screen)
        self.raw = b""
        self._master, slave = os.openpty()
        self._size(columns, rows)
        names = ("COLUMNS", "LINES", "NO_COLOR")
        kept = {name: text for name, text in os.environ.items() if name not in names}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "fixbook", *words],
            stdin=slave,
            stdout=slave,
            stderr=subprocess.PIPE,
            env={**kept, "TERM": "xterm-256color", **(environment or {})},
            start_new_session=True,
        )
        os.close(slave)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.kill()
        os.close(self._master)
        if self.process.stderr:
            self.process.stderr.close()

    def kill(self) -> None:
        """End the program as a power cut does."""
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()

    def resize(self, columns: int, rows: int) -> None:
        """Give the terminal another size, as a window manager does."""
        self._size(columns, rows)
        self.screen.resize(rows, columns)
        self._lines = [""] * rows
        self.screen.dirty.update(range(rows))
        self.process.send_signal(signal.SIGWINCH)

    def press(self, *keys: str) -> None:
        """Press keys, by name; anything else is typed as it stands."""
        for key in keys:
            self.write(KEYS.get(key, key).encode())

    def paste(self, text: str) -> None:
        """Paste text the way terminals do."""
        self.write(b"\x1b[200~" + text.encode() + b"\x1b[201~")

    def click(self, column: int, row: int) -> None:
        """Press and let go the left button; both count from 1."""
        self.write(f"\x1b[<0;{column};{row}M\x1b[<0;{column};{row}m".encode())

    def write(self, data: bytes) -> None:
        """Send bytes, reading what comes meanwhile so that neither side waits for the other."""
        left = memoryview(data)
        while left:
            readable, writable, _ = select.select([self._master], [self._master], [], PATIENCE_S)
            if readable:
                self._read()
            if writable:
                left = left[os.write(self._master, left[:512]) :]

    def until(
        self, wanted: str | Callable[[str], object], *, patience_s: float = PATIENCE_S
    ) -> str:
        """Read until the screen shows a text, or fulfils a condition; give the screen."""
        holds = wanted if callable(wanted) else (lambda shown: wanted in shown)
        end = time.monotonic() + patience_s
        while not holds(self.shown):
            left = end - time.monotonic()
            if left <= 0 or (not self._wait(left) and self.process.poll() is not None):
                raise AssertionError(f"never shown: {wanted}\n{self.shown}\n{self.errors}")
        return self.shown

    def settled(self, wanted: str | Callable[[str], object]) -> str:
        """Read until the screen shows a text and nothing more comes; give the screen."""
        self.until(wanted)
        while self._wait(QUIET_S):
            pass
        return self.shown

    def ended(self) -> int:
        """Read until the program ends; give its exit status."""
        end = time.monotonic() + PATIENCE_S
        while self.process.poll() is None and time.monotonic() < end:
            self._wait(0.05)
        return self.process.wait(timeout=1)

    @property
    def shown(self) -> str:
        """The screen as plain text, without blanks at the ends of its lines."""
        for at in self.screen.dirty.intersection(range(self.screen.lines)):
            cells = self.screen.buffer[at]
            text = "".join(cells[column].data for column in range(self.screen.columns))
            self._lines[at] = text.rstrip()
        self.screen.dirty.clear()
        return "\n".join(self._lines)

    @property
    def errors(self) -> str:
        """What the program said on its error stream, once it has ended."""
        if self.process.poll() is None or self.process.stderr is None:
            return ""
        return self.process.stderr.read().decode()

    def place(self, text: str) -> tuple[int, int]:
        """Read until the screen shows a text; give its first column and row, from 1."""
        lines = self.until(text).split("\n")
        row = next(at for at, line in enumerate(lines) if text in line)
        return lines[row].index(text) + 1, row + 1

    def _wait(self, left_s: float) -> bool:
        readable, _, _ = select.select([self._master], [], [], min(left_s, QUIET_S))
        return bool(readable) and self._read()

    def _read(self) -> bool:
        try:
            data = os.read(self._master, 65536)
        except OSError:  # the other side is closed
            return False
        self.raw += data
        self._stream.feed(data)
        return bool(data)

    def _read_raw(self) -> int:
        """Take what came without reading its meaning, for measuring."""
        return len(os.read(self._master, 65536))

    def _size(self, columns: int, rows: int) -> None:
        with contextlib.suppress(OSError):
            size = struct.pack("HHHH", rows, columns, 0, 0)
            fcntl.ioctl(self._master, termios.TIOCSWINSZ, size)


def steady(shown: str) -> str:
    """Give a screen without what differs from run to run: dates, minutes, blank lines at its end."""
    shown = re.sub(r"\d{4}-\d{2}-\d{2}", "0000-00-00", shown)
    return re.sub(r"\b\d{2}:\d{2}\b", "00:00", shown).rstrip() + "\n"
