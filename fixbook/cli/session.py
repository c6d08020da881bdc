"""What a command needs of the terminal and of the open book."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from fixbook.errors import BookError
from fixbook.render.lines import PLAINER, Line, usable

if TYPE_CHECKING:
    from fixbook.app.bench import LibraryBench
    from fixbook.app.library import Library
    from fixbook.core.inputs import Input
    from fixbook.core.problems import Problem
    from fixbook.core.sheet import Block
    from fixbook.errors import PluginError

_CODES = {
    "title": "1",
    "heading": "1;4",
    "strong": "1",
    "caution": "1;7",
    "good": "1;32",
    "doubt": "1;33",
    "bad": "1;31",
    "quiet": "2",
    "found": "4",
}
SLOW_S = 1.0
"""What takes longer shows how far it is."""


class Session:
    """One run of the program: its streams, its width, and the book it is about."""

    def __init__(
        self,
        *,
        book: str | None = None,
        trace: bool = False,
        environment: Mapping[str, str] | None = None,
        out: TextIO | None = None,
        err: TextIO | None = None,
    ) -> None:
        self.book = book
        self.trace = trace
        self.environment = os.environ if environment is None else environment
        self.out = out or sys.stdout
        self.err = err or sys.stderr
        self._began = time.monotonic()
        self._progress_shown = False
        self._told: set[str] = set()
        self.shown: list[Block] | None = None
        """Collects what plugins show, where it is to be printed as well."""

    @cached_property
    def library(self) -> Library:
        """The open book; BookError where the one that was named is none."""
        from fixbook.app.folders import user_folders
        from fixbook.app.library import Library
        from fixbook.settings import find_book

        folders = user_folders()
        try:
            here = Path.cwd()
        except OSError as error:
            why = f"the folder you are in is not there any more: {error.strerror}"
            raise BookError(why, hint="go to another folder, and try again") from error
        place = find_book(self.book, self.environment, here, folders.data)
        library = Library(place, folders, trace=self.err if self.trace else None)
        library.on_plugin_error = self.tell_plugin_error
        for problem in library.shop_problems:
            self._tell(str(problem))
        return library

    @cached_property
    def bench(self) -> LibraryBench:
        """The bench that plugins work at."""
        from fixbook.app.bench import LibraryBench

        return LibraryBench(self.library, ask=self.ask, show=self.show, progress=self.progress)

    @property
    def width(self) -> int:
        """How many columns texts are laid out in."""
        import shutil

        return usable(shutil.get_terminal_size().columns)

    @property
    def colour(self) -> bool:
        """Whether styles are shown: on a terminal that can, unless NO_COLOR says otherwise."""
        plain = self.environment.get("NO_COLOR") or self.environment.get("TERM") == "dumb"
        return self.out.isatty() and not plain

    def write(self, lines: Sequence[Line]) -> None:
        """Print styled lines."""
        self.clear_progress()
        colour = self.colour
        text = "\n".join(
            "".join(_coloured(style, piece) if colour else piece for style, piece in line).rstrip()
            for line in lines
        )
        encoding = getattr(self.out, "encoding", None) or "utf-8"
        if not encoding.lower().startswith("utf"):
            text = text.translate(PLAINER)
        print(text, file=self.out)

    def faults(self, problems: Iterable[Problem]) -> list[Line]:
        """Lay faults of files out: broken between words on a terminal, elsewhere a line each."""
        from fixbook.render.clean import clean_line
        from fixbook.render.lines import wrap

        if not self.out.isatty():
            return [[("plain", clean_line(str(one)))] for one in problems]
        laid: list[Line] = []
        for one in problems:
            first, *more = wrap(str(one), self.width - 2)
            laid += [[("plain", first)], *[[("plain", f"  {line}")] for line in more]]
        return laid

    def write_json(self, value: object) -> None:
        """Print a value as JSON; everything beyond ASCII is escaped, so no terminal minds it."""
        import json

        self.clear_progress()
        print(json.dumps(value, indent=1), file=self.out)

    def full_cautions(self, hazards: Sequence[str]) -> set[str] | None:
        """Give the hazards whose full text is to be shown; None for all, as on paper."""
        if not self.out.isatty():
            return None
        from fixbook.app.cautioned import first_shown

        sitting = os.getsid(0) if hasattr(os, "getsid") else os.getppid()
        return first_shown(self.library.folders.cache, str(sitting), hazards, time.time())

    def show(self, blocks: Sequence[Block]) -> None:
        """Print blocks as a sheet shows them."""
        from fixbook.render.sheet import sheet_lines

        if self.shown is not None:
            self.shown += blocks
        self.write(sheet_lines(blocks, self.width))

    def ask(self, form: Sequence[Input]) -> Mapping[str, str]:
        """Ask for inputs on the terminal; CalculationError where there is none."""
        from fixbook.cli.asking import ask_inputs

        return ask_inputs(form, self)

    @property
    def can_ask(self) -> bool:
        """Whether there is somebody at a terminal to ask."""
        return sys.stdin is not None and sys.stdin.isatty() and self.out.isatty()

    def confirm(self, question: str) -> bool:
        """Ask for a yes; without a terminal the answer is no."""
        if not self.can_ask:
            return False
        from prompt_toolkit import prompt

        from fixbook.cli.prompting import laid

        return prompt(laid(f"{question} (yes/no)", self)).strip().lower() in ("y", "yes")

    def progress(self, what: str, done: int, whole: int) -> None:
        """Show how far something is, once it takes long enough for anyone to wonder."""
        if not self.err.isatty() or time.monotonic() - self._began < SLOW_S:
            return
        of = f" of {whole:,}" if whole else ""
        room = self._progress_room
        line = f"{what}: {done:,}{of}"[:room].ljust(room)
        print(f"\r{line}", end="", file=self.err, flush=True)
        self._progress_shown = True

    @property
    def _progress_room(self) -> int:
        # A line as wide as the terminal would wrap, and could not be taken away again.
        return min(60, max(1, self.width - 1))

    def clear_progress(self) -> None:
        """Take the progress line away."""
        if self._progress_shown:
            print("\r" + " " * self._progress_room + "\r", end="", file=self.err, flush=True)
            self._progress_shown = False

    def tell_plugin_error(self, error: PluginError) -> None:
        """Say once that a plugin failed and is off."""
        self._tell(error.why)

    def _tell(self, what: str) -> None:
        from fixbook.render.clean import clean_line

        if what not in self._told:
            self._told.add(what)
            print(f"fixbook: {clean_line(what)}", file=self.err)


def _coloured(style: str, text: str) -> str:
    code = _CODES.get(style)
    return f"\x1b[{code}m{text}\x1b[0m" if code and text.strip() else text
