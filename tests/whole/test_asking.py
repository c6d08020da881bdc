"""Missing inputs are asked for on a real terminal, with units, choices and defaults."""

from __future__ import annotations

import pytest

PLUGIN = '''\
"""Shelf lamps."""

from typing import Annotated, Literal

from fixbook.api import *


@calculator("lamp-power")
def lamp_power(
    voltage: Annotated[Volts, "across the lamp"],
    current: Amps,
    mode: Literal["cold", "hot"] = "hot",
) -> Answer:
    """What does the shelf lamp take?"""
    return Answer([Value("power", voltage * current, WATTS)])


@hook
def fixbook_calculators():
    return calculators_in(globals())
'''


@pytest.fixture
def terminal(on_terminal, fixbook, book):
    """Run the command on a terminal, with a plugin's calculator at hand."""
    (book.folder / "plugins").mkdir()
    (book.folder / "plugins" / "lamps.py").write_text(PLUGIN, encoding="utf-8")
    assert fixbook("book", "trust", "--yes").status == 0
    return on_terminal


def test_a_missing_input_is_asked_for_with_its_unit(terminal):
    """What is missing is asked for one by one, and the answer follows."""
    screen = terminal("calc", "lamp-power", "voltage=12V")
    screen.wait_for("current [A]:")
    screen.type("2\r")
    screen.wait_for("24 W")
    assert screen.end() == 0


def test_every_missing_input_is_asked_for(terminal):
    """Without any input all that is needed is asked for, and no default is."""
    screen = terminal("calc", "lamp-power")
    screen.wait_for("voltage, across the lamp [V]:")
    screen.type("12V\r")
    screen.wait_for("current [A]:")
    screen.type("500mA\r")
    screen.wait_for("6 W")
    assert (screen.end(), "mode (cold, hot)" in screen.said) == (0, False)


def test_a_wrong_answer_is_explained_and_asked_again(terminal):
    """A value of the wrong kind is refused at the prompt, in words, and can be mended there."""
    screen = terminal("calc", "lamp-power", "voltage=12V")
    screen.wait_for("current [A]:")
    screen.type("3V\r")
    screen.wait_for("a current is wanted here")
    screen.type("\x7f\x7f2A\r")
    screen.wait_for("24 W")
    assert screen.end() == 0


def test_ctrl_c_at_the_prompt_ends_quietly(terminal):
    """Leaving the prompt is status 130 and no traceback."""
    screen = terminal("calc", "lamp-power")
    screen.wait_for("[V]:")
    screen.type("\x03")
    assert (screen.end(), "Traceback" in screen.said) == (130, False)


def test_ctrl_d_at_the_prompt_ends_quietly(terminal):
    """The end of the input at a prompt is no fault of the program."""
    screen = terminal("calc", "lamp-power")
    screen.wait_for("[V]:")
    screen.type("\x04")
    status = screen.end()
    assert (status, "fault of the program" in screen.said) == (130, False)


@pytest.mark.parametrize(("typed", "status"), [("yes\r", 0), ("no\r", 1), ("\r", 1)],
                         ids=["yes", "no", "nothing"])  # fmt: skip
def test_trust_is_asked_for_on_a_terminal(typed, status, terminal, book):
    """Only a plain yes trusts."""
    (book.folder / "plugins" / "lamps.py").write_text(PLUGIN + "\n# changed\n", encoding="utf-8")
    screen = terminal("book", "trust")
    screen.wait_for("(yes/no)")
    screen.type(typed)
    assert screen.end() == status
