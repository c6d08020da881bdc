"""Figures of a fault: what counts, when, and that kept figures are those of the database."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path
from random import Random

import numpy as np
import pytest
from fixbook_plugins.job_history.counting import digests
from fixbook_plugins.job_history.digest import Digest, Learnt, Seen, digest, from_json, together
from fixbook_plugins.job_history.figures import figures
from fixbook_plugins.job_history.job import OUTCOMES, Reading
from fixbook_plugins.job_history.learnt import is_far, summed_up
from fixbook_plugins.job_history.rates import rates
from fixbook_plugins.job_history.store import open_store

TODAY = date(2026, 11, 25)
LONG_AGO = TODAY - timedelta(days=400)


def seen(number: str, outcome: str, **more: object) -> Seen:
    """Give a job that went out long ago, as a digest sees it."""
    values = {"booked_in": LONG_AGO, "handed_over": LONG_AGO, "stage": "handed-over"}
    values |= {"minutes": None, "model": "", "came_back": None, **more}
    return Seen(number, outcome=outcome, **values)


def told(*jobs: Seen, today: date = TODAY) -> dict[str, object]:
    """Give the figures of jobs as JSON."""
    found = digest(jobs, today=TODAY, warranty_days=90)
    return rates("amp-hum", found, today).to_json()


def test_figures_have_the_promised_shape():
    """Counts, the rate with its interval and the minutes stand under their names."""
    ends = ["fixed"] * 8 + ["improved", "not-fixed", "declined"]
    jobs = [seen(str(at), end, minutes=10 * (at + 1)) for at, end in enumerate(ends)]
    found = told(*jobs)
    rate = found.pop("fix_rate")
    assert found == {
        "fault": "amp-hum",
        "seen": 11,
        "fixed": 8,
        "not_fixed": 1,
        "returned": 0,
        "improved": 1,
        "in_warranty": 0,
        "minutes": {"median": 60.0, "p80": 90.0},
    }
    # 8 of 10: Wilson 1927, as scipy's binomtest gives it.
    assert rate == pytest.approx(
        {"value": 0.8, "low": 0.490162, "high": 0.943318, "confidence": 0.95}, abs=1e-6
    )


def test_below_five_jobs_there_is_no_rate():
    """Four repairs that were tried are too few to say."""
    jobs = [seen(str(at), "fixed") for at in range(4)]
    assert told(*jobs)["fix_rate"] is None
    assert told(*jobs, seen("5", "not-fixed"))["fix_rate"]["value"] == 0.8


@pytest.mark.parametrize(
    ("job", "counts"),
    [
        (seen("1", "fixed"), {"fixed": 1}),
        (seen("1", "fixed", came_back=LONG_AGO + timedelta(90)), {"fixed": 1, "returned": 1}),
        (seen("1", "fixed", came_back=LONG_AGO + timedelta(91)), {"fixed": 1}),
        (seen("1", "fixed", came_back=True), {"fixed": 1, "returned": 1}),
        (seen("1", "fixed", handed_over=TODAY - timedelta(90)), {"in_warranty": 1}),
        (seen("1", "fixed", handed_over=TODAY - timedelta(91)), {"fixed": 1}),
        (seen("1", "fixed", handed_over=None), {"fixed": 1}),
        (seen("1", "fixed", handed_over=None, stage="ready"), {"in_warranty": 1}),
        (seen("1", "fixed", handed_over=None, booked_in=None), {"fixed": 1}),
        (seen("1", "improved", handed_over=TODAY), {"improved": 1}),
        (seen("1", "not-fixed", handed_over=TODAY), {"not_fixed": 1}),
        (seen("1", "no-fault-found"), {}),
        (seen("1", ""), {}),
    ],
    ids=[
        "warranty-over", "back-on-the-last-day", "back-a-day-late", "back-some-day",
        "last-warranty-day", "a-day-over", "no-hand-over-day", "still-here", "no-day-at-all",
        "improved", "not-fixed", "no-fault", "open",
    ],
)  # fmt: skip
def test_each_job_counts_where_it_belongs(job, counts):
    """A repair counts once its warranty time is over or it came back; others stand apart."""
    names = ("fixed", "returned", "improved", "not_fixed", "in_warranty")
    found = told(job)
    assert {name: found[name] for name in names if found[name]} == counts
    assert found["seen"] == 1


def test_a_kept_digest_tells_a_later_day_rightly():
    """A warranty time that ends after the digest was made is over for a later day."""
    job = seen("1", "fixed", handed_over=TODAY)
    assert told(job, today=TODAY + timedelta(90))["in_warranty"] == 1
    later = told(job, today=TODAY + timedelta(91))
    assert (later["in_warranty"], later["fixed"]) == (0, 1)


def test_minutes_are_those_of_numpy():
    """The median and the 80th percentile are numpy's, for any number of jobs."""
    chance = Random(5)
    for count in range(1, 25):
        minutes = [chance.randint(1, 500) for _ in range(count)]
        jobs = [seen(str(at), "fixed", minutes=each) for at, each in enumerate(minutes)]
        found = told(*jobs)["minutes"]
        expected = [float(np.percentile(minutes, share)) for share in (50, 80)]
        assert [found["median"], found["p80"]] == pytest.approx(expected)


def test_a_digest_survives_being_kept():
    """What is kept as JSON is read back as it was."""
    jobs = [seen(str(at), end, minutes=at, model="QX") for at, end in enumerate(OUTCOMES)]
    reading = Learnt("ESR", "ohms", "QX", 0.1)
    found = digest(jobs, today=TODAY, warranty_days=90, readings=[("0", reading)])
    assert from_json(json.loads(json.dumps(found.to_json()))) == found
    assert found.readings == (reading,)


