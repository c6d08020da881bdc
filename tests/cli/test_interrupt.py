"""Ctrl-C: no traceback, whenever it comes; and a reader of a pipe who has seen enough."""

from __future__ import annotations

import os
import signal
import subprocess
import sys

import pytest

from fixbook.cli import find

EARLY = """\
import os, signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)  # what runs the tests may ignore it
class Interrupt:
    def find_spec(self, name, path=None, target=None):
        if name == "fixbook.cli.main":
            os.kill(os.getpid(), signal.SIGINT)
from fixbook.cli.start import start
sys.meta_path.insert(0, Interrupt())
start()
"""


@pytest.mark.skipif(os.name == "nt", reason="interrupts are another thing there")
def test_an_interrupt_while_it_loads_ends_it_without_a_word():
    """Before the program can answer, the interrupt ends it as it ends any other."""
    done = subprocess.run(
        [sys.executable, "-c", EARLY], capture_output=True, timeout=60, check=False
    )
    assert (done.returncode, done.stderr) == (-signal.SIGINT, b"")


def test_an_interrupt_at_work_is_status_130(monkeypatch, fixbook):
    """A command that is interrupted ends with what shells expect, and no traceback."""

    def interrupted(*_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(find, "run", interrupted)
    ran = fixbook("find", "hum")
    assert (ran.status, ran.err) == (130, "\n")


@pytest.mark.parametrize("words", [("find", "--limit", "x", "hum", "--json"), ("calc", "--json")])
@pytest.mark.skipif(os.name == "nt", reason="pipes close otherwise there")
def test_a_closed_pipe_is_no_fault_of_anybody(words):
    """Errors and answers into a pipe that nobody reads any more say nothing."""
    reading, writing = os.pipe()
    os.close(reading)
    code = f"import sys; from fixbook.cli.main import main; sys.exit(main({list(words)!r}))"
    done = subprocess.run(
        [sys.executable, "-c", code],
        stdout=writing,
        stderr=subprocess.PIPE,
        timeout=60,
        check=False,
    )
    os.close(writing)
    assert done.stderr == b""
