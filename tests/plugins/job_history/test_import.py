"""`fixbook job import`, from the file to the book."""

from __future__ import annotations

import csv
import json
import sqlite3
from pathlib import Path

import pytest
from fixbook_plugins.job_history import commands, fixbook_backup

from fixbook.app.bench import LibraryBench
from fixbook.cli.session import Session
from fixbook.cli.words import add_book, new_parser, parse

HISTORY = """\
Job no;Customer;Date in;Date out;Type;Model;Complaint;Result;Hours;Notes
7;Mr Test;03/02/2024;10/02/2024;amp;AV-100;hums;Repaired;1,5;see fault:amp-hum
8;Mrs Test;05/02/2024;;amp;AV-100;no sound;NFF;;
9;Mr Test;31/02/2024;;amp;AV-200;dead;NFF;;
10;Mr Test;06/02/2024;;toaster;AV-300;smells;all dandy;;
"""


@pytest.fixture
def history(book, tmp_path):
    """Write a small history with two rows that cannot be read."""
    book.add("amp-hum")
    path = tmp_path / "jobs.csv"
    path.write_text(HISTORY, encoding="utf-8")
    return path


def table(book):
    """Give the jobs in the book, by number."""
    with sqlite3.connect(book.folder / "jobs.sqlite") as made:
        made.row_factory = sqlite3.Row
        rows = [dict(row) for row in made.execute("select * from job order by number")]
    made.close()
    return {row["number"]: row for row in rows}


def bring(fixbook, path, *words):
    """Bring a history in and give what was done."""
    ran = fixbook("job", "import", str(path), "--json", *words)
    assert ran.out, ran.err
    return json.loads(ran.out)


def counts(done):
    """Give the four counts of an import."""
    return tuple(done[name] for name in ("added", "changed", "same", "rejected"))


def test_the_good_rows_are_in(book, fixbook, history):
    """Rows become jobs: dates, unit, time, outcome and stage as the history says."""
    assert counts(bring(fixbook, history)) == (2, 0, 0, 2)
    job = table(book)["7"]
    wanted = {"booked_in": "2024-02-03", "handed_over": "2024-02-10", "unit": "test-amp",
              "model": "AV-100", "minutes": 90, "outcome": "fixed",
              "stage": "handed-over"}  # fmt: skip
    assert {name: job[name] for name in wanted} == wanted


def test_no_customer_is_in_the_book(book, fixbook, history):
    """Nothing of a customer's column reaches the database, and the answer says so."""
    done = bring(fixbook, history)
    dropped = {one["column"]: one["why"] for one in done["columns"] if one["field"] == "nothing"}
    assert "customers" in dropped["Customer"]
    assert b"Mr Test" not in (book.folder / "jobs.sqlite").read_bytes()


def test_a_customers_column_is_kept_where_one_insists(book, fixbook, history):
    """A column goes where one says, whatever it is called."""
    bring(fixbook, history, "--map", "Customer=accessories")
    assert table(book)["7"]["accessories"] == "Mr Test"


def test_unreadable_rows_are_kept_aside_with_reasons(fixbook, history):
    """Beside the history stands a file of the rows that are not in, without the customers."""
    done = bring(fixbook, history)
    with open(done["rejected_file"], encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["rejected: row"], row["Job no"]) for row in rows] == [("4", "9"), ("5", "10")]
    assert "on no calendar" in rows[0]["rejected: why"]
    assert "'all dandy'" in rows[1]["rejected: why"]
    assert "Customer" not in rows[0]


def test_a_second_run_changes_nothing(book, fixbook, history):
    """The same history again adds nothing twice."""
    bring(fixbook, history)
    before = table(book)
    assert counts(bring(fixbook, history)) == (0, 0, 2, 2)
    assert table(book) == before


def test_a_second_run_updates_what_changed(book, fixbook, history):
    """A row that says something else now changes its job, and no other."""
    bring(fixbook, history)
    history.write_text(HISTORY.replace("no sound;NFF", "no sound;Repaired"), encoding="utf-8")
    assert counts(bring(fixbook, history)) == (0, 1, 1, 2)
    assert table(book)["8"]["outcome"] == "fixed"


def test_what_was_changed_at_the_bench_stays(book, fixbook, history):
    """A row that says what it said before does not undo what was written here since."""
    bring(fixbook, history)
    assert fixbook("job", "edit", "8", "shelf=B2", "complaint=no sound at all").status == 0
    assert counts(bring(fixbook, history)) == (0, 0, 2, 2)
    assert table(book)["8"]["complaint"] == "no sound at all"


def test_a_mended_row_comes_in_from_the_file_of_rejected_rows(book, fixbook, history):
    """Rejected rows can be mended where they are and brought in, with the columns as agreed."""
    done = bring(fixbook, history, "--map", "Model=shelf")
    mended = history.with_name("mended.csv")
    text = Path(done["rejected_file"]).read_text(encoding="utf-8-sig")
    mended.write_text(text.replace("31/02", "28/02"), encoding="utf-8")
    assert counts(bring(fixbook, mended)) == (1, 0, 0, 1)
    assert table(book)["9"]["shelf"] == "AV-200"


