"""The path taken goes into a job, and the job's outcome into the next narrowing."""

from __future__ import annotations

import json

import pytest


@pytest.fixture
def amps(book, fixbook):
    """Give a book with two faults, and a job on the bench."""
    book.add("amp-one")
    book.add("amp-two")
    made = fixbook("job", "new", "--number", "7", "--unit", "test-amp", "--complaint", "odd")
    assert made.status == 0, made.err
    return book


def chance(fixbook, fault):
    """Give what is believed of a fault before anything is looked at."""
    found = json.loads(fixbook("narrow", "--unit", "test-amp", "--json").out)
    return next(one["probability"] for one in found["faults"] if one["id"] == fault)


def test_a_job_that_was_closed_makes_its_fault_likelier(amps, fixbook):
    """What this shop sees is what this shop expects."""
    before = chance(fixbook, "amp-two")
    closed = fixbook(
        "job", "close", "7", "--outcome", "fixed", "--minutes", "30", "--fault", "amp-two",
        "--safety-test", "passed", "--soak", "30", "--work", "mended",
    )  # fmt: skip
    assert closed.status == 0, closed.err
    assert chance(fixbook, "amp-two") > before + 0.02


def test_the_path_taken_goes_into_the_job(amps, fixbook, terminal):
    """Its note says it, its signs hold it."""
    screen = terminal("narrow", "--job", "7")
    screen.until("why, sheet, end):")
    screen.press("seen", "Enter")
    screen.until(lambda shown: shown.count("Left over") == 2 and shown.count("end):") == 2)
    screen.press("end", "Enter")
    screen.until("The path is in job 7")
    assert screen.ended() == 0
    job = json.loads(fixbook("job", "show", "7", "--json").out)
    job = job.get("job", job)
    assert (job["signs"], "low-drone=seen" in json.dumps(job["notes"])) == (
        {"low-drone": "seen"}, True,
    )  # fmt: skip
