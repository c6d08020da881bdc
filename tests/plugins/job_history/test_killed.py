"""A bench that is killed while it saves and links: nothing accepted is lost."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from fixbook_plugins.job_history.database import open_file
from fixbook_plugins.job_history.store import Store

KILLS = int(os.environ.get("FIXBOOK_TEST_KILLS", "20"))
"""How often a bench is killed; more by hand."""
WORK = """
import os, random, signal, sys
from dataclasses import replace
from pathlib import Path
from fixbook_plugins.job_history.database import open_file
from fixbook_plugins.job_history.job import Job, Note
from fixbook_plugins.job_history.store import Store

def work(said):
    store = Store(open_file(Path(sys.argv[1])))
    say = lambda *words: os.write(said, (" ".join(words) + chr(10)).encode())
    while True:
        job = store.add_next(lambda number: Job(number, complaint="hums", signs={"hum": "seen"}))
        say("saved", job.number)
        store.link(job.number, ["amp-hum", "amp-dc"])
        say("linked", job.number)
        note = Note("", "x" * 500)
        store.edit(job.number, lambda one: replace(one, notes=(note,), shelf="B3"))
        say("noted", job.number)

Store(open_file(Path(sys.argv[1]))).close()
chance = random.Random(11)
for _ in range(int(sys.argv[2])):
    hear, said = os.pipe()
    child = os.fork()
    if not child:
        work(said)
    os.close(said)
    with os.fdopen(hear) as heard:
        lines = [heard.readline() for _ in range(chance.randint(1, 9))]
        for _ in range(chance.randint(0, 60_000)):
            pass  # so that the kill falls anywhere between two steps
        os.kill(child, signal.SIGKILL)
        lines += heard.readlines()
    os.waitpid(child, 0)
    print("".join(line for line in lines if line.endswith(chr(10))), end="")
"""
"""Forks a bench, kills it without warning while it works, and prints what it had accepted."""

pytestmark = pytest.mark.skipif(os.name != "posix", reason="kills as a POSIX system does it")


@pytest.fixture(scope="module")
def aftermath(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[list[str]]]:
    """Kill benches at work on one file; the file, and what they had accepted."""
    file = tmp_path_factory.mktemp("killed") / "jobs.sqlite"
    return file, killed(file, KILLS)


def killed(file: Path, times: int) -> list[list[str]]:
    """Kill so many benches at work, one after another; what they had accepted."""
    command = [sys.executable, "-c", WORK, str(file), str(times)]
    ran = subprocess.run(
        command, check=False, capture_output=True, text=True, timeout=30 + 3 * times
    )
    assert ran.returncode == 0, ran.stderr
    return [line.split() for line in ran.stdout.splitlines()]


def test_a_killed_bench_loses_nothing_that_was_accepted(aftermath):
    """After each kill every accepted save, link and note is there, and the file is whole."""
    file, accepted = aftermath
    with Store(open_file(file)) as store:
        jobs = store.many(number for _, number in accepted)
    wrong = [
        (what, number)
        for what, number in accepted
        if number not in jobs
        or (what == "linked" and jobs[number].faults != ("amp-hum", "amp-dc"))
        or (what == "noted" and (len(jobs[number].notes), jobs[number].shelf) != (1, "B3"))
    ]
    assert not wrong
    assert len(accepted) > KILLS


def test_a_killed_bench_leaves_the_file_whole(aftermath):
    """No step is half done: a job has both links or none, and its note with its shelf."""
    file, _ = aftermath
    with sqlite3.connect(file) as made:
        assert made.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert made.execute("PRAGMA foreign_key_check").fetchall() == []
        half = "SELECT job FROM job_link GROUP BY job HAVING count(*) <> 2"
        assert made.execute(half).fetchall() == []
        apart = (
            "SELECT number FROM job WHERE (shelf = 'B3') <> (number IN (SELECT job FROM job_note))"
        )
        assert made.execute(apart).fetchall() == []
    made.close()
