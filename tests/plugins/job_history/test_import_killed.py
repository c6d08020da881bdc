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

ROWS = 2_500
KILLS = int(os.environ.get("FIXBOOK_TEST_KILLS", "20"))
"""How often an import is killed; more by hand."""
COLUMNS = "number, booked_in, unit, model, complaint, stage, outcome, minutes"

KILLED = """
import os, random, signal, sqlite3, sys
import sqlalchemy.dialects.sqlite
from pathlib import Path
from fixbook.cli.main import main
from fixbook_plugins.job_history import importing, store

words, times = sys.argv[1:-1], int(sys.argv[-1])
book = Path(words[words.index("--book") + 1])
chance = random.Random(7)

def count():
    if not (book / "jobs.sqlite").exists():
        return 0
    made = sqlite3.connect(book / "jobs.sqlite")
    there = made.execute("select 1 from sqlite_master where name = 'job'").fetchall()
    found = made.execute("select count(*) from job").fetchone()[0] if there else 0
    made.close()
    return found

for _ in range(times):
    moment = chance.uniform(0.02, 0.7)
    child = os.fork()
    if not child:
        signal.setitimer(signal.ITIMER_REAL, moment)  # nothing here catches it: the system kills
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        os._exit(main(words))
    _, status = os.waitpid(child, 0)
    print("killed" if os.WIFSIGNALED(status) else f"ended-{status}", f"{count():09d}", flush=True)
    if not os.WIFSIGNALED(status):
        assert status == 0
        for name in ("jobs.sqlite", "jobs.sqlite-wal", "jobs.sqlite-shm"):
            (book / name).unlink(missing_ok=True)
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
    """Give an environment with nothing of the user's own, its folders beside the book."""
    kept = {name: text for name, text in os.environ.items() if not name.startswith("FIXBOOK_")}
    homes = {f"XDG_{name}_HOME": str(book.parent / name) for name in ("CACHE", "DATA", "CONFIG")}
    return {**kept, **homes, "HOME": str(book.parent)}


def finish(book: Path, history: Path) -> None:
    """Run an import to its end."""
    process = start(book, history)
    _, err = process.communicate(timeout=100)
    assert process.returncode == 0, err


def content(book: Path) -> dict[str, list[tuple[object, ...]]]:
    """Give all that an import writes, in order."""
    queries = {
        "jobs": f"select {COLUMNS} from job order by number",
        "parts": "select job, place, what, count from job_part order by job, place",
        "notes": 'select job, place, "when", text from job_note order by job, place',
    }
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


def test_a_killed_import_run_again_gives_the_same_table(tmp_path, history, undisturbed):
    """However often and whenever an import is killed, a last whole run leaves the same jobs.

    Whole batches stay: their number never falls from one kill to the next.
    """
    book = new_book(tmp_path / "book")
    words = [*command(book, history)[3:], str(KILLS)]
    ran = subprocess.run(
        [sys.executable, "-c", KILLED, *words],
        capture_output=True,
        text=True,
        env=alone(book),
        timeout=60 + 10 * KILLS,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    turns = [line.split() for line in ran.stdout.splitlines()]
    assert len(turns) == KILLS
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
    limit = 300 * 1024

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
