"""`fixbook book backup` and `restore`: all of a book, in use or not, or nothing and why."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
import zipfile
from hashlib import sha256
from pathlib import Path

import pytest

from fixbook.app import backing_up
from fixbook.store.writing import PARTIAL

PICTURE = bytes(range(256)) * 40


@pytest.fixture
def full(book, fixbook):
    """Give a book with everything in it that a book can have."""
    for id in ("amp-one", "amp-two"):
        book.add(id)
    for name, data in {
        "entries/pictures/Röhre 1.png": PICTURE, "drafts/amp-three.md": b"half a thought",
        "drafts/amp-three.json": b"{}", "plugins/shelf.py": b"x = 1\n", "stock.csv": b"part\n",
        ".gitignore": b"jobs.sqlite*\n",
    }.items():  # fmt: skip
        path = book.folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(data)
    with (book.folder / "fixbook.toml").open("a") as settings:
        settings.write('stock = "stock.csv"\n')
    return book


@pytest.fixture
def jobs(full, fixbook):
    """Give the book with a job in it."""
    assert fixbook("job", "new", "--unit", "test-amp", "--complaint", "hums").status == 0
    return full


@pytest.fixture
def here(tmp_path, monkeypatch):
    """Work in an empty folder."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")


def contents(folder: Path) -> dict[str, bytes]:
    """Give a folder's files, the job database and what it keeps beside itself left out."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not path.name.startswith("jobs.sqlite")
    }


def backed_up(fixbook, *more: str) -> Path:
    """Back the open book up, and give the archive."""
    assert fixbook("book", "backup", "b.zip", *more).status == 0
    return Path("b.zip").absolute()


def test_a_restored_book_is_the_book(full, fixbook):
    """Write-ups, pictures, drafts, plugins, stock, settings: each byte is there, and no more."""
    archive = backed_up(fixbook)
    assert fixbook("book", "restore", str(archive), "new").status == 0
    assert contents(Path("new")) == contents(full.folder)


def test_a_restored_book_has_its_jobs(jobs, fixbook):
    """The job that was recorded is listed in the new folder."""
    fixbook("book", "restore", str(backed_up(fixbook)), "new")
    assert "hums" in fixbook("--book", "new", "job", "list").out


def test_the_plugins_of_a_restored_book_are_off(full, fixbook):
    """Trust belongs to the folder where it was given, and the answer says what to type."""
    fixbook("book", "trust", "--yes")
    said = fixbook("book", "restore", str(backed_up(fixbook)), "new").out
    where = json.loads(fixbook("--book", "new", "book", "where", "--json").out)
    assert (where["plugins_off"], "'fixbook book trust'" in said) == (["shelf.py"], True)


def test_the_same_book_gives_the_same_bytes(full, fixbook):
    """An archive depends on what is in the book alone, so two can be compared."""
    first = backed_up(fixbook).read_bytes()
    for path in full.folder.rglob("*"):
        os.utime(path, (1, 1))
    assert backed_up(fixbook, "--replace").read_bytes() == first


def test_the_checksums_are_those_that_a_common_tool_checks(full, fixbook):
    """`SHA256SUMS` has a line for each file, as coreutils' sha256sum reads it."""
    with zipfile.ZipFile(backed_up(fixbook)) as made:
        lines = made.read("SHA256SUMS").decode().splitlines()
        sums = {name: sha256(made.read(name)).hexdigest() for name in made.namelist()}
    del sums["SHA256SUMS"]
    assert lines == [f"{digest}  {name}" for name, digest in sorted(sums.items())]


def test_an_archive_is_for_its_owner_alone(full, fixbook):
    """It holds the jobs of a shop."""
    assert backed_up(fixbook).stat().st_mode & 0o077 == 0


def test_a_file_that_is_there_is_not_replaced_unasked(full, fixbook):
    """A file of that name stays as it is; --replace puts the backup in its place."""
    Path("b.zip").write_text("mine")
    ran = fixbook("book", "backup", "b.zip")
    assert (ran.status, "--replace" in ran.err, Path("b.zip").read_text()) == (2, True, "mine")
    backed_up(fixbook, "--replace")


@pytest.mark.parametrize("place", ["book/entries/b.zip", "book/fixbook.toml", "book", "no/b.zip"])
def test_a_place_that_cannot_be_is_refused(place, full, fixbook):
    """Not in what is backed up itself, not in place of a folder, not where there is none."""
    before = contents(full.folder)
    ran = fixbook("book", "backup", str(full.folder.parent / place), "--replace")
    assert (ran.status, ran.out, contents(full.folder)) == (2, "", before)


