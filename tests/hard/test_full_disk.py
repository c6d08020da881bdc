"""A full disk: what is asked is answered, what is there stays whole, and nothing half is left.

A shim refuses what is written under a folder, as a full disk does. `full_disk.py` beside this
fills real ones.
"""

from __future__ import annotations

import builtins
import errno
import gc
import io
import json
import marshal
import os
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace
from typing import Self

import pytest
from fixbook_plugins.job_history.rejected import Rejected

from fixbook.app.demo import demo_book
from fixbook.app.folders import Folders
from fixbook.app.library import Library
from fixbook.errors import BookError, IndexFolderError, disk_is_full, what_to_do
from fixbook.screen.drafts import Drafts
from fixbook.search import build
from fixbook.settings import Place
from fixbook.store.writing import PARTIAL

NO_ROOM = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
FREE = "make room on the disk"

pytestmark = pytest.mark.skipif(
    not os.path.isdir("/proc/self/fd"), reason="the shim asks the system what file it writes"
)


class Full:
    """A file that was opened for writing and takes nothing."""

    def __init__(self, real: io.IOBase) -> None:
        self._real = real

    def __getattr__(self, name: str) -> object:
        if name in ("write", "writelines"):
            raise NO_ROOM
        return getattr(self._real, name)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._real.close()


@pytest.fixture
def filled(monkeypatch) -> Callable[..., object]:
    """Let the disk of a folder be full for a while: `with filled(folder): ...`."""

    @contextmanager
    def fill(*folders: Path) -> Iterator[None]:
        real = io.open

        def opening(file, mode="r", *more, **named):  # type: ignore[no-untyped-def]
            made = real(file, mode, *more, **named)
            where = os.readlink(f"/proc/self/fd/{made.fileno()}")
            on_it = any(where.startswith(f"{os.path.realpath(one)}/") for one in folders)
            return Full(made) if on_it and set(mode) & set("wxa+") else made

        with monkeypatch.context() as patch:
            patch.setattr(io, "open", opening)
            patch.setattr(builtins, "open", opening)
            yield

    return fill


@pytest.fixture
def caches(isolation) -> Path:
    """Give the folder of all caches."""
    return Path(isolation, "cache")


def left(folder: Path) -> list[str]:
    """Give what is left of files that were begun."""
    names = [path.name for path in folder.rglob("*") if path.is_file()]
    return [one for one in names if one.startswith(PARTIAL) or one.endswith(f".{os.getpid()}")]


def test_an_error_from_a_full_disk_says_to_make_room():
    """However deep the full disk lies, what to do is to make room."""
    error = BookError("it cannot be written")
    error.__cause__ = NO_ROOM
    assert (disk_is_full(error), what_to_do(error, "look")[: len(FREE)]) == (True, FREE)


def test_another_error_keeps_its_own_advice():
    """Where permissions are the matter, making room is not what to do."""
    assert what_to_do(PermissionError(errno.EACCES, "no"), "look") == "look"


@pytest.mark.parametrize(
    "words",
    [("sheet", "amp-one", "--html", "one.html"), ("write", "--withdraw", "amp-one"),
     ("book", "print", "pages"), ("book", "upgrade"),
     ("book", "backup", "b.zip"), ("book", "trust", "--yes"), ("job", "export", "out.csv")],
    ids=" ".join,
)  # fmt: skip
def test_what_cannot_be_written_says_to_make_room_and_works_again(
    words, book, fixbook, filled, monkeypatch, isolation
):
    """On a full disk a command says so and leaves nothing begun; with room it does its work."""
    book.add("amp-one")
    (book.folder / "plugins").mkdir()
    (book.folder / "plugins" / "a.py").write_text("x = 1\n")
    here = book.folder.parent
    monkeypatch.chdir(here)
    if words[0] == "job":
        fixbook("job", "new", "--unit", "test-amp", "--complaint", "hums")
    with filled(here, isolation / "config"):
        ran = fixbook(*words)
    assert (ran.status, "No space left" in ran.err, FREE in ran.err) == (2, True, True), ran
    assert left(here) == []
    assert fixbook(*words).status == 0


