"""An import that is killed, run again, or met by another: nothing accepted is lost."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest

from fixbook.cli.main import main

ROWS = 600
BATCH = 150
"""Jobs in one transaction: small, so that a short import has several."""
KILLS = int(os.environ.get("FIXBOOK_TEST_KILLS", "0"))
"""How often an import is killed by hand; 0: 20 times in a file, a few on a server."""
COLUMNS = "number, cast(booked_in as text), unit, model, complaint, stage, outcome, minutes"

KILLED = """
import os, random, signal, sqlite3, sys
import sqlalchemy.dialects.sqlite, sqlalchemy.dialects.postgresql
from pathlib import Path
from fixbook.cli.main import main
from fixbook_plugins.job_history import bringing, importing, store

words, batch, times = sys.argv[1:-2], int(sys.argv[-2]), int(sys.argv[-1])
book = Path(words[words.index("--book") + 1])
server = os.environ.get("FIXBOOK_JOBS")
bringing.BATCH = batch
chance = random.Random(7)

def opened():
    if server:
        import psycopg
        return psycopg.connect(server, autocommit=True)
    return sqlite3.connect(book / "jobs.sqlite")

def count():
    made = opened()
    tables = "pg_tables where tablename" if server else "sqlite_master where name"
    there = made.execute(f"select 1 from {tables} = 'job'").fetchall()
    found = made.execute("select count(*) from job").fetchone()[0] if there else 0
    made.close()
    return found

def begin_anew():
    if server:
        made = opened()
        schema = made.execute("show search_path").fetchone()[0]
        made.execute(f"drop schema {schema} cascade")
        made.execute(f"create schema {schema}")
        made.close()
    for name in ("jobs.sqlite", "jobs.sqlite-wal", "jobs.sqlite-shm"):
        (book / name).unlink(missing_ok=True)

said = os.dup(1)
os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
assert main([*words, "--trial"]) == 0  # what an import needs is loaded once, not in every child
sys.stdout.flush()
os.dup2(said, 1)
bring = importing.bring

def bring_and_be_killed(*rows, **more):
    signal.setitimer(signal.ITIMER_REAL, moment)
    return bring(*rows, **more)

for turn in range(times):
    moment = chance.uniform(0.002, 0.4 if server else 0.15)
    child = os.fork()
    if not child:
        # Nothing here catches the signal: the system kills. Every other time the clock starts
        # with the first row, so that many fall between two batches.
        if turn % 2:
            importing.bring = bring_and_be_killed
        else:
            signal.setitimer(signal.ITIMER_REAL, moment)
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        os._exit(main(words))
    _, status = os.waitpid(child, 0)
    print("killed" if os.WIFSIGNALED(status) else f"ended-{status}", f"{count():09d}", flush=True)
    if not os.WIFSIGNALED(status):
        assert status == 0
        begin_anew()
"""
"""Forks an import, kills it without warning, and prints how many jobs there are; begins anew
after one that came to its end."""

pytestmark = pytest.mark.skipif(os.name != "posix", reason="kills as a POSIX system does it")


@pytest.fixture(scope="module")
def history(tmp_path_factory) -> Path:
    """Write a history of some thousand rows, every hundredth of which cannot be read."""
    chance = random.Random(3)
    path = tmp_path_factory.mktemp("history") / "jobs.csv"
    lines = ["Job,Date in,Type,Model,Complaint,Result,Minutes,Parts,Notes"]
    for number in range(1, ROWS + 1):
        day = "soon" if number % 100 == 0 else f"{chance.randint(1, 28)}/{number % 12 + 1}/2024"
        end = chance.choice(("Repaired", "NFF", "BER", "failed"))
        minutes = chance.randint(5, 200)
        lines.append(f"{number},{day},amp,AV-{number % 50},hums,{end},{minutes},2x fuse,n {number}")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def start(book: Path, history: Path) -> subprocess.Popen[bytes]:
    """Begin an import in a process of its own."""
    return subprocess.Popen(
        command(book, history),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=alone(book),
        process_group=0,
    )


def command(book: Path, history: Path) -> list[str]:
    """Give the command line of an import."""
    words = ["job", "import", str(history), "--book", str(book), "--json"]
    return [sys.executable, "-m", "fixbook", *words]


def alone(book: Path) -> dict[str, str]:
    """Give an environment with nothing of the user's own, its folders beside the book.

    A file beside the book has the address of the server, where the jobs are kept there.
    """
    kept = {name: text for name, text in os.environ.items() if not name.startswith("FIXBOOK_")}
    homes = {f"XDG_{name}_HOME": str(book.parent / name) for name in ("CACHE", "DATA", "CONFIG")}
    shared = {"FIXBOOK_JOBS": address} if (address := on_server(book)) else {}
    return {**kept, **homes, "HOME": str(book.parent), **shared}


def address_file(book: Path) -> Path:
    """Give the file that has the address of the server where a book's jobs are kept."""
    return book.parent / "server"


