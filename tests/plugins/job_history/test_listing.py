"""Seeing jobs: lists, one job whole, what is printed, and what is exported."""

from __future__ import annotations

import csv
import io
import json

import pytest
from fixbook_plugins.job_history.exporting import harmless
from fixbook_plugins.job_history.job_json import job_from_json
from fixbook_plugins.job_history.store import open_store

from fixbook.cli.session import Session


@pytest.fixture
def jobs(book, ended, whole_job):
    """Record three jobs: one whole, one on the bench, one that came back."""
    book.add("amp-hum", title="It hums")
    with open_store(Session().bench) as store:
        store.add(whole_job())
        store.add(ended("2042", "", stage="on-bench", handed_over=None, complaint="=1+1"))
        store.add(ended("2043", "not-fixed", return_of="2041", faults=()))
    return book


def test_todays_bench_is_what_is_still_in_the_shop(jobs, asked):
    """`--open` leaves out what was handed over."""
    assert [job["number"] for job in asked("job", "list", "--open")] == ["2042"]


def test_a_list_has_a_line_for_each_job(jobs, fixbook, ended):
    """At 80 columns a long complaint ends with …, and no row goes over two lines."""
    long = {"complaint": "no sound on the left side once it is warm " * 3, "model": "QX-200 rev B"}
    with open_store(Session().bench) as store:
        store.merge(
            ended(f"30{at}", "", stage="waiting-for-parts", handed_over=None, shelf="B3", **long)
            for at in range(5)
        )
    lines = fixbook("job", "list", "--open").out.splitlines()
    assert (len(lines), max(map(len, lines)) <= 80) == (7, True)
    assert sum(line.endswith("…") for line in lines) == 5


def test_rates_of_all_have_a_line_for_each_fault(jobs, fixbook, ended):
    """At 80 columns counts, rate (Wilson: 5 of 5 is 57 to 100 %) and times are beside its id."""
    with open_store(Session().bench) as store:
        store.merge(ended(f"A{at}", "fixed", minutes=30) for at in range(4))
    line = next(one for one in fixbook("job", "rates").out.splitlines() if "amp-hum" in one)
    assert line.split(maxsplit=1)[1].split() == "6 5 of 5 (57–100 %) 0 0 30, 32".split()


@pytest.mark.parametrize("sub", ["ticket", "hand-over", "list"])
def test_what_is_printed_shows_how_in_its_help(fixbook, capsys, sub):
    """The page's options stand in the help of a sub-command, beside an --open of its own."""
    with pytest.raises(SystemExit):
        fixbook("job", sub, "--help")
    out = capsys.readouterr().out
    assert "--html FILE" in out and "--pdf FILE" in out


def test_an_empty_list_says_so(book, fixbook):
    """Nothing found is status 1, with a sentence."""
    ran = fixbook("job", "list", "--open")
    assert (ran.status, ran.out.strip()) == (1, "The bench is clear.")


def test_a_job_is_shown_with_links_on_both_sides(jobs, asked):
    """A job tells its write-ups and how it came back; the later one tells the first."""
    first, later = asked("job", "show", "2041"), asked("job", "show", "2043")
    assert first["links"] == [{"entry": "amp-hum", "how": "hand"}]
    assert (first["returned_as"], later["return_of"]) == (["2043"], "2041")


def test_a_job_is_shown_on_the_terminal(jobs, fixbook):
    """Every part of a job stands on its page."""
    out = fixbook("job", "show", "2041").out
    for words in ("QX-200 rev B", "It hums", "new relay", "50 mohm", "waited for the relay", "RL1"):
        assert words in out


def test_a_write_up_that_is_gone_does_not_hide_its_job(book, whole_job, fixbook):
    """A link to a write-up that no longer exists is named as such."""
    with open_store(Session().bench) as store:
        store.add(whole_job())
    ran = fixbook("job", "show", "2041")
    assert ran.status == 0
    assert "(no such write-up now)" in ran.out


def test_the_ticket_has_lines_for_what_is_not_known(jobs, fixbook):
    """What is recorded stands on the ticket, the rest has a line to write on."""
    out = fixbook("job", "ticket", "2042").out
    assert "JOB 2042, Test" in out
    assert "shelf: ......" in out


def test_the_hand_over_note_says_what_was_done_and_until_when(jobs, fixbook):
    """Work, parts, readings, the safety test and the warranty stand on the note."""
    out = " ".join(fixbook("job", "hand-over", "2041").out.split())
    for words in ("Repaired.", "new relay", "passed by the local code", "60 minutes", "2024-04-08"):
        assert words in out


def test_exported_csv_is_safe_in_a_spreadsheet(jobs, fixbook):
    """A complaint that looks like a formula is text, and every job has its row."""
    rows = list(csv.DictReader(io.StringIO(fixbook("job", "export", "--csv").out)))
    assert {row["number"]: row["complaint"] for row in rows} == {
        "2041": "drones",
        "2042": "'=1+1",
        "2043": "",
    }


@pytest.mark.parametrize("cell", ["=1", "+1", "-1", "@a", "\tx", "\rx", " =1", "\n=1"])
def test_a_cell_that_begins_like_a_formula_is_quoted(cell):
    """A quote before it makes any such cell text."""
    assert harmless(cell) == f"'{cell}"


