"""Disks that are full, slow or read-only, files that go away, clocks that are wrong.

    python tests/hard/faults.py FOLDER [KIND ...]

Kinds: full, tmpfs (a real small disk; needs root), readonly (needs root, to give it up), lost,
vanishing, clocks, slow. Every case runs commands in processes of their own. Each line of JSON has
the counts of one kind; `speechless` (a traceback, or no word at all), `wrong` (what should have
been found or kept is not), `lost` (a write-up or job is damaged or gone) and `unhealed` (it does not
work once the fault is gone) have to be zero.
"""

from __future__ import annotations

import builtins
import contextlib
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import common

Counts = dict[str, int]
ZERO = {"commands": 0, "speechless": 0, "wrong": 0, "lost": 0, "unhealed": 0}
SIZE = 30
NOBODY = 65534
DRAFT = {
    "unit": "test-amp", "title": "Filed", "seen": "hums", "signs": ["low-drone: always"],
    "done": ["Unplug it.", "Measure it."], "hazards": "mains",
}  # fmt: skip
READING = (
    ("find", "hums"), ("sheet", "amp-00003"), ("proof",), ("kit", "amp-00003"), ("calc",),
    ("job", "list"), ("job", "show", "1"), ("book", "where"), ("narrow", "--help"), ("find", ""),
)  # fmt: skip
WRITING = (
    ("job", "new", "--unit", "test-amp", "--complaint", "hums on"),
    ("job", "note", "1", "words " * 3000),
    ("job", "import", "jobs.csv"),
    ("write", "amp-filed", "--from", "draft.json", "--no-editor"),
    ("write", "--rename", "amp-00005", "amp-renamed"),
    ("write", "--withdraw", "amp-00006"),
    ("proof", "--fix", "--yes"),
    ("book", "trust", "--yes"),
    ("book", "backup", "b.zip", "--replace"),
    ("book", "new", "other"),
    ("book", "refresh"),
)