def test_readings_of_units_that_came_back_teach_nothing():
    """Only readings of jobs that were fixed and stayed so are learnt."""
    jobs = [seen("1", "fixed"), seen("2", "fixed", came_back=True), seen("3", "improved")]
    readings = [(number, Learnt("ESR", "ohms", "", float(number))) for number in "123"]
    found = digest(jobs, today=TODAY, warranty_days=90, readings=readings)
    assert [one.value for one in found.readings] == [1.0]


def test_a_former_id_adds_to_its_entry():
    """Figures under an entry's id and its former ids are told together."""
    one = digest([seen("1", "fixed", minutes=10)], today=TODAY, warranty_days=90)
    two = digest([seen("2", "improved", minutes=5)], today=TODAY, warranty_days=90)
    both = digest(
        [seen("1", "fixed", minutes=10), seen("2", "improved", minutes=5)],
        today=TODAY,
        warranty_days=90,
    )
    joined = together([one, two, Digest()])
    assert rates("x", joined, TODAY) == rates("x", both, TODAY)


@pytest.mark.parametrize(("count", "interval"), [(37, None), (38, (0.0, 37.0))])
def test_the_learnt_interval_begins_with_38_readings(count, interval):
    """Two-sided, 90 % of all with 90 % confidence takes 38 readings (Wilks 1941)."""
    learnt = [Learnt("ESR", "ohms", "QX", float(at)) for at in range(count)]
    assert summed_up(learnt)[0].interval == interval


def test_readings_are_told_apart_by_model():
    """Each model has a line of its own under the line for all; one can be asked for alone."""
    learnt = [Learnt("ESR", "ohms", model, 1.0) for model in ("QX-1", "qx1", "ZB")]
    assert [(one.model, one.count) for one in summed_up(learnt)] == [
        ("", 3), ("QX-1", 2), ("ZB", 1),
    ]  # fmt: skip
    assert [one.count for one in summed_up(learnt, "qx 1")] == [2]


@pytest.mark.parametrize(
    ("value", "far"), [(0.05, False), (0.2, False), (5.0, True), (0.099, False)]
)
def test_a_reading_far_from_window_and_history_is_pointed_out(book, bench, value, far):
    """Outside the window alone is no more than a fail; far from both is pointed out."""
    book.add("amp-hum")
    target = bench.entry("amp-hum").targets[0]  # 0 to 100 milliohm
    assert is_far(value, target, [0.1, 0.12, 0.15, 0.2, 0.25, 0.3]) is far


def test_kept_figures_are_those_counted_anew(bench, ended):
    """After any changes the figures brought up to date equal a count of everything."""
    chance = Random(8)
    reading = (Reading("amp-hum", "contact resistance", "ohms", after=0.05),)
    for at in range(12):
        number = str(chance.randint(1, 6))
        faults = tuple(chance.sample(["amp-hum", "amp-dc", "amp-fuse"], chance.randint(0, 2)))
        job = ended(
            number,
            chance.choice(OUTCOMES),
            days_ago=chance.randint(0, 200),
            faults=faults,
            minutes=at,
            readings=reading if "amp-hum" in faults else (),
            return_of=str(chance.randint(7, 8)) if at % 3 == 0 else "",
        )
        with open_store(bench) as store:
            store.save(job)
    kept = figures(bench)
    with open_store(bench) as store, store.database.reading() as connection:
        whole = digests(connection, None, today=date.today(), warranty_days=90)
    assert {entry: kept.digest([entry]) for entry in kept.entries()} == whole


def test_another_warranty_time_counts_anew(bench, ended, monkeypatch):
    """A changed warranty time in the settings is followed at once."""
    with open_store(bench) as store:
        store.add(ended("1", "fixed", days_ago=100))
    assert figures(bench).digest(["amp-hum"]).held == 1
    monkeypatch.setattr(bench._library, "shop", bench.shop._replace(warranty_days=365))
    assert figures(bench).digest(["amp-hum"]).held == 0


@pytest.mark.parametrize("text", ["", "{", "[]\n", '{"layout": 2}\n', "\0" * 50])
def test_damaged_figures_are_made_anew(bench, ended, text):
    """A kept file that cannot be read costs time, not answers."""
    with open_store(bench) as store:
        store.add(ended("1", "fixed"))
    (Path(bench.cache) / "job-figures").write_text(text)
    assert figures(bench).digest(["amp-hum"]).seen == 1


def test_jobs_written_by_another_are_seen(book, ended):
    """Figures kept here follow a file that was changed elsewhere, with another cache."""
    from fixbook.cli.session import Session

    here = Session().bench
    with open_store(here) as store:
        store.add(ended("1", "fixed"))
    assert figures(here).digest(["amp-hum"]).seen == 1
    code = (
        "import sys; from pathlib import Path\n"
        "from fixbook_plugins.job_history.database import open_file\n"
        "from fixbook_plugins.job_history.job import Job\n"
        "from fixbook_plugins.job_history.store import Store\n"
        "with Store(open_file(Path(sys.argv[1]))) as store:\n"
        "    store.add(Job('2', faults=('amp-hum',)))\n"
    )
    subprocess.run([sys.executable, "-c", code, str(book.folder / "jobs.sqlite")], check=True)
    assert figures(here).digest(["amp-hum"]).seen == 2
