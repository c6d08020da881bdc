"""The store, on a file and on a server alike."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from fixbook_plugins.job_history.errors import JobError
from fixbook_plugins.job_history.job import Job, Note
from fixbook_plugins.job_history.merging import Merged
from fixbook_plugins.job_history.store import open_store
from fixbook_plugins.job_history.wanted import Wanted


def test_a_job_is_read_back_whole(store, whole_job):
    """Every field of a job is kept."""
    job = whole_job()
    store.add(job)
    assert store.get("2041") == job


def test_what_no_database_can_hold_is_left_out(store):
    """Zero bytes and halves of characters do not stop a job from being recorded."""
    store.add(Job("7", complaint="hu\0ms \ud800"))
    assert store.get("7").complaint == "hums ?"


def test_an_unknown_number_is_met_with_near_ones(store):
    """A mistyped number is answered with those like it."""
    store.add(Job("J-2041"))
    with pytest.raises(JobError, match="did you mean J-2041"):
        store.get("J-204")


def test_a_number_is_taken_once(store):
    """Adding a job under a taken number changes nothing."""
    store.add(Job("7", complaint="hums"))
    with pytest.raises(JobError, match="already"):
        store.add(Job("7", complaint="drones"))
    assert store.get("7").complaint == "hums"


@pytest.mark.parametrize(
    ("before", "free"),
    [
        ([], "1"),
        (["2041"], "2042"),
        (["J-009"], "J-010"),
        (["9", "10", "A"], "11"),
        (["walk-in"], "1"),
        (["2041", "2039"], "2042"),
    ],
)
def test_numbers_go_on_from_the_highest(store, before, free):
    """The next number is the shop's own way of writing, one higher, and free."""
    for number in before:
        store.add(Job(number))
    assert store.add_next(lambda number: Job(number)).number == free


def test_a_highest_number_among_the_oldest_is_seen(store):
    """A number taken by an old job is not given again."""
    store.merge([Job("500"), Job("499")])
    store.merge(Job(f"A{number}") for number in range(300))
    store.merge([Job("498")])
    assert store.add_next(lambda number: Job(number)).number not in ("499", "500")


def test_changing_one_field_keeps_the_rest(store, whole_job):
    """An edit changes what it says and nothing else."""
    store.add(whole_job())
    store.edit("2041", lambda job: replace(job, shelf="C1"))
    assert store.get("2041") == whole_job(shelf="C1")


def test_two_who_change_one_job_lose_nothing(store, bench):
    """Notes of two benches on one job are both kept."""
    store.add(Job("7"))
    with open_store(bench) as other:
        for who in (store, other, store, other):
            note = Note("", f"by {id(who)}")
            who.edit("7", lambda job, note=note: replace(job, notes=(*job.notes, note)))
    assert len(store.get("7").notes) == 4


def test_a_change_that_is_refused_leaves_all_as_it_was(store, whole_job):
    """An edit that raises half way writes nothing."""
    store.add(whole_job())
    with pytest.raises(JobError, match="stage"):
        store.edit("2041", lambda job: replace(job, stage="nowhere"))
    assert store.get("2041") == whole_job()


def test_an_import_counts_what_it_did(store, whole_job):
    """New, changed and same jobs are told apart; the same import again changes nothing."""
    jobs = [whole_job(str(number)) for number in range(5)]
    assert store.merge(jobs) == Merged(5, 0, 0)
    assert store.merge(jobs) == Merged(0, 0, 5)
    assert store.merge([*jobs[:4], replace(jobs[4], shelf="C1")]) == Merged(0, 1, 4)


def test_one_number_twice_in_an_import_is_one_job(store):
    """Rows with one number are laid over each other, within a batch as between two."""
    done = store.merge([Job("7", complaint="hums"), Job("7", shelf="B3")])
    assert done.added == 1
    assert (store.get("7").complaint, store.get("7").shelf) == ("hums", "B3")


def test_only_jobs_that_changed_have_a_new_stamp(store):
    """A stamp changes with its job and with no other."""
    store.merge([Job("7"), Job("8")])
    before = store.all_numbers_with_stamps()
    store.edit("7", lambda job: replace(job, shelf="B3"))
    after = store.all_numbers_with_stamps()
    assert {number for number in after if after[number] != before[number]} == {"7"}