def new_book(folder: Path) -> Path:
    """Make a book with write-ups, a plugin and a job, and a history and a draft beside it."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    book = common.new_book(folder / "book", SIZE)
    (book / "plugins").mkdir()
    (book / "plugins" / "one.py").write_text("x = 1\n", encoding="utf-8")
    rows = "".join(f"H{n},{n % 28 + 1}/3/2024,amp,hums,{'words ' * 30}\n" for n in range(300))
    (folder / "jobs.csv").write_text("Job,Date in,Type,Complaint,Notes\n" + rows, encoding="utf-8")
    (folder / "draft.json").write_text(json.dumps(DRAFT), encoding="utf-8")
    common.command(book, "job", "new", "--unit", "test-amp", "--complaint", "hums")
    return book


def intact(book: Path) -> bool:
    """Say whether every write-up is whole, under its old name or its new one, and every job."""
    names = {path.stem: path for path in (book / "entries" / "test-amp").glob("*.md")}
    whole = all(path.read_text(encoding="utf-8").endswith("\n") for path in names.values())
    wanted = {f"amp-{n:05d}" for n in range(SIZE)} - {"amp-00005"}
    there = wanted <= set(names) and ("amp-00005" in names or "amp-renamed" in names)
    with contextlib.closing(sqlite3.connect(book / "jobs.sqlite")) as jobs:
        good = jobs.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        first = jobs.execute("SELECT complaint FROM job WHERE number = '1'").fetchone()
    return whole and there and good and first == ("hums",)


def finds(book: Path, words: str = "hums") -> set[str]:
    """Give the ids that a search finds."""
    ran = common.command(book, "find", words, "--json", "--limit", "100")
    return {hit["id"] for hit in json.loads(ran.out)["hits"]} if ran.status in (0, 1) else set()


def each(
    book: Path, commands: tuple[tuple[str, ...], ...], counts: Counts, before: Callable[[], object]
) -> Iterator[common.Ran]:
    """Run commands, and count those that end without words."""
    for words in commands:
        ran = common.command(book, *words, before=before)
        counts["commands"] += 1
        if not ran.in_words:
            counts["speechless"] += 1
            print(ran, file=sys.stderr)
        yield ran


def heals(book: Path, counts: Counts) -> None:
    """Count what is lost, and what does not work once the fault is gone."""
    if not intact(book):
        counts["lost"] += 1
        print("lost", book, file=sys.stderr)
    for words in READING:
        ran = common.command(book, *words)
        if ran.status != 0 and words[0] != "proof":
            counts["unhealed"] += 1
            print("unhealed", ran, file=sys.stderr)


def full(folder: Path, limits: tuple[int, ...] = (0, 500, 5_000, 40_000)) -> Counts:
    """No file may grow beyond a limit."""
    import resource
    import signal

    counts = dict(ZERO)
    for limit in limits:

        def before(limit: int = limit) -> None:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

        for cold in (True, False):
            book = new_book(folder / "full")
            if not cold:
                finds(book)
            for _ in each(book, READING + WRITING, counts, before):
                pass
            heals(book, counts)
    return counts


def tmpfs(folder: Path) -> Counts:
    """A disk with room for so much and no more, with book and cache on it."""
    counts = dict(ZERO)
    folder.mkdir(parents=True, exist_ok=True)
    for size in ("1100k", "1300k", "1600k"):
        subprocess.run(
            ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)], check=True
        )
        try:
            book = new_book(folder / "small")
            filler = folder / "filler"
            with contextlib.suppress(OSError), open(filler, "wb") as file:
                for _ in range(10_000):
                    os.write(file.fileno(), bytes(4096))
            with open(filler, "r+b") as file:
                file.truncate(max(0, filler.stat().st_size - 16_384))
            for _ in each(book, READING + WRITING, counts, lambda: None):
                pass
            filler.unlink()
            heals(book, counts)
        finally:
            subprocess.run(["umount", "-l", str(folder)], check=True)
    return counts


def give_up_root() -> None:
    """Become somebody without rights, with the modules that are loaded already."""
    os.setgroups([])
    os.setgid(NOBODY)
    os.setuid(NOBODY)


def warm(book: Path) -> None:
    """Load what commands need while that can be read: this process is the parent of all."""
    from fixbook.cli.main import main

    saved = dict(os.environ)
    os.environ.update(common.environment(book))
    with (
        contextlib.redirect_stdout(open(os.devnull, "w")),
        contextlib.redirect_stderr(open(os.devnull, "w")),
    ):
        for words in READING + WRITING:
            with contextlib.suppress(SystemExit):  # of --help
                main(list(words))
    os.environ.clear()
    os.environ.update(saved)


def owned(place: Path, mode: int | None = None) -> None:
    """Give everything under a folder to nobody; with a mode, take rights away from folders."""
    for path in [place, *place.rglob("*")]:
        os.chown(path, NOBODY, NOBODY, follow_symlinks=False)
        if mode is not None and path.is_dir():
            path.chmod(mode)


def readonly(folder: Path) -> Counts:
    """The book, or the cache, or both may not be written, by somebody without rights."""
    counts = dict(ZERO)
    here = Path.cwd()
    warm_book = new_book(folder / "warm")
    os.chdir(warm_book.parent)
    warm(warm_book)
    os.chdir(here)
    for what in ("book", "cache", "both"):
        for cold in (True, False):
            book = new_book(folder / what)
            if not cold:
                finds(book)
            caches = common.folders(book).cache
            caches.mkdir(exist_ok=True)
            common.folders(book).config.mkdir(exist_ok=True)
            owned(folder)
            for place, named in ((book, "book"), (caches, "cache")):
                if what in (named, "both"):
                    owned(place, 0o500)
            before = contents(book)
            for _ in each(book, READING + WRITING, counts, give_up_root):
                pass
            if what != "cache":
                counts["wrong"] += contents(book) != before
            for place in (book, caches):
                owned(place, 0o700)
            heals_as_owner(book, counts)
    return counts


def contents(book: Path) -> dict[Path, bytes]:
    """Give what a book holds, but for what the database keeps beside itself."""
    return {path: path.read_bytes() for path in book.rglob("*")
            if path.is_file() and not path.name.endswith(("-wal", "-shm"))}  # fmt: skip


def heals_as_owner(book: Path, counts: Counts) -> None:
    """See that it works again, by the one whose files they are."""
    counts["lost"] += not intact(book)
    owned(book.parent)
    for words in READING:
        ran = common.command(book, *words, before=give_up_root)
        if ran.status != 0 and words[0] != "proof":
            counts["unhealed"] += 1
            print("unhealed", ran, file=sys.stderr)


def lost(folder: Path) -> Counts:
    """The right to read one file or folder is lost half way."""
    counts = dict(ZERO)
    here = Path.cwd()
    warm_book = new_book(folder / "warm")
    os.chdir(warm_book.parent)
    warm(warm_book)
    os.chdir(here)
    names = ("entries/test-amp/amp-00003.md", "entries/test-amp", "entries", "entries/vocabulary",
             "entries/vocabulary/words.yaml", "fixbook.toml", "jobs.sqlite", "plugins",
             "plugins/one.py", ".")  # fmt: skip
    for name in names:
        book = new_book(folder / "lost")
        finds(book)
        owned(folder)
        os.utime(book / "entries/test-amp/amp-00003.md", (1, 1))  # it has to be read again
        modes = {path: path.stat().st_mode for path in (book / name, book)}
        (book / name).chmod(0)
        for ran in each(book, READING, counts, give_up_root):
            if ran.words == ("find", "hums") and name.endswith("3.md"):
                counts["wrong"] += ran.status != 0
        for path, mode in modes.items():
            path.chmod(mode)
        heals_as_owner(book, counts)
    return counts


def vanishing(folder: Path) -> Counts:
    """A write-up goes away between being listed and being read."""
    counts = dict(ZERO)
    for number in range(0, SIZE, 3):
        book = new_book(folder / "vanishing")
        real = builtins.open

        def open_(file, *more, number=number, real=real, **named):  # type: ignore[no-untyped-def]
            if str(file).endswith(f"amp-{number:05d}.md"):
                with contextlib.suppress(OSError):
                    os.unlink(file)
            return real(file, *more, **named)

        def before(open_=open_) -> None:  # type: ignore[no-untyped-def]
            builtins.open = open_

        for words in (("find", "hums"), ("proof",), ("sheet", f"amp-{number:05d}")):
            common.add(book, number)
            for _ in each(book, (words,), counts, before):
                pass
        wanted = {f"amp-{n:05d}" for n in range(SIZE)} - {f"amp-{number:05d}"}
        counts["wrong"] += not wanted <= finds(book)
    return counts


def clocks(folder: Path) -> Counts:
    """Times of change lie in the past or the future, or go back; every change is seen."""
    counts = dict(ZERO)
    now = time.time_ns()
    hour = 3_600_000_000_000
    times = (1, 10**9, now - hour, now - 1, now, now + 1, now + hour, 2**62, now + 10**17)
    book = new_book(folder / "clocks")
    path = book / "entries" / "test-amp" / "amp-00003.md"
    for at in times:
        for then in (at, at - 1, at + 1, at - hour, 0):
            word, other = common.word(700), common.word(701)
            common.add(book, 3, 700)
            os.utime(path, ns=(max(at, 0), max(at, 0)))
            first = finds(book, word)
            common.add(book, 3, 701)
            os.utime(path, ns=(max(then, 0), max(then, 0)))
            second = finds(book, other)
            counts["commands"] += 2
            same = then == at and abs(at - time.time_ns()) > 2 * 10**9
            # Another file of the same size and time, hours old: nothing tells the two apart.
            if first != {"amp-00003"} or (second != {"amp-00003"} and not same):
                counts["wrong"] += 1
                print("clock", at - now, then - at, first, second, file=sys.stderr)
    for name in ("find", "sheet"):
        ran = common.command(book, name, "amp-00003", before=clock_back)
        counts["speechless"] += not ran.in_words
    return counts


def clock_back() -> None:
    """Set the program's clock back by a year, and let it go backwards."""
    real = time.time
    time.time = lambda: real() - 3e7 - (real() % 1)
    time.time_ns = lambda: int(time.time() * 1e9)


