"""Questions at a terminal: where they are broken, and what stands there after a refusal."""

from __future__ import annotations

import pytest
from prompt_toolkit.application import create_app_session
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from fixbook.cli.prompting import ask_line, laid
from fixbook.cli.session import Session
from fixbook.errors import QueryError

LONG = "answer, does it hum with the volume at zero and nothing plugged in? (seen, not-seen, back):"


def not_maybe(text: str) -> None:
    """Refuse one answer."""
    if text.startswith("maybe"):
        raise QueryError(f"answer has no choice {text!r}; it is one of seen, not-seen")


@pytest.fixture
def keys():
    """Keystrokes go in here; the screen goes nowhere."""
    with create_pipe_input() as pipe, create_app_session(input=pipe, output=DummyOutput()):
        yield pipe


@pytest.mark.parametrize(("keep", "answer"), [(False, "seen"), (True, "maybeseen")])
def test_what_was_refused_stays_only_where_it_can_be_mended(keep, answer, keys):
    """After a wrong choice the line is empty; a text stands there again."""
    keys.send_text("maybe\rseen\r" if not keep else "maybe\r\x01x-\x05seen\r")
    wanted = answer if not keep else f"x-{answer}"
    assert ask_line("answer:", Session(), not_maybe, keep=keep) == wanted


def test_a_reason_is_told_whole_and_broken_between_words():
    """It stands above the question; no line is longer than the terminal, and no word is cut."""
    reason = "answer has no choice 'maybe'; it is one of " + "seen, not-seen, " * 6
    lines = laid("answer:", Session(), reason).split("\n")
    assert max(len(line) for line in lines) < 80
    assert (" ".join(lines).count("seen, not-seen,"), lines[-1]) == (6, "answer: ")


def test_a_long_question_is_broken_between_words():
    """And where little room is left beside it, the answer has a line of its own."""
    assert laid(LONG, Session()).split("\n") == [
        "answer, does it hum with the volume at zero and nothing plugged in? (seen,",
        "not-seen, back): ",
    ]
    assert laid(f"{'x' * 60}:", Session()).endswith(":\n  ")
