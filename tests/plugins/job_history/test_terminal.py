"""A unit booked in on a terminal, step by step."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from fixbook_plugins.job_history.store import open_store

from fixbook.cli.session import Session

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there are no pseudo-terminals")


@pytest.fixture
def intake(book, whole_job):
    """Ask on a terminal for a unit to be booked in, in a book that has seen one model."""
    sys.path.insert(0, str(Path(__file__).parents[2] / "screen"))
    from terminal import Terminal

    with open_store(Session().bench) as store:
        store.add(whole_job("2041", model="QX-200 rev B", faults=(), readings=()))
    quiet = {**os.environ, "PROMPT_TOOLKIT_NO_CPR": "1"}
    with Terminal(100, 60, words=("job", "new"), environment=quiet) as screen:
        yield screen


def answer(screen, question, *keys):
    """Wait for a question and answer it."""
    screen.until(question)
    screen.press(*keys, "Enter")


def complete(screen, question, typed, offered):
    """Wait for a question, type the beginning of an answer, and take what is offered."""
    screen.until(question)
    screen.press(typed)
    screen.until(offered)
    screen.press("Tab")
    screen.until(f"{question} {offered}")
    screen.press("Enter")


def test_a_unit_is_booked_in_step_by_step(intake):
    """Each field is asked for; an unknown unit again; Tab completes words and past models."""
    answer(intake, "unit, the kind of apparatus:", "toaster")
    intake.until("there is no unit 'toaster'")
    intake.until(lambda shown: shown.count("unit, the kind of apparatus:") == 2)
    complete(intake, "apparatus:", "TEST A", "test amplifier")
    complete(intake, "board revision:", "qx", "QX-200 rev B")
    answer(intake, "serial, the serial tag:", "77-B")
    complete(intake, "in a sentence:", "low", "low note all the time")
    for question in ("accessories, what came with it:", "condition, marks and damage:",
                     "limit, how far you may go without asking:"):  # fmt: skip
        answer(intake, question)
    answer(intake, "shelf, where it stands:", "B4")
    intake.until("Booked in as job 2042")
    assert intake.ended() == 0
    with open_store(Session().bench) as store:
        job = store.get("2042")
    booked = (job.unit, job.model, job.serial, job.complaint, job.shelf)
    assert booked == ("test-amp", "QX-200 rev B", "77-B", "low note all the time", "B4")


def test_control_c_at_a_question_books_nothing_in(intake):
    """Whoever stops half-way has recorded no job."""
    answer(intake, "unit, the kind of apparatus:", "amp")
    intake.until("model, model and board revision:")
    intake.press("Ctrl-C")
    assert intake.ended() != 0
    with open_store(Session().bench) as store:
        assert list(store.all_numbers_with_stamps()) == ["2041"]