def test_when_all_is_well_the_old_file_of_rejected_rows_goes(fixbook, history):
    """A history that is mended leaves no stale file behind."""
    done = bring(fixbook, history)
    history.write_text(HISTORY.replace("31/02", "28/02"), encoding="utf-8")
    assert bring(fixbook, history, "--word", "all dandy=fixed")["rejected_file"] is None
    assert not history.with_name(done["rejected_file"].rsplit("/", 1)[-1]).exists()


def test_a_word_is_said_once(book, fixbook, history):
    """What a shop's word means is remembered for every history to come."""
    bring(fixbook, history, "--word", "All Dandy=fixed")
    other = history.with_name("other.csv")
    other.write_text("Ticket,Result\n20,all dandy\n", encoding="utf-8")
    bring(fixbook, other)
    assert table(book)["20"]["outcome"] == "fixed"


def test_links_in_notes_are_found(book, fixbook, history):
    """A note that names a write-up links its job to it."""
    bring(fixbook, history)
    with sqlite3.connect(book.folder / "jobs.sqlite") as made:
        links = made.execute("select job, entry from job_link").fetchall()
    made.close()
    assert links == [("7", "amp-hum")]


def test_rows_without_numbers_are_known_by_a_key(book, fixbook, tmp_path):
    """Columns that tell rows apart take the place of a job number, now and the next time."""
    path = tmp_path / "jobs.csv"
    path.write_text("Serial,Date in,Result\nS1,2024-01-02,ok\nS1,2024-05-02,ok\n")
    assert counts(bring(fixbook, path, "--key", "Serial,Date in")) == (2, 0, 0, 0)
    path.write_text("Serial,Date in,Result\nS1,2024-01-02,failed\nS1,2024-05-02,ok\n")
    assert counts(bring(fixbook, path)) == (0, 1, 1, 0)


def test_without_number_and_key_nothing_is_brought_in(book, fixbook, tmp_path):
    """Rows that could not be known again are refused, with what to say."""
    path = tmp_path / "jobs.csv"
    path.write_text("Serial,Result\nS1,ok\n")
    ran = fixbook("job", "import", str(path))
    assert (ran.status, "--key" in ran.err) == (2, True)


def test_a_number_that_comes_twice_is_said(book, fixbook, tmp_path):
    """Two rows of one number that say different things: the first is in, the second aside."""
    path = tmp_path / "jobs.csv"
    path.write_text("Job,Model,Result\n1,A,ok\n1,B,ok\n1,A,ok\n")
    done = bring(fixbook, path)
    assert counts(done) == (1, 0, 1, 1)
    assert "in row 2 already" in done["reasons"][0]["why"]


def test_a_row_that_was_set_aside_for_its_number_never_changes_the_first(book, fixbook, tmp_path):
    """From the file of rejected rows, and from that one's own, it is refused until it is mended."""
    path = tmp_path / "jobs.csv"
    path.write_text("Job,Complaint,Result\n71,first,ok\n71,second,ok\n")
    done = bring(fixbook, path)
    for _ in range(2):
        done = bring(fixbook, Path(done["rejected_file"]))
        assert counts(done) == (0, 0, 0, 1)
        assert "a number of its own" in done["reasons"][0]["why"]
    mended = Path(done["rejected_file"])
    text = mended.read_text(encoding="utf-8-sig").replace(",71,second", ",72,second")
    mended.write_text(text, encoding="utf-8")
    assert counts(bring(fixbook, mended)) == (1, 0, 0, 0)
    found = {number: row["complaint"] for number, row in table(book).items()}
    assert found == {"71": "first", "72": "second"}


def test_the_summary_names_the_first_rows_of_each_reason(book, fixbook, tmp_path):
    """Where a reason comes often its first rows are named, and how many more there are."""
    path = tmp_path / "jobs.csv"
    bad = "".join(f"{number},31.02.2024,ok\n" for number in range(2, 7))
    path.write_text(f"Job,Date in,Result\n1,2024-01-02,ok\n{bad}", encoding="utf-8")
    out = " ".join(fixbook("job", "import", str(path), "--yes").out.split())
    assert "3, 4, 5 and 2 more Date in: the date '31.02.2024' is on no calendar" in out


def test_numbers_that_a_program_made_fractions_are_whole(book, fixbook, tmp_path):
    """2041.0, as pandas writes it beside an empty cell, is job 2041."""
    path = tmp_path / "jobs.csv"
    path.write_text("Job,Result\n2041.0,ok\n2042.0,ok\n")
    bring(fixbook, path)
    assert list(table(book)) == ["2041", "2042"]


def test_a_column_shows_that_the_month_stands_first(book, fixbook, tmp_path):
    """Figures that can only be month first are read so throughout."""
    path = tmp_path / "jobs.csv"
    path.write_text("Job,Date in,Result\n1,03/04/2024,ok\n2,03/25/2024,ok\n")
    bring(fixbook, path)
    assert [row["booked_in"] for row in table(book).values()] == ["2024-03-04", "2024-03-25"]