@pytest.mark.parametrize(
    ("wanted", "numbers"),
    [
        (Wanted(), ["3", "2", "1"]),
        (Wanted(limit=1), ["3"]),
        (Wanted(open=True), ["3"]),
        (Wanted(open=False), ["2", "1"]),
        (Wanted(units=("test-amp",)), ["2", "1"]),
        (Wanted(model="qx 200"), ["1"]),
        (Wanted(serial="77a"), ["2", "1"]),
        (Wanted(outcome="fixed"), ["1"]),
        (Wanted(stage="on-bench"), ["3"]),
        (Wanted(faults=("amp-hum",)), ["1"]),
        (Wanted(linked=False), ["3", "2"]),
        (Wanted(linked=True), ["1"]),
        (Wanted(return_of="1"), ["2"]),
        (Wanted(since=date(2026, 2, 1)), ["3", "2"]),
    ],
)
def test_jobs_are_found_by_what_they_are(store, wanted, numbers):
    """Each way to narrow gives the jobs that fit, the newest first."""
    out = {"stage": "handed-over", "unit": "test-amp", "serial": "77-A"}
    store.add(
        Job("1", date(2026, 1, 1), model="QX-200", outcome="fixed", faults=("amp-hum",), **out)
    )
    store.add(Job("2", date(2026, 2, 1), return_of="1", **out))
    store.add(Job("3", date(2026, 3, 1), stage="on-bench"))
    assert [job.number for job in store.find(wanted)] == numbers


def test_links_are_made_and_taken_away(store):
    """A link made twice is one; taking one away that is not there is refused."""
    store.add(Job("7"))
    store.link("7", ["amp-hum", "amp-dc"])
    store.link("7", ["amp-hum"])
    assert store.get("7").faults == ("amp-hum", "amp-dc")
    assert store.unlink("7", ["amp-hum"]).faults == ("amp-dc",)
    with pytest.raises(JobError, match="not linked to 'amp-hum'"):
        store.unlink("7", ["amp-hum"])


def test_links_follow_an_entry_to_its_new_id(store, whole_job):
    """Links and readings have the new id, and what comes under the old one later gets it too."""
    store.add(whole_job())
    store.rename("amp-hum", "amp-drone")
    store.rename("amp-drone", "amp-buzz")
    job = store.get("2041")
    assert (job.faults, job.readings[0].fault) == (("amp-buzz",), "amp-buzz")
    store.merge([Job("8", faults=("amp-hum",))])
    assert store.get("8").faults == ("amp-buzz",)


def test_an_entry_renamed_back_has_its_first_id(store):
    """A rename that is taken back leaves no circle."""
    store.add(Job("7", faults=("amp-hum",)))
    store.rename("amp-hum", "amp-buzz")
    store.rename("amp-buzz", "amp-hum")
    assert store.link("7", ["amp-buzz"]).faults == ("amp-hum",)


def test_renaming_joins_two_links_to_one(store):
    """A job linked to both ids is linked once afterwards."""
    store.add(Job("7", faults=("amp-hum", "amp-buzz")))
    store.rename("amp-hum", "amp-buzz")
    assert store.get("7").faults == ("amp-buzz",)


def test_links_from_a_text_are_exactly_those_it_has(store):
    """Links that a write-up no longer has go; those made by hand stay."""
    for number in "123":
        store.add(Job(number))
    store.link("3", ["amp-hum"])
    store.set_links_from("amp-hum", ["1", "2"], "body")
    store.set_links_from("amp-hum", ["2"], "body")
    linked = [job.number for job in store.find(Wanted(faults=("amp-hum",)))]
    assert sorted(linked) == ["2", "3"]
    assert store.links("2") == {"amp-hum": "body"}


def test_past_models_come_with_the_most_frequent_first(store):
    """Models are offered by how often they were here."""
    store.merge([Job("1", model="B"), Job("2", model="A"), Job("3", model="B")])
    assert store.models() == ["B", "A"]
