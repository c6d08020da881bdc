"""A damaged job file: every command says so in words, and what can be read is saved."""

from __future__ import annotations

import contextlib
import random
import sqlite3
from pathlib import Path

import pytest
from fixbook_plugins.job_history.database import open_file
from fixbook_plugins.job_history.job import Job, Note
from fixbook_plugins.job_history.store import Store

PAGE = 4096
COUNT = 150


@pytest.fixture(scope="module")
def whole(tmp_path_factory) -> bytes:
    """Give a job file with some jobs, each with a link, a sign and a note."""
    file = tmp_path_factory.mktemp("whole") / "jobs.sqlite"
    jobs = [
        Job(str(n), complaint=f"hums {n}", work="words " * 50, signs={"low-drone": "seen"}, faults=("amp-one",),
            notes=(Note("", "words " * 20),))
        for n in range(1, COUNT + 1)
    ]  # fmt: skip
    with Store(open_file(file)) as store:
        store.merge(jobs)
    with contextlib.closing(sqlite3.connect(file)) as made:
        made.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return file.read_bytes()


@pytest.fixture
def damaged(whole, book):
    """Damage one page of the book's job file: `damaged(3)`; False where there is no such page."""

    def make(page: int) -> bool:
        path = book.folder / "jobs.sqlite"
        for left in (f"{path}-wal", f"{path}-shm"):
            Path(left).unlink(missing_ok=True)
        data = bytearray(whole)
        noise = random.Random(page).randbytes(PAGE)
        data[page * PAGE : (page + 1) * PAGE] = noise
        path.write_bytes(data)
        return (page + 1) * PAGE <= len(whole)

    return make


def test_every_damaged_page_is_told_in_words(damaged, book, fixbook):
    """Whichever page it is, a command answers or says what is damaged and what to do."""
    book.add("amp-one")
    page = 0
    while damaged(page):
        for words in (("job", "list"), ("sheet", "amp-one"), ("book", "backup", "b.zip")):
            ran = fixbook(*words)
            assert ran.status == 0 or "jobs.sqlite" in ran.err, (page, words, ran)
            assert "fault of the program" not in ran.err, (page, words, ran)
        page += 25


def test_no_backup_is_made_of_a_damaged_job_file(damaged, book, fixbook):
    """A page in the middle is damaged: the archive would look whole, and is not written."""
    damaged(9)
    ran = fixbook("book", "backup", "b.zip")
    assert (ran.status, "job salvage" in ran.err, Path("b.zip").exists()) == (2, True, False)


def test_what_can_be_read_of_a_damaged_job_file_is_saved(damaged, book, fixbook):
    """However a page is damaged, all jobs that do not lie on it are in the new file."""
    least, page = COUNT, 1
    while damaged(page):
        fixbook("job", "salvage", "saved.sqlite")
        with Store(open_file(Path("saved.sqlite"))) as store:
            jobs = store.many(map(str, range(1, COUNT + 1)))
        wrong = [one for number, one in jobs.items() if one.complaint not in ("", f"hums {number}")]
        assert not wrong
        least = min(least, len(jobs))
        for left in Path().glob("saved.sqlite*"):
            left.unlink()
        page += 17
    assert least > COUNT * 0.8


def test_a_saved_job_file_can_be_used(damaged, book, fixbook):
    """Given the name of the damaged one, it takes new jobs and links."""
    damaged(9)
    assert fixbook("job", "salvage", "saved.sqlite").status in (0, 1)
    Path("saved.sqlite").replace(book.folder / "jobs.sqlite")
    ran = fixbook("job", "new", "--unit", "test-amp", "--complaint", "hums")
    assert (ran.status, "job 151" in ran.out) == (0, True), ran


def test_all_is_saved_where_the_first_page_is_lost(damaged, book, fixbook):
    """The page that says what is where is not needed to find the jobs."""
    damaged(0)
    ran = fixbook("job", "salvage", "saved.sqlite")
    assert (ran.status, f"{COUNT} jobs" in ran.out) == (1, True), ran


def test_a_file_of_which_nothing_can_be_read_is_told(book, fixbook):
    """Nothing is written where there is nothing but noise, and the way out is a backup."""
    (book.folder / "jobs.sqlite").write_bytes(random.Random(1).randbytes(50_000))
    ran = fixbook("job", "salvage", "saved.sqlite")
    assert (ran.status, "fixbook book restore" in ran.err) == (2, True)
    assert list(Path().glob("saved*")) == []
