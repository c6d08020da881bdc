"""Every command that writes, on a disk that fills up at each stage of its work. Needs root.

    python tests/hard/full_disk.py FOLDER [WAY ...]

Ways: book (the book and what is written beside it lie on the full disk), cache, home (data and
settings), output (what is printed goes to a full disk). The disk is a tmpfs with so many pages
left, or so many files, from none up to where the command has all it wants. Each line of JSON has
the counts of one way: `lost` (an entry, job, picture, draft or setting is neither what it was nor
what it was to be), `leaked` (a half or temporary file is left once the command was given again),
`raised` (a traceback, or the cache kept an answer away), `unsaid` (the message does not say that
the disk is full and what to do) and `unhealed` (with room, the same command or the book does not
work). All have to be zero. FIXBOOK_TEST_CASES=TEXT takes the commands with that text alone.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Self

sys.path.insert(0, str(Path(__file__).parent))
import common
from full_disk_cases import CASES, KEEPING, Case, environment, make, ran

from fixbook.search.folder import LOCK
from fixbook.search.manifest import read_manifest
from fixbook.store.writing import PARTIAL

Counts = dict[str, int]
ZERO = {"commands": 0, "lost": 0, "leaked": 0, "raised": 0, "unsaid": 0, "unhealed": 0}
WAYS = ("book", "cache", "home", "output")
PAGE = 4096
BALLAST = ".ballast"
PAGES = (0, 1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256, 384, 512, 1024, 4096)
FILES = (0, 1, 2, 3, 5, 8, 13, 21, 34, 55, 89, 144, 1000)
FULL = re.compile(r"no space left|disk is full|database or disk is full|the disk has [0-9,]+ free")
REMEDY = re.compile(r"make room|free some space")


def holds(path: Path) -> str:
    """Give what a file holds, as text that is the same for the same content."""
    if path.suffix == ".sqlite":
        try:
            with contextlib.closing(sqlite3.connect(path)) as jobs:
                text = "\n".join(line for line in jobs.iterdump() if "identity" not in line)
        except sqlite3.Error as error:
            text = f"damaged: {error}"
    elif path.suffix == ".zip":
        try:
            with zipfile.ZipFile(path) as packed:
                text = repr([one.filename for one in packed.infolist()]) + repr(packed.testzip())
        except zipfile.BadZipFile as error:
            text = f"damaged: {error}"
    else:
        text = path.read_bytes().decode("utf-8", "backslashreplace")
    text = re.sub(r"\d\d:\d\d(:\d\d(\.\d+)?)?", "TIME", text)
    return hashlib.sha256(re.sub(r"new-\d+-\d+-\d+", "KEY", text).encode()).hexdigest()


def state(run: Path) -> dict[str, str]:
    """Give what all files that are no cache hold, by path; what SQLite keeps beside is left out."""
    found = {}
    for part in ("disk", "home"):
        for path in sorted((run / part).rglob("*")):
            if path.is_file() and not path.name.endswith(("-wal", "-shm", LOCK)):
                found[str(path.relative_to(run))] = holds(path)
    return found


def strays(run: Path) -> set[str]:
    """Give the files in the cache that nothing there stands for."""
    found = set()
    for path in (run / "cache").rglob("*"):
        odd = path.name.startswith(PARTIAL) or re.search(r"\.(new|\d+)$", path.name)
        if path.parent.name == "index" and (path.parent / "index.json").exists():
            manifest = read_manifest(path.parent)
            odd = odd or (manifest and path.name not in {*manifest.names, LOCK})
        if odd:
            found.add(str(path.relative_to(run)))
    return found


class Disk:
    """A tmpfs in the place of a folder, with what lay there."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def __enter__(self) -> Self:
        aside = self.folder.with_name(f"{self.folder.name}-aside")
        self.folder.rename(aside)
        self.folder.mkdir()
        self._mount("size=64m,nr_inodes=10000", "tmpfs", "-t", "tmpfs")
        shutil.copytree(aside, self.folder, dirs_exist_ok=True)
        shutil.rmtree(aside)
        (self.folder / BALLAST).write_bytes(b"x")  # a disk of size 0 would have no limit
        return self

    def __exit__(self, *_: object) -> None:
        subprocess.run(["umount", "-l", str(self.folder)], check=True)

    def leave(self, pages: int, files: int) -> None:
        """Leave so much room."""
        now = os.statvfs(self.folder)
        size = (now.f_blocks - now.f_bfree) * now.f_frsize + pages * PAGE
        self._mount(f"remount,size={size},nr_inodes={now.f_files - now.f_ffree + files}")

    def make_room(self) -> None:
        """Let there be room again."""
        (self.folder / BALLAST).unlink()
        self._mount("remount,size=64m,nr_inodes=10000")

    def _mount(self, options: str, *more: str) -> None:
        subprocess.run(["mount", *reversed(more), "-o", options, str(self.folder)], check=True)


def warm(run: Path) -> None:
    """Load what commands need into this process, which is the parent of all."""
    from fixbook.cli.main import main as command

    here, saved = Path.cwd(), dict(os.environ)
    os.environ.update(environment(run))
    os.chdir(run / "disk")
    with (
        open(os.devnull, "w", encoding="utf-8") as none,
        contextlib.redirect_stdout(none),
        contextlib.redirect_stderr(none),
    ):
        for case in CASES:
            if case.work is None:
                command(list(case.words))
    os.chdir(here)
    os.environ.clear()
    os.environ.update(saved)


