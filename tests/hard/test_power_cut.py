"""A power cut at any moment of a write: what the disk then holds is the old text or the new.

A shim stands between the program and the disk. It knows what a disk promises: a file's content is
safe once it was flushed, a name once its folder was. At every call it asks what a power cut at
that moment could leave under the name.
"""

from __future__ import annotations

import errno
import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

from fixbook.app.kept import keep
from fixbook.errors import FixbookError
from fixbook.store.drafts import Drafts
from fixbook.store.snapshot import take_snapshot
from fixbook.store.trust import PluginFile, trust
from fixbook.store.writing import PARTIAL, write_text

CALLS = ("open", "fdopen", "chmod", "fsync", "replace", "unlink")
LONG = "words of the new text\n" * 5000

pytestmark = pytest.mark.skipif(os.name != "posix", reason="flushes as a POSIX system does it")


def plain(path: Path) -> None:
    """Write a text."""
    write_text(path, LONG)


def snapshot(path: Path) -> None:
    """Change a file that was read."""
    take_snapshot(path).write(LONG)


def draft(path: Path) -> None:
    """Keep a draft, which belongs into a book."""
    Drafts(path.parents[1]).keep_text(path.stem, LONG)


def trusting(path: Path) -> None:
    """Trust a plugin."""
    trust(path.parent, Path("/book"), [PluginFile("a", Path("/book/plugins/a.py"), "0" * 64, b"")])


def kept(path: Path) -> None:
    """Keep a value in the cache."""
    keep(path, {"a": LONG})


WRITERS = {
    "a text": (plain, "a.md"),
    "a snapshot": (snapshot, "a.md"),
    "a draft": (draft, "drafts/a.md"),
    "trust": (trusting, "trusted.json"),
    "a kept value": (kept, "a.json"),
}
each_writer = pytest.mark.parametrize(("write", "name"), WRITERS.values(), ids=WRITERS)


class Shim:
    """What a disk would hold after a power cut, told from the calls that were made."""

    def __init__(self, target: Path) -> None:
        self.target = target
        self.calls: list[str] = []
        self.flushed: dict[int, bytes] = {}
        """What is safe of each file, by its number."""
        self.names: set[int | None] = set()
        """The files that the name could stand for."""
        if target.exists():
            self.flushed[target.stat().st_ino] = target.read_bytes()
        self.names.add(self._now())

    def _now(self) -> int | None:
        return self.target.stat().st_ino if self.target.exists() else None

    def could_hold(self) -> set[bytes | None]:
        """Give what the name could hold after a power cut now; None: there is no such file."""
        return {None if one is None else self.flushed.get(one, b"") for one in self.names}

    def called(self, name: str, arguments: tuple[object, ...]) -> None:
        """Take a call in that was made."""
        self.calls.append(name)
        self.names.add(self._now())
        if name != "fsync":
            return
        handle = arguments[0]
        assert isinstance(handle, int)
        info = os.fstat(handle)
        if info.st_ino == self.target.parent.stat().st_ino:
            self.names = {self._now()}
            return
        size = info.st_size
        self.flushed[info.st_ino] = os.pread(handle, size, 0) if size else b""


@contextmanager
def between(
    monkeypatch: pytest.MonkeyPatch, before: Callable[[str], None], after: Callable[..., None]
) -> Iterator[None]:
    """Stand between the program and the calls that change a disk."""
    with monkeypatch.context() as patch:
        for name in CALLS:
            real = getattr(os, name)

            def call(*arguments, _name=name, _real=real, **named):
                before(_name)
                answer = _real(*arguments, **named)
                after(_name, arguments)
                return answer

            patch.setattr(os, name, call)
        yield


@pytest.fixture(params=["a new file", "an old file"])
def place(request, tmp_path) -> Callable[[str], Path]:
    """Give the place of a file that is to be written, with an old text in it or none."""

    def make(name: str) -> Path:
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        if request.param == "an old file":
            path.write_text("{}")
        return path

    return make