def test_a_demonstration_book_that_has_no_room_is_taken_away(tmp_path, monkeypatch):
    """Half a book would keep the same command from being given again."""
    shop, written = tmp_path / "shop", []

    def write(path: Path, data: bytes) -> None:
        if written:
            raise NO_ROOM
        path.write_bytes(data)
        written.append(path)

    monkeypatch.setattr("fixbook.app.demo.demo_files", lambda seed: {"entries/a.md": b"a"})
    monkeypatch.setattr("fixbook.app.demo.write_bytes", write)
    with pytest.raises(BookError, match="No space left"):
        demo_book(shop)
    assert (len(written), shop.exists()) == (1, False)


def test_an_answer_that_no_index_can_be_kept_for_is_given(book, fixbook, filled, caches):
    """Without room for an index a search answers all the same, and says what that costs."""
    book.add("amp-one", title="Quibblewort hums")
    with filled(caches):
        ran = fixbook("find", "quibblewort", "--json")
    found = json.loads(ran.out)
    assert ([hit["id"] for hit in found["hits"]], ran.status) == (["amp-one"], 0)
    assert any("is full" in one and FREE[:9] in one for one in found["notes"])


def test_an_index_that_cannot_be_brought_up_to_date_answers_as_it_was(
    book, fixbook, filled, caches
):
    """A change that the index has no room for is found later; what was there is found now."""
    book.add("amp-one", title="Quibblewort hums")
    fixbook("find", "quibblewort")
    book.add("amp-two", title="Quibblewort drones")
    with filled(caches):
        ran = fixbook("find", "quibblewort", "--json")
    found = json.loads(ran.out)
    assert ([hit["id"] for hit in found["hits"]], "is not found" in found["notes"][0]) == (
        ["amp-one"], True,
    )  # fmt: skip
    assert json.loads(fixbook("find", "quibblewort", "--json").out)["total"] == 2


def test_an_index_that_was_begun_and_has_no_room_is_taken_away(book, fixbook, filled, caches):
    """What a failed write of the index left would keep the disk full."""
    book.add("amp-one")
    with filled(caches):
        fixbook("find", "drone")
    assert [path.name for path in caches.rglob("index/*")] == ["writer.lock"]


def test_a_spare_cache_goes_with_its_library(book, isolation):
    """A cache in a temporary folder is not left there."""
    library = Library(Place(book.folder, "test"), Folders(*(isolation / one for one in "abc")))
    error = IndexFolderError("it cannot be written")
    error.__cause__ = NO_ROOM
    place = library.use_spare_cache(error)
    assert place.is_dir()
    del library
    gc.collect()
    assert not place.exists()


def test_refreshing_the_index_without_room_is_an_error(book, fixbook, filled, caches):
    """The command that is there to write the index says that it cannot."""
    book.add("amp-one")
    with filled(caches):
        ran = fixbook("book", "refresh")
    assert (ran.status, "make room" in ran.err) == (2, True)


def test_the_note_of_followed_links_leaves_nothing_begun(book, fixbook, filled, caches):
    """The kept `job:` links of write-ups are written whole or not at all."""
    fixbook("job", "new", "--unit", "test-amp", "--complaint", "hums")
    book.add("amp-one", body="\nSee job:1 and [it](job:1).\n")
    with filled(caches):
        fixbook("find", "drone")
    assert left(caches) == []


def test_a_list_of_jobs_is_recorded_as_a_whole_or_not_at_all(book, fixbook, tmp_path):
    """A list that fails half way can be given again: nothing of it is recorded twice."""
    fixbook("job", "new", "--number", "7", "--complaint", "hums")
    file = tmp_path / "jobs.json"
    file.write_text(json.dumps([{"complaint": "a"}, {"number": "7", "complaint": "b"}]))
    assert fixbook("job", "add", "--from", str(file)).status == 2
    listed = json.loads(fixbook("job", "list", "--json").out)
    assert [one["number"] for one in listed] == ["7"]


def test_a_salvage_that_has_no_room_leaves_no_file(book, fixbook, monkeypatch):
    """The new job file is there with all that was read, or not at all."""
    fixbook("job", "new", "--unit", "test-amp", "--complaint", "hums")
    new = book.folder.parent / "saved.sqlite"

    class FullAtTheEnd(sqlite3.Connection):
        def execute(self, sql, *more):  # type: ignore[no-untyped-def]
            if sql == "COMMIT":
                raise sqlite3.OperationalError("database or disk is full")
            return super().execute(sql, *more)

    real = sqlite3.connect
    with monkeypatch.context() as patch:
        patch.setattr(sqlite3, "connect", lambda *a, **n: real(*a, **n, factory=FullAtTheEnd))
        ran = fixbook("job", "salvage", str(new))
    assert (ran.status, "make room" in ran.err, new.exists()) == (2, True, False)


