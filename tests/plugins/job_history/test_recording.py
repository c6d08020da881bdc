"""Recording jobs on the command line: booking in, noting, measuring, closing."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from fixbook_plugins.job_history.errors import JobError
from fixbook_plugins.job_history.job import Job
from fixbook_plugins.job_history.panel_work import work
from fixbook_plugins.job_history.store import open_store

from fixbook.api import PanelWork
from fixbook.cli.session import Session

SUPPLY_WORDS = """\
units:
  linear-supply: {name: linear supply}
  mains-amp: {name: mains amplifier, contains: [linear-supply]}
"""
TODAY = date.today().isoformat()


@pytest.fixture(scope="module")
def first_booking():
    """Keep what the first booking of these tests gave and wrote, for the others to begin with."""
    return {}


@pytest.fixture
def booked(book, asked, first_booking):
    """Book a unit in, in a book with one write-up."""
    book.add("amp-hum", title="It hums")
    file = book.folder / "jobs.sqlite"
    if first_booking:
        file.write_bytes(first_booking["file"])
    else:
        words = ("--unit", "amp", "--model", "QX-200", "--complaint", "drones")
        first_booking["job"] = asked("job", "new", *words)
        first_booking["file"] = file.read_bytes()
    return dict(first_booking["job"])


def recorded(number: str) -> Job:
    """Give a job as it is recorded."""
    with open_store(Session().bench) as store:
        return store.get(number)


def test_a_unit_is_booked_in_under_the_next_number(booked):
    """The unit's other name is understood; the day is today."""
    assert booked["number"] == "1"
    assert recorded("1") == Job(
        "1", date.today(), unit="test-amp", model="QX-200", complaint="drones"
    )


def test_a_job_from_booking_in_to_hand_over(kept, asked):
    """A whole job is recorded, on a file and on a server, and counts on its fault."""
    kept.add("amp-hum", title="It hums")
    number = asked("job", "new", "--unit", "amp", "--complaint", "drones")["number"]
    asked("job", "note", number, "see fault:amp-hum")
    asked("job", "reading", number, "contact=4 ohm", "--before")
    asked("job", "stage", number, "on-bench")
    asked("job", "close", number, "--outcome", "fixed", "--minutes", "40", "--handed-over", TODAY)
    assert asked("job", "list", "--open") == []
    assert asked("job", "rates", "amp-hum")["in_warranty"] == 1


def test_a_starter_book_alone_keeps_no_jobs(fixbook):
    """Without a book of one's own the way to make one is said."""
    ran = fixbook("job", "new", "--complaint", "drones")
    assert ran.status == 2
    assert "fixbook book new DIR" in ran.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("new", "--unit", "test-amq"), "did you mean test-amp"),
        (("new", "--complaint", "x", "--sign", "low-dron"), "did you mean low-drone"),
        (("new", "--complaint", "x", "--sign", "low-drone=often"), "has no answer 'often'"),
        (("new", "--complaint", "x", "--return-of", "99"), "there is no job '99'"),
        (("new",), "nothing is said about the unit"),
        (("edit", "1", "compliant=x"), "did you mean complaint"),
        (("edit", "1", "number=9"), "cannot be changed"),
        (("edit", "1"), "nothing is to be changed"),
        (("edit", "1", "minutes=many"), "a whole number"),
        (("edit", "1", "outcome=mended"), "the outcome is 'mended'"),
        (("edit", "1", "faults=amp-hmu"), "did you mean amp-hum"),
        (("stage", "1", "on"), "could be on-bench or on-test"),
        (("stage", "1", "shelved"), "no stage 'shelved'"),
        (("note", "9", "text"), "there is no job '9'"),
        (("reading", "1", "contact=1 ohm"), "linked to no write-up"),
        (("reading", "1", "--fault", "amp-hum", "ESR=1"), "there is no target 'ESR'"),
        (("reading", "1", "--fault", "amp-hum", "contact"), "no reading of a target"),
        (("reading", "1", "--fault", "amp-hum", "contact=1 V"), "a resistance is wanted"),
        (("close", "1"), "outcome"),
        (("close", "1", "--outcome", "fixd"), "did you mean fixed"),
        (("link", "1", "amp-hmu"), "did you mean amp-hum"),
        (("unlink", "1", "amp-hum"), "not linked to 'amp-hum'"),
        (("suggest",), "name a job, or say --all"),
        (("list", "--since", "May"), "a day as 2026-11-25"),
        (("add", "--from", "none.json"), "none.json is not there"),
        (("export", "x.csv", "--csv", "--jsonl"), "choose one"),
    ],
)
def test_what_cannot_be_done_is_said_and_changes_nothing(booked, fixbook, words, said):
    """Each mistake is named with what would be right, and the job stays as it was."""
    before = recorded("1")
    ran = fixbook("job", *words)
    assert ran.status == 2
    assert said in " ".join(ran.err.split())
    assert recorded("1") == before


