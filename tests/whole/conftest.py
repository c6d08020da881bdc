"""The installed command as a process of its own."""

from __future__ import annotations

import os
import re
import select
import subprocess
import sys
import sysconfig
from collections.abc import Callable
from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def command() -> str:
    """Give the path of the installed command."""
    path = Path(sysconfig.get_path("scripts")) / "fixbook"
    assert path.exists(), "install it first: pip install -e ."
    return str(path)


@pytest.fixture
def process(command) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run the command: `process("find", "hum", input="...")`."""

    def run(*words: str, **options: object) -> subprocess.CompletedProcess[str]:
        given = {"capture_output": True, "text": True, "timeout": 60, "env": dict(os.environ)}
        return subprocess.run([command, *words], check=False, **{**given, **options})

    return run


_ESCAPES = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]|\x1b[=>]|\r")


class Terminal:
    """The command on a pseudo-terminal: what it writes, and what is typed."""

    def __init__(self, words: list[str]) -> None:
        self.said = ""
        import pty

        self.pid, self.handle = pty.fork()
        if not self.pid:  # pragma: no cover  # the other process
            os.environ.update(TERM="xterm", PROMPT_TOOLKIT_NO_CPR="1")
            os.execv(words[0], words)

    def wait_for(self, text: str) -> None:
        """Read until the text was written; the test fails where it never is."""
        while text not in self.said:
            ready, _, _ = select.select([self.handle], [], [], 20)
            assert ready, f"nothing more was written after {self.said!r}"
            try:
                data = os.read(self.handle, 65536)
            except OSError:
                data = b""
            assert data, f"it ended before {text!r}: {self.said!r}"
            self.said += _ESCAPES.sub("", data.decode("utf-8", "replace"))

    def type(self, text: str) -> None:
        """Type a text."""
        os.write(self.handle, text.encode())

    def end(self) -> int:
        """Read what is left, and give the exit status."""
        while True:
            try:
                data = os.read(self.handle, 65536)
            except OSError:
                break
            if not data:
                break
            self.said += _ESCAPES.sub("", data.decode("utf-8", "replace"))
        os.close(self.handle)
        _, status = os.waitpid(self.pid, 0)
        return os.waitstatus_to_exitcode(status)


@pytest.fixture
def on_terminal(command) -> Callable[..., Terminal]:
    """Run the command on a terminal: `on_terminal("write", "--from-job", "7")`."""
    if sys.platform == "win32":
        pytest.skip("no pseudo-terminals")
    return lambda *words: Terminal([command, *words])