def test_rejected_rows_that_have_no_room_leave_nothing_begun(tmp_path, monkeypatch):
    """What is still in memory when an import ends in an error is let go without another one."""

    def on_full_disk(handle: int, *more, **named):  # type: ignore[no-untyped-def]
        os.close(handle)
        return open("/dev/full", *more, **named)

    monkeypatch.setattr(os, "fdopen", on_full_disk)
    with Rejected([tmp_path], "jobs.csv", ["Job"]) as rejected:
        rejected.add(1, {"Job": "1"}, "no date")
        assert len(list(tmp_path.iterdir())) == 1
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def no_room_for_sqlite(monkeypatch):
    """Let the job file's disk be full: SQLite cannot make the files that it wants beside it."""
    real = sqlite3.connect

    def connect(name, *more, **named):  # type: ignore[no-untyped-def]
        if "immutable" in str(name):
            return real(name, *more, **named)
        raise sqlite3.OperationalError("disk I/O error")

    def fill() -> None:
        room = SimpleNamespace(f_bavail=0, f_frsize=4096, f_files=9, f_favail=9)
        monkeypatch.setattr(os, "statvfs", lambda path: room)
        monkeypatch.setattr(sqlite3, "connect", connect)

    return fill


def test_jobs_are_read_on_a_full_disk(book, fixbook, no_room_for_sqlite):
    """Listing jobs needs no room."""
    fixbook("job", "new", "--unit", "test-amp", "--complaint", "hums")
    no_room_for_sqlite()
    ran = fixbook("job", "list")
    assert (ran.status, "hums" in ran.out) == (0, True)


def test_a_job_that_has_no_room_says_so(book, fixbook, no_room_for_sqlite):
    """Recording on a full disk is refused, with what to do."""
    fixbook("job", "new", "--unit", "test-amp", "--complaint", "hums")
    no_room_for_sqlite()
    ran = fixbook("job", "note", "1", "more")
    assert (ran.status, "the disk is full" in ran.err, "make room" in ran.err) == (2, True, True)


def test_jobs_with_changes_beside_the_file_are_not_read_without_them(
    book, fixbook, no_room_for_sqlite
):
    """Where the last changes are not in the file itself, an old state is not passed off as new."""
    fixbook("job", "new", "--unit", "test-amp", "--complaint", "hums")
    (book.folder / "jobs.sqlite-wal").write_bytes(b"x" * 100)
    no_room_for_sqlite()
    ran = fixbook("job", "list")
    assert (ran.status, "the disk is full" in ran.err) == (2, True)


def test_a_builder_that_finds_the_disk_full_says_so(filled, tmp_path, monkeypatch):
    """Another process that builds a part of the index tells why it ended."""
    plain = ("a", "own:a.md", {"title": "hums"}, {}, {})
    given = io.BytesIO(marshal.dumps([plain]) + marshal.dumps([]))
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=given))
    with filled(tmp_path), pytest.raises(SystemExit) as ended:
        build.work(str(tmp_path))
    assert ended.value.code == build.FULL_STATUS


def test_what_another_process_says_of_the_disk_is_passed_on(tmp_path, monkeypatch):
    """Where the builders of an index found the disk full, so does the one who started them."""
    monkeypatch.setattr(build, "MANY", 1)
    monkeypatch.setattr(build, "_START", f"raise SystemExit({build.FULL_STATUS})")
    document = build.Document("a", "own:a.md", {"title": "hums"}, {}, {})
    with pytest.raises(OSError) as refused:
        build.build_segments(tmp_path, iter([document] * 60), jobs=2)
    assert disk_is_full(refused.value)


def test_what_is_typed_is_kept_once_there_is_room(tmp_path, monkeypatch):
    """A screen that began on a full disk says so, and keeps what is typed when there is room."""
    drafts = Drafts(tmp_path, "a book")
    with monkeypatch.context() as patch:
        patch.setattr(os, "mkdir", full)
        drafts.open()
        said = drafts.save({"job": "typed"})
    assert ("No space left" in said, FREE in said, drafts.save({"job": "typed"})) == (
        True, True, "",
    )  # fmt: skip
    drafts.close()


def full(*_: object, **__: object) -> None:
    """Stand for a call of a system whose disk is full."""
    raise NO_ROOM
