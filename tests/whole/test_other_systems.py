"""Nothing that only POSIX systems have is needed: Python on Windows has neither these calls nor modules.

This shows that the program's own code does without them, not that it runs there: the libraries
and the interpreter are still this system's.
"""

from __future__ import annotations

import json
import os
import sys

import pytest

CALLS = (
    "pread", "pwrite", "getuid", "geteuid", "getgid", "fork", "mkfifo", "fchmod", "fchown", "chown",
    "lchown", "killpg", "setsid", "getpgrp", "uname", "sched_getaffinity", "posix_fallocate",
    "O_NOFOLLOW", "O_DIRECTORY", "O_CLOEXEC", "O_NONBLOCK",
)  # fmt: skip
MODULES = ("resource", "pwd", "grp", "termios", "tty", "pty")


@pytest.fixture
def without_posix(monkeypatch, indexed_starter) -> None:
    """Take away what Windows has not; its libraries have chosen their ways before."""
    import numpy  # noqa: F401
    import platformdirs  # noqa: F401
    import sqlalchemy  # noqa: F401
    import whoosh.util.filelock  # noqa: F401

    for name in CALLS:
        monkeypatch.delattr(os, name, raising=False)
    for name in MODULES:
        monkeypatch.setitem(sys.modules, name, None)


def test_a_shops_day_needs_nothing_of_posix(without_posix, fixbook, tmp_path):
    """A search, a sheet, a sum, a job, a write-up, a backup and its restoring."""
    book = str(tmp_path / "shop")
    day = [
        ("find", "hum"),
        ("sheet", "amp-dc-offset"),
        ("calc", "divider", "12V", "10k", "4k7"),
        ("book", "new", book),
        ("--book", book, "job", "new", "--unit", "power-amplifier", "--complaint", "hums quibbly"),
        ("--book", book, "book", "backup", str(tmp_path / "all.zip")),
        ("--book", book, "book", "restore", str(tmp_path / "all.zip"), str(tmp_path / "again")),
    ]
    assert [fixbook(*words).status for words in day] == [0] * len(day)
    found = fixbook("--book", str(tmp_path / "again"), "job", "list", "--json")
    assert "hums quibbly" in json.dumps(json.loads(found.out))