def test_a_formula_stays_text(book, fixbook, tmp_path):
    """The apostrophe that keeps a spreadsheet from running a cell is not part of the text."""
    path = tmp_path / "jobs.csv"
    path.write_text("Job,Complaint,Result\n1,'-15 V rail missing,ok\n")
    bring(fixbook, path)
    assert table(book)["1"]["complaint"] == "-15 V rail missing"


def test_a_trial_writes_nothing(book, fixbook, history):
    """A trial counts what would be done, and leaves book and folder as they were."""
    done = bring(fixbook, history, "--trial")
    assert (counts(done), done["rejected_file"]) == ((2, 0, 0, 2), None)
    assert table(book) == {}
    assert not (book.folder / "job-import.json").exists()


def test_the_columns_are_shown(fixbook, book, history):
    """A person sees where each column goes, and how to change it."""
    ran = fixbook("job", "import", str(history))
    assert "Customer" in ran.out and "--map" in ran.out and "could not be read: 2" in ran.out


def test_an_unknown_kind_of_file_is_refused(book, fixbook, tmp_path):
    """A file that nothing reads is said, with the kinds there are."""
    (tmp_path / "jobs.xls").write_bytes(b"\xd0\xcf")
    ran = fixbook("job", "import", str(tmp_path / "jobs.xls"))
    assert (ran.status, ".xlsx" in ran.err) == (2, True)


def test_the_starter_book_alone_takes_no_jobs(fixbook, history, monkeypatch):
    """Without a book of one's own the answer says how to make one."""
    monkeypatch.delenv("FIXBOOK_BOOK")
    ran = fixbook("job", "import", str(history))
    assert (ran.status, "fixbook book new" in ran.err) == (2, True)


def test_no_usable_row_is_an_answer(book, fixbook, tmp_path):
    """Where not one row can be read, the status says so."""
    path = tmp_path / "jobs.csv"
    path.write_text("Job,Date in,Result\n1,soon,ok\n")
    assert fixbook("job", "import", str(path)).status == 1


def asked(book, answers, *words):
    """Run an import with somebody at the terminal who gives these answers; give what was asked."""
    session, left, seen = Session(book=str(book.folder)), list(answers), []

    def ask(form):
        seen.append(form[0].help)
        return {form[0].name: left.pop(0)} if left else {}

    parser = new_parser("job", "jobs")
    add_book(parser)
    commands.configure(parser)
    bench = LibraryBench(session.library, ask=ask, show=lambda blocks: None)
    commands.run(bench, parse(parser, ["import", *words]))
    return seen


def test_columns_and_words_are_asked_for_on_a_terminal(book, history):
    """A person corrects a column, goes on, and says what an unknown word means."""
    seen = asked(book, ["Model=shelf", "", "fixed"], str(history))
    assert "all dandy" in seen[2]
    job = table(book)["10"]
    assert (job["outcome"], job["shelf"], job["unit"]) == ("fixed", "AV-300", "toaster")


def test_a_table_of_a_database_is_brought_in(book, fixbook, tmp_path):
    """`--sql` and `--table` bring an existing database's jobs in."""
    made = sqlite3.connect(tmp_path / "shop.sqlite")
    made.execute("create table repairs (id integer, fault text, status text)")
    made.execute("insert into repairs values (5, 'hum', 'waiting for parts')")
    made.commit()
    made.close()
    words = ("--sql", str(tmp_path / "shop.sqlite"), "--table", "repairs", "--json")
    ran = fixbook("job", "import", *words)
    assert counts(json.loads(ran.out)) == (1, 0, 0, 0)
    assert table(book)["5"]["stage"] == "waiting-for-parts"


def test_what_an_import_taught_is_in_a_backup(book, fixbook, history):
    """A backup holds the jobs and how the shop's columns and words are read."""
    bring(fixbook, history)
    names = {one.name: one.content() for one in fixbook_backup(Session().bench)}
    assert b"Complaint" in names["job-import.json"]
    assert names["jobs.sqlite"].startswith(b"SQLite format 3")


def test_an_export_comes_back_in(book, fixbook, history, tmp_path, monkeypatch):
    """Jobs written as JSON Lines come into another book as they were."""
    bring(fixbook, history)
    assert fixbook("job", "export", str(tmp_path / "out.jsonl")).status == 0
    before = table(book)
    (book.folder / "jobs.sqlite").unlink()
    for more in ("-wal", "-shm"):
        (book.folder / f"jobs.sqlite{more}").unlink(missing_ok=True)
    done = bring(fixbook, tmp_path / "out.jsonl")
    left_out = ("version", "source")
    kept = [{n: v for n, v in row.items() if n not in left_out} for row in before.values()]
    after = [{n: v for n, v in row.items() if n not in left_out} for row in table(book).values()]
    assert (counts(done), after) == ((2, 0, 0, 0), kept)