def on_server(book: Path) -> str:
    """Give the address of the server where the jobs of the book are kept; empty for its own file."""
    note = address_file(book)
    return note.read_text() if note.exists() else ""


def finish(book: Path, history: Path) -> None:
    """Run an import to its end, in this process."""
    with pytest.MonkeyPatch.context() as patch:
        for name in [one for one in os.environ if one.startswith("FIXBOOK_")]:
            patch.delenv(name)
        for name, text in alone(book).items():
            patch.setenv(name, text)
        assert main(command(book, history)[3:]) == 0


def content(book: Path) -> dict[str, list[tuple[object, ...]]]:
    """Give all that an import writes, in order."""
    queries = {
        "jobs": f"select {COLUMNS} from job order by cast(number as int)",
        "parts": "select job, place, what, count from job_part order by cast(job as int), place",
        "notes": 'select job, place, "when", text from job_note order by cast(job as int), place',
    }
    if address := on_server(book):
        import psycopg

        with psycopg.connect(address) as server:
            return {name: server.execute(query).fetchall() for name, query in queries.items()}
    with sqlite3.connect(book / "jobs.sqlite") as made:
        assert made.execute("pragma integrity_check").fetchone() == ("ok",)
        found = {name: made.execute(query).fetchall() for name, query in queries.items()}
    made.close()
    return found


def rejected(history: Path) -> str:
    """Give the file of rejected rows."""
    return history.with_name(f"{history.name}.rejected.csv").read_text(encoding="utf-8-sig")


def new_book(folder: Path) -> Path:
    """Make an empty book."""
    (folder / "entries").mkdir(parents=True)
    (folder / "fixbook.toml").write_text("starter = false\n")
    return folder


@pytest.fixture(scope="module")
def undisturbed(tmp_path_factory, history):
    """Give the content of a book after an import that nothing disturbed."""
    book = new_book(tmp_path_factory.mktemp("undisturbed") / "book")
    finish(book, history)
    return content(book), rejected(history)


@pytest.fixture
def kept_in(server, tmp_path) -> Path:
    """Make a book whose jobs are in its own file, then one whose jobs are on a server."""
    book = new_book(tmp_path / "book")
    if server:
        address_file(book).write_text(server)
    return book


def test_a_killed_import_run_again_gives_the_same_table(kept_in, history, undisturbed):
    """However often and whenever an import is killed, a last whole run leaves the same jobs.

    Whole batches stay: their number never falls from one kill to the next.
    """
    book = kept_in
    times = KILLS or (8 if on_server(book) else 20)
    words = [*command(book, history)[3:], str(BATCH), str(times)]
    ran = subprocess.run(
        [sys.executable, "-c", KILLED, *words],
        capture_output=True,
        text=True,
        env=alone(book),
        timeout=60 + 10 * times,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    turns = [line.split() for line in ran.stdout.splitlines()]
    assert len(turns) == times
    fell = [had for (end, had), (_, now) in pairwise(turns) if end == "killed" and now < had]
    assert (fell, "killed" in {end for end, _ in turns}) == ([], True)
    finish(book, history)
    assert (content(book), rejected(history)) == undisturbed


def test_two_imports_at_once_give_the_same_table(tmp_path, history, undisturbed):
    """Two processes that bring the same history in wait for each other, and add nothing twice."""
    book = new_book(tmp_path / "book")
    both = [start(book, history) for _ in range(2)]
    ends = [(process.communicate(timeout=100), process.returncode) for process in both]
    assert [status for _, status in ends] == [0, 0], ends
    assert content(book) == undisturbed[0]


def test_a_full_disk_keeps_what_was_accepted(tmp_path, history, undisturbed):
    """Where the disk ends, the import says so; once there is room, a rerun makes it whole."""
    resource = pytest.importorskip("resource")
    book = new_book(tmp_path / "book")
    limit = 150 * 1024

    def small() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)

    done = subprocess.run(
        command(book, history),
        capture_output=True,
        env=alone(book),
        preexec_fn=small,
        check=False,
        timeout=100,
    )
    assert (done.returncode, b"Traceback" in done.stderr) == (2, False), done.stderr
    finish(book, history)
    assert content(book) == undisturbed[0]
