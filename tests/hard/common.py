"""What the hard scripts share: a made-up book, and a process that is killed at some moment."""

from __future__ import annotations

import importlib.util
import os
import random
import select
import shutil
import signal
import sys
import time
import traceback
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import NamedTuple

from fixbook.app.folders import Folders
from fixbook.app.library import Library
from fixbook.settings import Place

TESTS = Path(__file__).parents[1]
WORDS = """\
units: {test-amp: {name: test amplifier}}
signs:
  low-drone: {ask: Does it drone on?, background: {seen: 0.1}, lay: [low note all the time]}
hazards: {mains: {short: Mains can kill.}}
"""
ENTRY = """\
---
id: {id}
kind: fault
title: {title}
unit: test-amp
section: output
signs: {{low-drone: always}}
hazards: [mains]
state: written
---

## Step by step

1. Unplug it.
2. {words}
"""
END = time.monotonic() + float(os.environ.get("FIXBOOK_TEST_SECONDS", "inf"))
"""When a script that is given a time stops, with the counts that it has by then."""
SYLLABLES = "ba ce di fo gu ha ke li mo nu pa re si to vu".split()

Say = Callable[[str], None]


def turns(count: int) -> Iterator[int]:
    """Count up, while there is time."""
    for number in range(count):
        if time.monotonic() > END:
            return
        yield number


def word(number: int) -> str:
    """Give a made-up word that stands for a number, and for no other."""
    made = ""
    for _ in range(4):
        number, at = divmod(number, len(SYLLABLES))
        made += SYLLABLES[at]
    return f"qu{made}x"


def add(book: Path, number: int, key: int | None = None) -> str:
    """Write the write-up of a number into a book; what finds it is `word(key)`."""
    name = f"amp-{number:05d}"
    chance = random.Random(number)
    words = " ".join(word(chance.randrange(3000, 9000)) for _ in range(60))
    title = f"Hums {word(number if key is None else key)}"
    path = book / "entries" / "test-amp" / f"{name}.md"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(ENTRY.format(id=name, title=title, words=words), encoding="utf-8")
    return name


def new_book(folder: Path, count: int) -> Path:
    """Make a book of so many write-ups, the starter book not beside it."""
    if folder.exists():
        shutil.rmtree(folder)
    (folder / "entries" / "vocabulary").mkdir(parents=True)
    (folder / "entries" / "vocabulary" / "words.yaml").write_text(WORDS, encoding="utf-8")
    (folder / "fixbook.toml").write_text('name = "Hard"\nstarter = false\n', encoding="utf-8")
    for number in range(count):
        add(folder, number)
    return folder


def folders(book: Path) -> Folders:
    """Give the user's folders of a test book, beside it."""
    return Folders(*(book.with_name(f"{book.name}-{what}") for what in ("cache", "data", "config")))


def library(book: Path) -> Library:
    """Open a book anew, as another command does."""
    return Library(Place(book, "test"), folders(book))


def environment(book: Path) -> dict[str, str]:
    """Give an environment with nothing of the user's own."""
    kept = {name: text for name, text in os.environ.items() if not name.startswith("FIXBOOK_")}
    homes = {f"XDG_{name}_HOME": f"{book}-{name.lower()}" for name in ("CACHE", "DATA", "CONFIG")}
    return {**kept, **homes, "FIXBOOK_BOOK": str(book), "COLUMNS": "80", "NO_COLOR": "1"}


def killed(work: Callable[[Say], object], after_s: float) -> tuple[bool, list[str]]:
    """Do something in a process of its own and kill it; whether it was still at it, and its words.

    The clock starts when it begins. What it started goes with it.
    """
    hear, say = os.pipe()
    child = os.fork()
    if not child:
        os.close(hear)
        os.setpgid(0, 0)
        status = 1
        try:
            os.write(say, b"begin\n")
            work(lambda text: os.write(say, f"{text}\n".encode()))
            status = 0
        finally:
            os._exit(status)
    os.close(say)
    said = os.read(hear, 6)
    select.select([], [], [], after_s)
    ended, status = os.waitpid(child, os.WNOHANG)
    if not ended:
        os.killpg(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
    elif status:
        raise RuntimeError(f"the work failed by itself: {said!r}")
    while data := os.read(hear, 65536):
        said += data
    os.close(hear)
    return not ended, said.decode().split("\n")[1:-1]


class Ran(NamedTuple):
    """What a command did."""

    words: tuple[str, ...]
    status: int
    """Below zero: the signal that ended it."""
    out: str
    err: str
    seconds: float

    @property
    def in_words(self) -> bool:
        """Whether it ended as it should: an answer, or an error that a person can read."""
        said = self.out + self.err
        bad = "Traceback" in said or "fault of the program" in said
        return self.status in (0, 1, 2) and not bad and bool(self.status != 2 or said.strip())


def command(
    book: Path, *words: str, before: Callable[[], object] = lambda: None, cwd: Path | None = None
) -> Ran:
    """Run a command line in a process of its own, forked; `before` is called in it first."""
    pipes = [os.pipe() for _ in range(2)]  # not files: those may be limited in size
    began = time.monotonic()
    child = os.fork()
    if not child:
        status = 70
        try:
            for (_, write), handle in zip(pipes, (1, 2), strict=True):
                os.dup2(write, handle)
            sys.stdout, sys.stderr = (open(n, "w", closefd=False) for n in (1, 2))  # noqa: SIM115
            os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
            sys.stdin = open(0, closefd=False)  # noqa: SIM115
            os.environ.clear()
            os.environ.update(environment(book))
            os.chdir(cwd or book.parent)
            before()
            from fixbook.cli.main import main

            status = main(list(words))
            for stream in (sys.stdout, sys.stderr):
                stream.flush()
        except SystemExit as error:  # of --help
            sys.stdout.flush()
            status = int(error.code or 0)
        except BaseException:  # noqa: BLE001  # it is shown as the traceback that a user would see
            os.write(2, traceback.format_exc().encode())
        finally:
            os._exit(status)
    texts = {}
    for read, write in pipes:
        os.close(write)
        texts[read] = b""
    left = set(texts)
    while left:
        for read in select.select(list(left), [], [])[0]:
            data = os.read(read, 65536)
            texts[read] += data
            if not data:
                os.close(read)
                left.discard(read)
    _, ended = os.waitpid(child, 0)
    out, err = (data.decode("utf-8", "backslashreplace") for data in texts.values())
    return Ran(words, os.waitstatus_to_exitcode(ended), out, err, time.monotonic() - began)


def module(path: str) -> ModuleType:
    """Import a module of the tests by its path under tests/."""
    spec = importlib.util.spec_from_file_location(Path(path).stem, TESTS / path)
    if spec is None or spec.loader is None:
        raise ImportError(path)
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made