def test_there_is_nothing_to_back_up_without_a_book(fixbook):
    """The starter book alone is no book of one's own, and the message says what to do."""
    ran = fixbook("book", "backup", "b.zip")
    assert (ran.status, "--book DIR" in ran.err, Path("b.zip").exists()) == (2, True, False)


def test_what_is_not_of_the_book_is_named_and_left_out(full, fixbook, tmp_path):
    """Other files in the folder, and links that lead out of the book, are said."""
    (full.folder / "notes.txt").write_text("x")
    (full.folder / ".secret").write_text("x")
    (tmp_path / "outside").write_text("a secret")
    (full.folder / "entries" / "pictures" / "leak.png").symlink_to(tmp_path / "outside")
    done = json.loads(fixbook("book", "backup", "b.zip", "--json").out)
    assert [one.split(":")[0] for one in done["left_out"]] == [
        "entries/pictures/leak.png", "notes.txt",
    ]  # fmt: skip


@pytest.mark.parametrize("name", ["a:b.png", "con.png", "A.png", "nl\n.png", "\udcff.png"])
def test_a_name_that_not_every_system_holds_is_named(name, full, fixbook):
    """Nothing is written, and the file is named; --anyway leaves it out, and says so."""
    for one in ("a.png", name):
        (full.folder / "entries" / "pictures" / one).write_bytes(PICTURE)
    ran = fixbook("book", "backup", "b.zip")
    assert (ran.status, "rename it" in ran.err, Path("b.zip").exists()) == (2, True, False)
    ran = fixbook("book", "backup", "b.zip", "--anyway")
    assert (ran.status, "LACKING" in ran.out) == (1, True)


def test_a_plugin_that_fails_is_no_silent_loss(full, fixbook):
    """A backup that would lack a plugin's files is not written in silence."""
    (full.folder / "plugins" / "shelf.py").write_text(
        "from fixbook.api import *\n@hook\ndef fixbook_backup(bench):\n    return 1 / 0\n"
    )
    fixbook("book", "trust", "--yes")
    ran = fixbook("book", "backup", "b.zip")
    assert (ran.status, "ZeroDivisionError" in ran.err, Path("b.zip").exists()) == (2, True, False)


def test_a_plugins_files_go_along(full, fixbook):
    """What a plugin of the book gives is in the archive under its name, unless that is unsafe."""
    (full.folder / "plugins" / "shelf.py").write_text(
        "from fixbook.api import *\n@hook\ndef fixbook_backup(bench):\n"
        "    return [BackupFile('memos.txt', lambda: b'memo'), BackupFile('../up', lambda: b'')]\n"
    )
    fixbook("book", "trust", "--yes")
    ran = fixbook("book", "backup", "b.zip", "--anyway")
    with zipfile.ZipFile("b.zip") as made:
        assert (made.read("memos.txt"), "'..'" in ran.out) == (b"memo", True)


def test_a_damaged_job_database_is_told_before_it_replaces_a_good_backup(full, fixbook):
    """A job file that cannot be copied is named, and nothing is written under the name."""
    (full.folder / "jobs.sqlite").write_bytes(b"SQLite format 3\0" + b"x" * 5000)
    ran = fixbook("book", "backup", "b.zip")
    assert (ran.status, "jobs.sqlite" in ran.err, Path("b.zip").exists()) == (2, True, False)


def test_a_write_up_that_is_renamed_meanwhile_is_there_once(full, fixbook, monkeypatch):
    """Listed under its old name and read under the new one, it is in the archive."""
    old = full.folder / "entries" / "test-amp" / "amp-two.md"
    read = backing_up._pieces

    def racing(path: Path):
        if old.exists():
            old.rename(old.with_name("amp-nine.md"))
        return read(path)

    monkeypatch.setattr(backing_up, "_pieces", racing)
    with zipfile.ZipFile(backed_up(fixbook)) as made:
        ids = [name for name in made.namelist() if name.startswith("entries/test-amp/")]
    assert ids == ["entries/test-amp/amp-nine.md", "entries/test-amp/amp-one.md"]


def test_a_write_up_that_is_changed_meanwhile_is_the_newest(full, fixbook, monkeypatch):
    """What changed after it was read is read again."""
    path = full.folder / "entries" / "test-amp" / "amp-one.md"
    read, texts = backing_up._pieces, iter([b"newer", b"the newest"])

    def racing(which: Path):
        yield from read(which)
        if which == path:
            path.write_bytes(next(texts, path.read_bytes()))

    monkeypatch.setattr(backing_up, "_pieces", racing)
    with zipfile.ZipFile(backed_up(fixbook)) as made:
        assert made.read("entries/test-amp/amp-one.md") == b"the newest"