def slow(folder: Path) -> Counts:
    """Every file takes 20 ms to be looked at, opened or listed."""
    counts = dict(ZERO)
    book = new_book(folder / "slow")
    wanted = {f"amp-{n:05d}" for n in range(SIZE)}

    def before() -> None:
        for owner, name in ((os, "stat"), (os, "scandir"), (os, "replace"), (os, "fsync"),
                            (os, "lstat"), (builtins, "open")):  # fmt: skip
            real = getattr(owner, name)

            def late(*given, real=real, **named):  # type: ignore[no-untyped-def]
                time.sleep(0.02)
                return real(*given, **named)

            setattr(owner, name, late)

    for ran in each(book, READING + WRITING, counts, before):
        counts["wrong"] += ran.status == 2 or (ran.status == 1 and ran.words[0] != "proof")
        if ran.status and ran.words[0] != "proof":
            print("slow", ran, file=sys.stderr)
    counts["wrong"] += not wanted - {"amp-00005"} <= finds(book)
    heals(book, counts)
    return counts


KINDS = {
    "full": full, "tmpfs": tmpfs, "readonly": readonly, "lost": lost, "vanishing": vanishing,
    "clocks": clocks, "slow": slow,
}  # fmt: skip


def main(folder: Path, kinds: list[str]) -> list[Counts]:
    """Run these kinds, and print the counts of each."""
    found = []
    folder.mkdir(parents=True, exist_ok=True)
    folder.chmod(0o755)
    for kind in kinds:
        counts = KINDS[kind](folder / kind)
        print(json.dumps({"kind": kind, **counts}), flush=True)
        found.append(counts)
    return found


if __name__ == "__main__":
    every = main(Path(sys.argv[1]), sys.argv[2:] or list(KINDS))
    sys.exit(any(one[name] for one in every for name in ZERO if name != "commands"))