def test_errors_are_json_where_json_is_asked_for(booked, asked):
    """The error's input and choices are told apart."""
    error = asked("job", "stage", "1", "on")["error"]
    assert (error["input"], error["choices"]) == ("STAGE", ["on-bench", "on-test"])


def test_jobs_are_recorded_from_json(book, fixbook, tmp_path):
    """A list of jobs is recorded; those without a number get the next one."""
    book.add("amp-hum")
    file = tmp_path / "jobs.json"
    rows = [{"number": "J-7", "unit": "amp", "faults": ["amp-hum"]}, {"complaint": "drones"}]
    file.write_text(json.dumps(rows))
    assert fixbook("job", "add", "--from", str(file)).status == 0
    assert (recorded("J-7").unit, recorded("J-8").complaint) == ("test-amp", "drones")


def test_a_mistake_in_one_job_records_none(book, fixbook, tmp_path):
    """All jobs of a file are read before any is recorded, and the wrong one is named."""
    file = tmp_path / "jobs.json"
    file.write_text(json.dumps([{"complaint": "drones"}, {"minutes": "many"}]))
    ran = fixbook("job", "add", "--from", str(file))
    assert "job 2: minutes" in ran.err
    assert fixbook("job", "list").status == 1


def test_a_field_is_changed_and_emptied(booked, fixbook):
    """FIELD=VALUE sets, FIELD= empties."""
    fixbook("job", "edit", "1", "shelf=B3", "complaint=")
    job = recorded("1")
    assert (job.shelf, job.complaint, job.model) == ("B3", "", "QX-200")


def test_a_note_links_what_it_names(booked, fixbook):
    """A fault: link in a note becomes a link of the job; an unknown one is said."""
    ran = fixbook("job", "note", "1", "as", "in", "fault:amp-hum,", "not", "fault:amp-buzz")
    assert recorded("1").faults == ("amp-hum",)
    assert recorded("1").notes[0].text == "as in fault:amp-hum, not fault:amp-buzz"
    assert "no write-up 'amp-buzz'" in ran.out


def test_readings_are_judged_and_stand_together(booked, asked):
    """What was read before and after stands in one reading, each with its verdict."""
    asked("job", "link", "1", "amp-hum")
    before = asked("job", "reading", "1", "contact=4 ohm", "--before")
    after = asked("job", "reading", "1", "contact=40mohm", "--meter", "bench")
    verdicts = [one["verdicts"][0]["verdict"] for one in (before, after)]
    reading = recorded("1").readings
    assert verdicts == ["fail", "pass"]
    assert [(one.before, one.after, one.meter) for one in reading] == [(4.0, 0.04, "bench")]


def test_a_reading_far_from_everything_is_pointed_out(booked, fixbook):
    """Beyond the window and beyond what units that stayed fixed read, it is said."""
    out = date.today() - timedelta(days=200)
    rows = {"fault": "amp-hum", "target": "contact resistance", "kind": "ohms"}
    job = {"booked_in": str(out), "handed_over": str(out), "stage": "handed-over", "unit": "amp"}
    job |= {"outcome": "fixed", "faults": ["amp-hum"], "readings": [{**rows, "after": 0.05}]}
    with open("jobs.json", "w") as file:
        json.dump([{**job, "number": f"old{at}"} for at in range(6)], file)
    fixbook("job", "add", "--from", "jobs.json")
    words = ("job", "reading", "1", "--fault", "amp-hum")
    assert "measure again" in fixbook(*words, "contact=9 ohm").out
    assert "measure again" not in fixbook(*words, "contact=50 mohm").out


