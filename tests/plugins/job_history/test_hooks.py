"""What past jobs add to sheets, search, narrowing, renaming and backups."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys

import pytest
from fixbook_plugins import job_history
from fixbook_plugins.job_history.job import Job
from fixbook_plugins.job_history.store import open_store

from fixbook.api import Counts, FixbookError, Link, LinkTarget, PanelBlock, TextBlock
from fixbook.app import beside
from fixbook.app.bench import LibraryBench
from fixbook.cli.session import Session


def record(*jobs: Job) -> None:
    """Record jobs in the open book."""
    with open_store(Session().bench) as store:
        store.merge(jobs)


@pytest.fixture
def history(kept, ended):
    """Record ten jobs with one fault: eight fixed and held, one improved, one not fixed."""
    kept.add("amp-hum", title="It hums")
    ends = ["fixed"] * 8 + ["improved", "not-fixed"]
    jobs = [
        ended(str(at), end, days_ago=400 + at, minutes=30, model="QX-200")
        for at, end in enumerate(ends, 1)
    ]
    record(*jobs)
    return kept


def panel(id: str) -> dict[str, str]:
    """Give the past jobs on a sheet."""
    bench = Session().bench
    blocks = job_history.fixbook_sheet_blocks(bench, bench.entry(id))
    found = [block for block in blocks if isinstance(block, PanelBlock)]
    return dict(found[0].values) if found else {}


def test_a_sheet_tells_past_jobs(history):
    """Seen, fixed, returned, the rate with its interval, minutes, models, the last three."""
    told = panel("amp-hum")
    assert (told["seen here"], told["fixed"], told["not fixed"]) == ("10", "8", "1")
    assert told["fixes that held"] == ("8 of 10 held (80 %, 49 % to 94 % at 95 % confidence)")
    assert told["models"] == "QX-200 (10)"
    assert told["last"].count("job ") == 3


def test_below_five_jobs_a_sheet_tells_the_counts_alone(kept, ended):
    """Four jobs are too few for a rate, times or models."""
    kept.add("amp-hum")
    record(*(ended(str(at), "fixed", minutes=30, model="QX") for at in range(4)))
    assert set(panel("amp-hum")) == {"seen here", "fixed", "of these returned", "last"}


def test_a_sheet_without_past_jobs_has_no_block(kept):
    """Nothing is added where there is nothing to tell."""
    kept.add("amp-hum")
    assert panel("amp-hum") == {}


def test_a_sheet_is_shown_though_the_jobs_cannot_be_read(book, fixbook):
    """A damaged job file is said on the sheet and takes nothing else away."""
    book.add("amp-hum")
    (book.folder / "jobs.sqlite").write_bytes(b"damaged, and long enough to be looked at" * 99)
    ran = fixbook("sheet", "amp-hum")
    assert ran.status == 0
    assert "They cannot be shown" in ran.out
    assert "Measure the contact" in ran.out


def test_a_result_has_a_line_of_past_jobs(history, fixbook):
    """`find` says beside a write-up how often it was seen and how often its fix held."""
    assert "seen here 10 times, 8 of 10 held" in " ".join(fixbook("find", "hums").out.split())


def test_past_jobs_are_found_where_they_are_asked_for(history, asked):
    """`--kind job` finds jobs by their words; without it no job is in the results."""
    record(Job("J-9", complaint="rattles in the case", unit="test-amp"))
    found = asked("find", "rattles", "--kind", "job")
    assert [hit["id"] for hit in found["hits"]] == ["J-9"]
    assert all(hit["kind"] != "job" for hit in asked("find", "rattles")["hits"])
    with open_store(Session().bench) as store:
        store.edit("J-9", lambda job: Job("J-9", complaint="whistles"))
    assert asked("find", "whistles", "--kind", "job")["total"] == 1
    assert asked("find", "rattles", "--kind", "job")["weak"] in (True, False)


def test_narrowing_gets_what_was_counted(kept, ended):
    """Faults and answers of confirmed jobs of that unit; unlisted only those recorded here."""
    hum = {"signs": {"low-drone": "seen"}}
    record(
        ended("1", "fixed", **hum),
        ended("2", "uneconomic", **hum),
        ended("3", "not-fixed", **hum),
        ended("4", "fixed", faults=()),
        ended("5", "fixed", faults=(), source="old.csv"),
        ended("6", "fixed", unit="test-supply"),
    )
    bench = Session().bench
    assert bench.evidence("test-amp") == Counts(
        {"amp-hum": 2}, {"amp-hum": {"low-drone": {"seen": 2}}}, 1
    )
    assert bench.evidence("nothing") == Counts()


def test_a_renamed_entry_keeps_its_jobs(history):
    """Figures follow to the new id."""
    bench = Session().bench
    job_history.fixbook_renamed(bench, "amp-hum", "amp-drone")
    history.add("amp-drone")
    assert panel("amp-drone")["seen here"] == "10"


def test_an_alias_keeps_jobs_that_nobody_renamed(history):
    """Jobs linked under a former id stand on the sheet of the entry that has it as an alias."""
    text = history.add("amp-buzz").read_text()
    history.add("amp-buzz", text=text.replace("state:", "aliases: [amp-hum]\nstate:"))
    (history.folder / "entries/test-amp/amp-hum.md").unlink()
    assert panel("amp-buzz")["seen here"] == "10"


def test_a_write_up_that_names_a_job_is_linked_to_it(kept, fixbook, asked):
    """A job: link in a body links the job when indexed, and unlinks it when it goes."""
    record(Job("7", complaint="hums"))
    path = kept.add("amp-hum", body="\n## How it shows\n\nAs in [that one](job:7).\n")
    fixbook("find", "shows")
    assert asked("job", "show", "7")["links"] == [{"entry": "amp-hum", "how": "body"}]
    path.write_text(path.read_text().replace("[that one](job:7)", "that one, and more"))
    fixbook("find", "shows")
    assert asked("job", "show", "7")["links"] == []


def test_a_job_link_opens_the_job(kept):
    """A job: link tells the job and the command that shows it."""
    record(Job("7", complaint="hums when warm", model="QX-200"))
    found = job_history.fixbook_link_schemes()[0].resolve(Session().bench, Link("job", "7"))
    assert found == LinkTarget("job 7, QX-200, hums when warm", "fixbook job show 7")


def test_a_job_link_to_nothing_is_a_fault_of_the_write_up(kept):
    """A number that no job has is refused with words."""
    with pytest.raises(FixbookError, match="no job '8'"):
        job_history.fixbook_link_schemes()[0].resolve(Session().bench, Link("job", "8"))


def test_a_backup_of_the_file_is_whole(book, whole_job, tmp_path):
    """The file in a backup opens and holds the jobs, though a bench has it open."""
    with open_store(Session().bench) as store:
        store.add(whole_job())
        found = job_history.fixbook_backup(Session().bench)[0]
        content = found.content()
    (tmp_path / found.name).write_bytes(content)
    copy = sqlite3.connect(tmp_path / "jobs.sqlite")
    assert copy.execute("SELECT number FROM job").fetchall() == [("2041",)]
    copy.close()


@pytest.mark.parametrize("server", ["server"], indirect=True)
def test_a_backup_of_a_shared_database_is_lines(kept, whole_job):
    """The jobs of a server are in the backup as JSON Lines."""
    record(whole_job())
    found = job_history.fixbook_backup(Session().bench)[0]
    assert found.name == "jobs.jsonl"
    assert json.loads(found.content())["number"] == "2041"


@pytest.mark.parametrize("server", ["server"], indirect=True)
def test_jobs_moved_to_a_server_are_searched_there(kept, asked, monkeypatch):
    """Once the jobs are kept elsewhere, those of the file are no longer in the results."""
    address = os.environ["FIXBOOK_JOBS"]
    monkeypatch.delenv("FIXBOOK_JOBS")
    record(Job("1", complaint="rattles"))
    assert asked("find", "rattles", "--kind", "job")["total"] == 1
    settings = kept.folder / "fixbook.toml"
    settings.write_text(f'{settings.read_text()}jobs = "{address}"\n')
    record(Job("2", complaint="rattles too"))
    hits = asked("find", "rattles", "--kind", "job")["hits"]
    assert [hit["id"] for hit in hits] == ["2"]


@pytest.mark.parametrize("server", ["server"], indirect=True)
def test_figures_of_a_shared_database_say_of_when_they_are(kept, ended, monkeypatch):
    """Old ones are shown with their age while another process refreshes them, asked once."""
    kept.add("amp-hum")
    record(ended("1", "fixed"))
    started: list[object] = []
    monkeypatch.setattr(LibraryBench, "refresh_beside", lambda bench: started.append(bench))
    bench = Session().bench
    for name in ("job-figures.checked",):
        os.utime(f"{bench.cache}/{name}", (1_700_000_000, 1_700_000_000))
    for _ in range(2):
        block = job_history.fixbook_sheet_blocks(bench, bench.entry("amp-hum"))[0]
    assert isinstance(block, PanelBlock)
    assert "2023-11-1" in block.note
    assert started == [bench]


def test_the_background_command_refreshes_this_book(book):
    """What is started in the background is this program, for this book."""
    command = beside.command(Session().bench.folder)
    ran = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert ran.returncode == 0, ran.stderr
    assert "the index was made anew" in ran.stdout


COLD = """
import sys
from fixbook.cli.main import main
status = main(sys.argv[1:])
print([name for name in ("sqlalchemy", "sqlite3", "psycopg") if name in sys.modules])
"""


@pytest.mark.parametrize("words", [("sheet", "amp-hum"), ("find", "hums")])
def test_a_cold_command_opens_no_database(book, ended, fixbook, words):
    """Sheets and searches tell past jobs from the cache, without the database library."""
    book.add("amp-hum", title="It hums")
    record(*(ended(str(at), "fixed") for at in range(6)))
    fixbook(*words)
    ran = subprocess.run(
        [sys.executable, "-c", COLD, *words], capture_output=True, text=True, check=True
    )
    assert "6" in ran.stdout
    assert ran.stdout.endswith("[]\n")


def test_text_blocks_of_trouble_are_marked(book):
    """What cannot be read is a doubt, in words."""
    book.add("amp-hum")
    (book.folder / "jobs.sqlite").write_bytes(b"damaged, and long enough to be looked at" * 99)
    bench = Session().bench
    block = job_history.fixbook_sheet_blocks(bench, bench.entry("amp-hum"))[0]
    assert isinstance(block, TextBlock)
    assert block.weight == "doubt"


def test_a_link_of_a_text_is_said_to_come_back(kept, fixbook):
    """Taken away by hand, a link that a write-up's text makes would be there again one day."""
    record(Job("7", complaint="hums"))
    kept.add("amp-hum", body="\n## How it shows\n\nAs in [that one](job:7).\n")
    fixbook("find", "shows")
    said = " ".join(fixbook("job", "unlink", "7", "amp-hum").out.split())
    assert "The text of amp-hum names it and links it anew" in said
