"""The installed command as a process of its own."""

from __future__ import annotations

import os
import subprocess
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