@each_writer
def test_a_power_cut_leaves_the_old_text_or_the_new(write, name, place, monkeypatch):
    """Whatever call it falls behind, no disk can hold anything in between."""
    path = place(name)
    shim = Shim(path)
    seen = shim.could_hold()

    def after(name: str, arguments: tuple[object, ...]) -> None:
        shim.called(name, arguments)
        seen.update(shim.could_hold())

    before = path.read_bytes() if path.exists() else None
    with between(monkeypatch, lambda name: None, after):
        write(path)
    assert seen == {before, path.read_bytes()}
    assert {"fsync", "replace"} <= set(shim.calls)


@each_writer
def test_what_was_accepted_survives_a_power_cut(write, name, place, monkeypatch):
    """When the write has returned, the new text is all that a disk can hold."""
    path = place(name)
    shim = Shim(path)
    with between(monkeypatch, lambda name: None, shim.called):
        write(path)
    assert shim.could_hold() == {path.read_bytes()}


@pytest.mark.parametrize(("write", "name"), [WRITERS["a draft"]], ids=["a draft"])
def test_a_kill_at_each_call_leaves_the_old_text_or_the_new(write, name, place, monkeypatch):
    """Killed before its first, second, third ... call, a write can be done again and leaves nothing."""
    path = place(name)
    before, after, calls = written(write, path, monkeypatch)
    for number in range(calls):
        put_back(path, before)
        killed_at(number, lambda: write(path), monkeypatch)
        assert (path.read_bytes() if path.exists() else None) in (before, after)
        for one in path.parent.glob(f"{PARTIAL}*"):
            os.utime(one, (1, 1))
        write(path)
        write_text(path.with_name("other"), "another write, later")
        assert (path.read_bytes(), list(path.parent.glob(f"{PARTIAL}*"))) == (after, [])


@each_writer
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EDQUOT, errno.EIO], ids=errno.errorcode.get)
def test_a_call_that_fails_leaves_the_old_text_or_the_new(code, write, name, place, monkeypatch):
    """Whichever call finds the disk full or failing, the file is whole and nothing lies beside it."""
    path = place(name)
    before, after, calls = written(write, path, monkeypatch)
    for number in range(calls):
        put_back(path, before)
        count = iter(range(10_000))

        def fail(name: str, number: int = number, count: Iterator[int] = count) -> None:
            if next(count) == number:
                raise OSError(code, os.strerror(code))

        failing = between(monkeypatch, fail, lambda name, arguments: None)
        with failing, suppress(OSError, FixbookError):
            write(path)
        assert (path.read_bytes() if path.exists() else None) in (before, after)
        assert list(path.parent.glob(f"{PARTIAL}*")) == []


def written(
    write: Callable[[Path], object], path: Path, monkeypatch: pytest.MonkeyPatch
) -> tuple[bytes | None, bytes, int]:
    """Write once; the old content if there was any, the new, and how many calls it took."""
    before = path.read_bytes() if path.exists() else None
    calls: list[str] = []
    with between(monkeypatch, calls.append, lambda name, arguments: None):
        write(path)
    return before, path.read_bytes(), len(calls)


def put_back(path: Path, before: bytes | None) -> None:
    """Let a file be as it was before the write."""
    path.unlink(missing_ok=True)
    if before is not None:
        path.write_bytes(before)


def killed_at(number: int, work: Callable[[], None], monkeypatch: pytest.MonkeyPatch) -> None:
    """Do something in a process of its own that is killed before its call of that number."""
    count = iter(range(10_000))

    def stop(name: str) -> None:
        if next(count) == number:
            os.kill(os.getpid(), signal.SIGKILL)

    child = os.fork()
    if not child:
        try:
            with between(monkeypatch, stop, lambda name, arguments: None):
                work()
        finally:
            os._exit(3)
    assert os.waitpid(child, 0)[1] == signal.SIGKILL


def test_the_shim_notices_a_write_that_is_not_flushed(tmp_path, monkeypatch):
    """The judge can tell: without a flush before the rename, a power cut leaves an empty file."""
    path = tmp_path / "a.md"
    path.write_text("old")
    shim = Shim(path)
    seen: set[bytes | None] = set()

    def after(name: str, arguments: tuple[object, ...]) -> None:
        shim.called(name, arguments)
        seen.update(shim.could_hold())

    with between(monkeypatch, lambda name: None, after):
        (tmp_path / "new").write_text("new")
        os.replace(tmp_path / "new", path)
    assert b"" in seen