def test_exported_lines_are_the_jobs(jobs, fixbook, whole_job, tmp_path):
    """JSON Lines hold everything, and are read back as the same jobs."""
    file = tmp_path / "out.jsonl"
    assert fixbook("job", "export", str(file)).status == 0
    lines = [job_from_json(json.loads(line)) for line in file.read_text().splitlines()]
    assert len(lines) == 3
    assert whole_job() in lines


def test_an_export_overwrites_nothing(jobs, fixbook, tmp_path):
    """A file that is there is book, and said."""
    file = tmp_path / "out.csv"
    file.write_text("mine")
    assert fixbook("job", "export", str(file)).status == 2
    assert file.read_text() == "mine"


def test_rates_are_told_for_one_and_for_all(jobs, asked):
    """One fault is an object, all are a list with the most frequent first."""
    one = asked("job", "rates", "amp-hum")
    assert (one["fault"], one["seen"], one["fixed"], one["returned"]) == ("amp-hum", 2, 1, 0)
    assert asked("job", "rates") == [one]


def test_rates_as_json_have_exactly_the_promised_keys(jobs, asked, ended):
    """Below five jobs the rate is null, without times the minutes are; later both are objects."""
    few = asked("job", "rates", "amp-buzz") if jobs.add("amp-buzz") else {}
    assert few == {
        "fault": "amp-buzz", "seen": 0, "fixed": 0, "not_fixed": 0, "returned": 0, "improved": 0,
        "in_warranty": 0, "fix_rate": None, "minutes": None,
    }  # fmt: skip
    with open_store(Session().bench) as store:
        store.merge(ended(f"A{at}", "fixed", minutes=30) for at in range(4))
    many = asked("job", "rates", "amp-hum")
    assert list(many) == list(few)
    assert set(many["fix_rate"]) == {"value", "low", "high", "confidence"}
    assert set(many["minutes"]) == {"median", "p80"}


@pytest.mark.parametrize("model", ["QX-200 rev B", "qx200REVb", "  qx 200-rev_b "])
def test_a_model_is_found_however_it_is_written(jobs, asked, model):
    """Capitals, hyphens and blanks tell no model from another."""
    assert [job["number"] for job in asked("job", "list", "--model", model)] == ["2041"]


def test_a_model_that_nobody_brought_is_said_with_those_near(jobs, fixbook):
    """A misspelt or shortened model finds nothing, and the answer names the nearest."""
    ran = fixbook("job", "list", "--model", "qx 20")
    assert (ran.status, "did you mean QX-200 rev B?" in " ".join(ran.out.split())) == (1, True)


def test_a_known_model_that_does_not_fit_is_no_misspelling(jobs, fixbook):
    """Where another option leaves nothing, the model is not doubted."""
    ran = fixbook("job", "list", "--model", "QX-200 rev B", "--outcome", "declined")
    assert (ran.status, ran.out.strip()) == (1, "No job fits.")


@pytest.mark.parametrize(("by", "values"), [("model", ["QX-200 rev B", None]), ("year", 2)])
def test_rates_are_told_apart(jobs, asked, by, values):
    """By model or year each group has figures of its own."""
    found = [one[by] for one in asked("job", "rates", "amp-hum", "--by", by)]
    assert found == values or len(found) == values


def test_a_fault_nobody_had_is_status_1(jobs, fixbook):
    """No job is an answer, not an error."""
    jobs.add("amp-buzz")
    assert fixbook("job", "rates", "amp-buzz").status == 1


def test_learnt_readings_stand_beside_the_window(jobs, asked):
    """What was read after repairs that held, with what the write-up states."""
    found = asked("job", "readings", "amp-hum")["readings"][0]
    assert (found["count"], found["median"], found["stated"]) == (1, 0.05, "0 .. 100 mohm")


def test_suggestions_have_scores_and_reasons(book, asked, fixbook):
    """The write-up with the job's sign and words is suggested first, and linked by nobody."""
    book.add("amp-hum", title="Low drone from the relay")
    book.add("amp-dark", title="Lamp stays dark", body="\n## How it shows\n\nNo light.\n")
    words = ("--sign", "low-drone", "--complaint", "droning relay")
    asked("job", "new", "--unit", "test-amp", *words)
    best = asked("job", "suggest", "1")[0]
    assert best["entry"] == "amp-hum"
    assert 0.25 <= best["score"] <= 1
    assert [reason.split(":")[0] for reason in best["reasons"]] == ["signs", "words"]
    assert asked("job", "show", "1")["faults"] == []
    assert [one["job"] for one in asked("job", "suggest", "--all")] == ["1"]


def test_a_suggestion_is_for_the_unit_and_the_model(book, asked):
    """Write-ups of another model are not suggested."""
    text = (book.add("amp-hum", title="Low drone")).read_text()
    book.add("amp-hum", text=text.replace("share: common", "share: common\nmodels: [ZB-9]"))
    asked("job", "new", "--unit", "test-amp", "--model", "QX", "--complaint", "low drone")
    asked("job", "new", "--unit", "test-amp", "--model", "zb 9", "--complaint", "low drone")
    assert asked("job", "suggest", "1") == []
    assert "model: zb 9" in asked("job", "suggest", "2")[0]["reasons"]


def test_links_are_made_and_taken_away_on_the_command_line(jobs, asked):
    """Both commands give the job as it is then."""
    assert asked("job", "link", "2043", "amp-hum")["faults"] == ["amp-hum"]
    assert asked("job", "unlink", "2043", "amp-hum")["faults"] == []
