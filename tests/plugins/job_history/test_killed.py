"""A bench that is killed while it saves and links: nothing accepted is lost."""

from __future__ import annotations

import os
import random
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
import sys
from dataclasses import replace
from pathlib import Path
from fixbook_plugins.job_history.database import open_file
from fixbook_plugins.job_history.job import Job, Note
from fixbook_plugins.job_history.store import Store
store = Store(open_file(Path(sys.argv[1])))
print("ready", flush=True)
while True:
    job = store.add_next(lambda number: Job(number, complaint="hums", signs={"hum": "seen"}))
    print("saved", job.number, flush=True)
    store.link(job.number, ["amp-hum", "amp-dc"])
    print("linked", job.number, flush=True)
    note = Note("", "x" * 500)
    store.edit(job.number, lambda one: replace(one, notes=(note,), shelf="B3"))
    print("noted", job.number, flush=True)
"""

pytestmark = pytest.mark.skipif(os.name != "posix", reason="kills as a POSIX system does it")


def killed_after(file: Path, lines: int) -> list[list[str]]:
    """Work until so many steps are accepted, kill without warning; what was accepted."""
    command = [sys.executable, "-c", WORK, str(file)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as bench:
        assert bench.stdout is not None
        heard = [bench.stdout.readline() for _ in range(lines + 1)]
        bench.kill()
        heard += bench.stdout.readlines()
    assert heard[0] == "ready\n"
    return [line.split() for line in heard[1:] if line.endswith("\n")]


def test_a_killed_bench_loses_nothing_that_was_accepted(tmp_path):
    """After each kill every accepted save, link and note is there, and the file is whole."""
    chance = random.Random(11)
    file = tmp_path / "jobs.sqlite"
    accepted: list[list[str]] = []
    for _ in range(KILLS):
        accepted += killed_after(file, chance.randint(1, 40))
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


def test_a_killed_bench_leaves_the_file_whole(tmp_path):
    """No step is half done: a job has both links or none, and its note with its shelf."""
    file = tmp_path / "jobs.sqlite"
    killed_after(file, 25)
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