def test_a_likely_return_is_pointed_out(booked, asked):
    """The same serial tag within the warranty time is pointed out; the link is the user's."""
    asked("job", "edit", "1", "serial=77-A")
    asked("job", "close", "1", "--outcome", "fixed", "--handed-over", "today")
    again = asked("job", "new", "--model", "qx 200", "--serial", "77a", "--complaint", "drones")
    other = asked("job", "new", "--model", "ZB", "--serial", "77a", "--complaint", "drones")
    assert (again["likely_return_of"], again["return_of"]) == (["1"], "")
    assert other["likely_return_of"] == []


def test_a_unit_back_after_the_warranty_time_is_no_return(booked, asked):
    """One day after the warranty time the same tag is not pointed out."""
    out = date.today() - timedelta(days=91)
    days = (f"booked_in={out}", f"handed_over={out}", "stage=handed-over", "serial=77-A")
    asked("job", "edit", "1", *days)
    again = asked("job", "new", "--serial", "77-A", "--complaint", "drones")
    assert again["likely_return_of"] == []


def test_handing_over_takes_the_day(booked, fixbook):
    """A job handed over has today as its day; back on the bench it has none."""
    fixbook("job", "stage", "1", "handed-over")
    assert recorded("1").handed_over == date.today()
    fixbook("job", "stage", "1", "on-bench")
    assert recorded("1").handed_over is None


def test_a_job_is_closed(booked, fixbook):
    """Outcome, minutes, work, parts and the fault found are recorded at once."""
    words = ("--outcome", "fixed", "--minutes", "40", "--work", "new relay", "--part", "relay")
    fixbook("job", "close", "1", *words, "--fault", "amp-hum")
    job = recorded("1")
    assert (job.outcome, job.stage, job.minutes) == ("fixed", "ready", 40)
    assert (job.parts[0].what, job.faults) == ("relay", ("amp-hum",))


@pytest.fixture
def mains_unit(book, asked):
    """Book a mains unit in."""
    (book.folder / "entries/vocabulary/supply.yaml").write_text(SUPPLY_WORDS)
    return asked("job", "new", "--unit", "mains-amp", "--complaint", "drones")


@pytest.mark.parametrize(
    ("words", "status"),
    [
        ((), 2),
        (("--safety-test", "passed"), 2),
        (("--soak", "60"), 2),
        (("--safety-test", "passed", "--soak", "60"), 0),
        (("--safety-test", "passed", "--soak", "0"), 0),
    ],
)
def test_a_mains_unit_is_not_closed_without_proof(mains_unit, fixbook, words, status):
    """The safety test and the soak are asked for; local codes come first."""
    ran = fixbook("job", "close", "1", "--outcome", "fixed", *words)
    assert ran.status == status
    assert ("Local codes and licensed practice come first" in ran.err) == bool(status)


def test_a_mains_unit_that_nobody_repairs_needs_no_proof(mains_unit, fixbook):
    """A declined unit is not plugged in again by the shop's word."""
    assert fixbook("job", "close", "1", "--outcome", "declined").status == 0


TO_HAND_OVER = (
    ("stage", "1", "handed-over"),
    ("edit", "1", "outcome=fixed", "stage=handed-over"),
    ("edit", "1", "handed_over=today"),
    ("close", "1", "--outcome", "improved", "--handed-over", "today"),
    ("hand-over", "1"),
    ("add", "--from", "out.json"),
)


@pytest.mark.parametrize("words", TO_HAND_OVER)
def test_no_road_lets_a_mains_unit_out_unproved(mains_unit, fixbook, words):
    """Every command refuses with the same words, says what to add, and changes nothing."""
    out = {"unit": "mains-amp", "stage": "handed-over", "outcome": "fixed"}
    Path("out.json").write_text(json.dumps(out))
    before = recorded("1")
    ran = fixbook("job", *words)
    said = " ".join(ran.err.split())
    assert (ran.status, "goes back without its safety test and soak minutes" in said) == (2, True)
    assert "where it was not done, say so and why" in said
    assert recorded("1") == before


def test_the_screen_closes_no_mains_unit_unproved(mains_unit):
    """The panel's lines are held to the same."""
    wanted = PanelWork("close", {"number": "1", "outcome": "fixed"})
    with pytest.raises(JobError, match="goes back without its safety test"):
        work(Session().bench, wanted)


