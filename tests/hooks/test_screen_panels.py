"""`fixbook_screen_panels` is called by the bench screen's desk, with the bench."""

from __future__ import annotations

import pytest

from fixbook.app.folders import user_folders
from fixbook.app.library import Library
from fixbook.core.plugins import PanelState, PanelWork
from fixbook.screen.desk import Desk
from fixbook.screen.requests import Work
from fixbook.settings import Place

PANEL = """
from fixbook.api import *

def step(state, event):
    return state

def work(bench, wanted):
    if wanted.name == "break":
        raise RuntimeError("no paper")
    if wanted.name == "refuse":
        raise FixbookError("not today")
    return {"folder": bench.folder}

@hook
def fixbook_screen_panels(bench):
    begin = PanelState("Memo", fields=(PanelField("memo", bench.shop.name),))
    return [ScreenPanel("memo", "a line to remember", begin, step, work)]
"""


@pytest.fixture
def desk(book, plugged):
    """Open a desk on a book whose plugin has a panel."""
    plugged(PANEL)
    return Desk(Library(Place(book.folder, "--book"), user_folders()))


def test_the_panels_of_plugins_are_asked_for(desk):
    """What a plugin gives for fixbook_screen_panels is a panel of the screen."""
    memo = next(one for one in desk.panels() if one.name == "memo")
    assert isinstance(memo.begin, PanelState)
    assert memo.begin.fields[0].label == "Test"


def test_the_work_of_a_panel_is_done_with_the_bench(desk, book):
    """Work receives the bench and its answer comes back."""
    desk.panels()
    done = desk.work(Work("memo", PanelWork("look")))
    assert done.answer == {"folder": str(book.folder)}


def test_work_that_is_refused_says_why_and_stays_on(desk):
    """A FixbookError is an answer to the user."""
    desk.panels()
    refused = desk.work(Work("memo", PanelWork("refuse")))
    assert (refused.problem, desk.library.registry.errors) == ("not today", [])


def test_work_that_raises_switches_the_plugin_off(desk):
    """A plugin that fails at its work is named and off for the run."""
    desk.panels()
    broken = desk.work(Work("memo", PanelWork("break")))
    assert "failed and is off for this run" in broken.problem
    assert desk.library.registry.errors