def copied(pristine: Path, run: Path) -> None:
    """Put a fresh copy of the book and all beside it in the place of a run."""
    shutil.rmtree(run, ignore_errors=True)
    shutil.copytree(pristine, run)


def rooms(step: int) -> Iterator[tuple[int, int]]:
    """Give rooms on a disk in pages and files: first pages, then files are scarce."""
    yield from ((pages, 9000) for pages in PAGES[::step])
    yield from ((16_000, files) for files in FILES[::step])


class Way:
    """Runs all cases one way, and counts."""

    def __init__(self, folder: Path, way: str) -> None:
        self.folder, self.way = folder, way
        self.counts = dict(ZERO)

    def blame(self, column: str, case: Case, room: object, what: object) -> None:
        """Count and tell something that must not be."""
        self.counts[column] += 1
        print(column, self.way, case.words[:3], room, what, file=sys.stderr, flush=True)

    def run(self, cases: tuple[Case, ...]) -> Counts:
        """Run the cases."""
        pristine, run = self.folder / "pristine", self.folder / "run"
        shutil.rmtree(pristine, ignore_errors=True)
        make(run)  # in the place where all copies of it will stand: that is in the cache's name
        shutil.copytree(run, pristine)
        warm(run)
        for case in cases:
            if time.monotonic() > common.END:
                break
            copied(pristine, run)
            for words in case.before:
                ran(run, Case(words))
            before = state(run)
            wanted = ran(run, case)
            after = state(run)
            if wanted.status not in (0, 1):
                raise RuntimeError(f"{wanted}")
            if self.way == "output":
                copied(pristine, run)
                for words in case.before:
                    ran(run, Case(words))
                if case.work is None:
                    self.told(case, "output", ran(run, case, output=True), wanted.status)
                continue
            stop = False
            for pages, files in rooms(2 if self.way == "cache" else 1):
                if stop and (files == 9000) == (stop == "pages"):
                    continue
                filled = self.once(case, (pages, files), before, after, wanted.status)
                stop = stop if filled else ("pages" if files == 9000 else "files")
        return self.counts

    def once(
        self, case: Case, room: tuple[int, int], before: dict[str, str], after: dict[str, str],
        wanted: int,
    ) -> bool:  # fmt: skip
        """Run a case with so much room, then with all it wants; whether the disk was filled."""
        run = self.folder / "run"
        copied(self.folder / "pristine", run)
        place = run / ("disk" if self.way == "book" else self.way)
        if self.way == "cache" and not case.before:
            shutil.rmtree(run / "cache/fixbook")
        for words in case.before:
            ran(run, Case(words))
        with Disk(place) as disk:
            disk.leave(*room)
            done = ran(run, case)
            now = os.statvfs(place)
            filled = min(now.f_bfree, now.f_ffree) < 4 or bool(done.status != wanted)
            disk.make_room()
            self.told(case, room, done, wanted)
            for name, held in state(run).items():
                odd = held not in (before.get(name), after.get(name))
                if odd and PARTIAL not in name and not _on_the_way(name):
                    self.blame("lost", case, room, name)
            for name in before.keys() - state(run).keys():
                if name in after:
                    self.blame("lost", case, room, f"{name} is gone")
            if done.status == 2 or case.work is not None:
                done = ran(run, case)
                if done.status != wanted:
                    self.blame("unhealed", case, room, done)
            checked = (("find", "hums"), ("proof",), ("job", "list"))
            for words in checked[:1] if self.way == "cache" else checked:
                again = ran(run, Case(words))
                if again.status not in (0, 1) or not again.in_words:
                    self.blame("unhealed", case, room, again)
            if extra := state(run).keys() - after.keys() | strays(run):
                self.blame("leaked", case, room, sorted(extra))
            if state(run).items() != after.items():
                differ = {n for n, _ in state(run).items() ^ after.items()}
                self.blame("unhealed", case, room, f"not the same: {sorted(differ)}")
        return filled

    def told(self, case: Case, room: object, done: common.Ran, wanted: int) -> None:
        """Judge what a command said."""
        self.counts["commands"] += 1
        said = (done.out + done.err).lower()
        if (
            not done.in_words
            or done.status not in (wanted, 2)
            or (done.status != wanted and self._has_to_answer(case))
        ):
            self.blame("raised", case, room, done)
        elif done.status != wanted and not (FULL.search(said) and REMEDY.search(said)):
            self.blame("unsaid", case, room, said)

    def _has_to_answer(self, case: Case) -> bool:
        return case.reads if self.way == "book" else self.way == "cache" and case.words != KEEPING


def _on_the_way(name: str) -> bool:
    """Say whether a file is a draft, which stays until what it is to become is in the book."""
    return "/drafts/" in name


def main(folder: Path, ways: list[str]) -> list[Counts]:
    """Run these ways, and print the counts of each."""
    if os.name != "posix" or os.geteuid() != 0:
        print("skipped: only root can mount a small disk", file=sys.stderr)
        return []
    part = os.environ.get("FIXBOOK_TEST_CASES", "")
    cases = tuple(one for one in CASES if part in " ".join(one.words))
    found = []
    for way in ways:
        counts = Way(folder / way, way).run(cases)
        print(json.dumps({"way": way, **counts}), flush=True)
        found.append(counts)
    return found


if __name__ == "__main__":
    every = main(Path(sys.argv[1]).absolute(), sys.argv[2:] or list(WAYS))
    sys.exit(any(one[name] for one in every for name in ZERO if name != "commands"))