def test_a_proved_mains_unit_is_handed_over_and_stays_proved(mains_unit, fixbook):
    """With test and soak the stage is let through; taking the test away then is refused."""
    fixbook("job", "edit", "1", "outcome=fixed", "safety_test=passed", "soak_minutes=30")
    assert fixbook("job", "stage", "1", "handed-over").status == 0
    assert fixbook("job", "edit", "1", "safety_test=").status == 2
    assert fixbook("job", "close", "1", "--outcome", "fixed", "--safety-test", "").status == 2
    assert recorded("1").safety_test == "passed"


def test_a_mains_unit_that_is_brought_in_as_out_can_be_changed(mains_unit, fixbook):
    """Past history needs no proof, and the note of such a job says that none is recorded."""
    Path("past.csv").write_text("Job,Type,Date out,Result\n7,mains-amp,2024-01-09,fixed\n")
    assert fixbook("job", "import", "past.csv", "--yes").status == 0
    assert fixbook("job", "edit", "7", "shelf=B3").status == 0
    assert "NO SAFETY TEST IS RECORDED" in fixbook("job", "hand-over", "7").out


@pytest.mark.parametrize(
    "words",
    [
        ("close", "1", "--outcome", "fixed", "--handed-over", "2020-01-01"),
        ("edit", "1", "handed_over=2020-01-01"),
    ],
)
def test_a_day_out_before_the_day_in_is_a_plain_refusal(booked, fixbook, words):
    """Values that clash are the user's to mend, and no failure of the plugin."""
    ran = fixbook("job", *words)
    said = " ".join(ran.err.split())
    assert "job 1: it was handed over on 2020-01-01, before it was booked in" in said
    assert (ran.status, "failed" in said) == (2, False)


def test_a_job_that_names_the_next_number_as_its_return_is_refused(booked, fixbook):
    """A number that is given while the job is recorded is checked like one that was written."""
    Path("return.json").write_text(json.dumps({"complaint": "drones", "return_of": "2"}))
    ran = fixbook("job", "add", "--from", "return.json")
    assert (ran.status, "job 2 cannot be a return of itself" in ran.err) == (2, True)


@pytest.mark.parametrize("typed", ["24/11/2025", "24.11.2025"])
def test_a_day_is_typed_as_an_import_reads_it(booked, asked, typed):
    """Booking in, changing and listing read the forms that shops write, day first as the book."""
    job = asked("job", "new", "--complaint", "x", "--booked-in", typed)
    again = asked("job", "edit", "1", f"booked_in={typed}")
    listed = asked("job", "list", "--since", typed, "--limit", "1")
    assert (job["booked_in"], again["booked_in"]) == ("2025-11-24", "2025-11-24")
    assert len(listed) == 1


def test_a_day_that_is_month_first_is_refused_in_a_book_that_writes_the_day_first(booked, fixbook):
    """The other order is never guessed."""
    ran = fixbook("job", "list", "--since", "11/24/2025")
    assert "cannot be day first" in ran.err


@pytest.mark.parametrize(
    "words",
    [
        ("new", "--complaint", "x", "--booked-in"),
        ("edit", "1"),
        ("close", "1", "--outcome", "declined", "--handed-over"),
        ("list", "--since"),
    ],
)
def test_a_day_in_the_future_is_refused(booked, fixbook, words):
    """A slip in the year would head every list for good."""
    day = (date.today() + timedelta(days=2)).isoformat()
    ran = fixbook("job", *words, f"booked_in={day}" if words[0] == "edit" else day)
    assert (ran.status, "in the future" in ran.err) == (2, True)


def test_yesterday_is_a_day(booked, asked):
    """What was forgotten in the evening is booked in next morning."""
    job = asked("job", "new", "--complaint", "x", "--booked-in", "yesterday")
    assert job["booked_in"] == (date.today() - timedelta(days=1)).isoformat()


def test_the_count_of_a_part_is_read(booked, asked):
    """`10x` before a part is its count."""
    parts = asked("job", "close", "1", "--outcome", "fixed", "--part", "10x 1 ohm")["parts"]
    assert [(one["count"], one["what"]) for one in parts] == [(10, "1 ohm")]


def test_an_answer_ends_without_an_empty_line(booked, fixbook):
    """What changes a job says one thing, and no blank after it."""
    assert fixbook("job", "edit", "1", "shelf=B3").out == "Job 1 changed: shelf.\n"