def test_a_book_that_never_rests_is_not_backed_up_in_part(full, here, fixbook, monkeypatch):
    """Where files go away faster than they are read, the answer says so and nothing is written."""
    read = backing_up._pieces
    count = iter(range(10**6))

    def racing(which: Path):
        yield from read(which)
        for path in (full.folder / "drafts").glob("*.txt"):
            path.unlink()
        (full.folder / "drafts" / f"{next(count)}.txt").write_text("x")

    monkeypatch.setattr(backing_up, "_pieces", racing)
    ran = fixbook("book", "backup", "b.zip")
    assert (ran.status, "faster" in ran.err, os.listdir()) == (2, True, [])


FULL = """
import resource, signal, sys
from fixbook.cli.main import main
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
size = int(sys.argv[1])
resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
sys.exit(main(sys.argv[2:]))
"""


@pytest.mark.skipif(os.name != "posix", reason="limits as a POSIX system has them")
def test_a_full_disk_leaves_nothing_under_the_name(full, fixbook):
    """Where the disk ends, an older archive stays, nothing half is left, and it is said."""
    old = backed_up(fixbook).read_bytes()
    (full.folder / "entries" / "pictures" / "big.png").write_bytes(os.urandom(200_000))
    ran = subprocess.run(
        [sys.executable, "-c", FULL, "100000", "book", "backup", "b.zip", "--replace"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (ran.returncode, "cannot be written" in ran.stderr) == (2, True), ran.stderr
    assert (Path("b.zip").read_bytes(), list(Path().glob(f"{PARTIAL}*"))) == (old, [])


def test_a_full_disk_leaves_no_half_book(full, here, fixbook):
    """A restore that does not fit leaves no folder behind."""
    (full.folder / "entries" / "pictures" / "big.png").write_bytes(os.urandom(200_000))
    archive = backed_up(fixbook)
    ran = subprocess.run(
        [sys.executable, "-c", FULL, "100000", "book", "restore", str(archive), "new"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (ran.returncode, "cannot be restored" in ran.stderr) == (2, True), ran.stderr
    assert sorted(os.listdir()) == ["b.zip"]


@pytest.mark.parametrize("there", ["a folder", "a file", "a link"])
def test_a_book_is_restored_into_a_new_folder_only(there, full, fixbook):
    """What is there already is never mixed with a backup."""
    archive = backed_up(fixbook)
    if there == "a folder":
        Path("new").mkdir()
        Path("new/mine").write_text("mine")
    elif there == "a file":
        Path("new").write_text("mine")
    else:
        Path("new").symlink_to(full.folder)
    before = contents(full.folder)
    ran = fixbook("book", "restore", str(archive), "new")
    assert (ran.status, "new folder" in ran.err) == (2, True)
    assert contents(full.folder) == before


def test_an_empty_folder_is_as_good_as_none(full, fixbook):
    """A folder that was made for the book is taken."""
    archive = backed_up(fixbook)
    Path("new").mkdir()
    assert fixbook("book", "restore", str(archive), "new").status == 0
    assert contents(Path("new")) == contents(full.folder)


def test_what_a_killed_backup_left_goes_with_the_next(full, here, fixbook):
    """Half-written archives and half-restored folders that are nobody's are swept up."""
    Path(f"{PARTIAL}one").write_text("x")
    Path(f"{PARTIAL}two").mkdir()
    for path in Path().iterdir():
        os.utime(path, (1, 1))
    fixbook("book", "restore", str(backed_up(fixbook)), "new")
    assert sorted(os.listdir()) == ["b.zip", "new"]


def test_a_backup_of_jobs_is_of_one_moment(jobs, fixbook):
    """A copy taken while another writes holds whole transactions."""
    writer = sqlite3.connect(jobs.folder / "jobs.sqlite", isolation_level=None)
    writer.execute("BEGIN IMMEDIATE")
    writer.execute("DELETE FROM job")
    fixbook("book", "restore", str(backed_up(fixbook)), "new")
    writer.execute("ROLLBACK")
    writer.close()
    copy = sqlite3.connect("new/jobs.sqlite")
    assert copy.execute("SELECT count(*) FROM job").fetchone() == (1,)
    copy.close()
