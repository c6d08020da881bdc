"""An index has more files than a process may have open: it is answered from, or the limit is said."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from fixbook.core.query import Request
from fixbook.errors import IndexFolderError
from fixbook.search import Index, IndexDamagedError

resource = pytest.importorskip("resource", reason="Windows has no limit on open files")


@pytest.fixture
def few_files() -> Iterator[None]:
    """Let this process open two more files than it has open, until it raises the limit itself."""
    before = resource.getrlimit(resource.RLIMIT_NOFILE)
    probe = os.open(os.devnull, os.O_RDONLY)
    os.close(probe)
    resource.setrlimit(resource.RLIMIT_NOFILE, (probe + 3, before[1]))
    yield
    resource.setrlimit(resource.RLIMIT_NOFILE, before)


def test_a_low_limit_on_open_files_is_raised(index: Index, folder: Path, few_files: None) -> None:
    """Some systems begin with 256 open files for a process, and allow it many more."""
    assert Index(folder, "1").search(Request("hum")).hits


def test_a_limit_that_cannot_be_raised_is_no_damage(
    index: Index, folder: Path, few_files: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is said with what to do; the index is not made anew, which would have as many files."""

    def refuse(*_: object) -> None:
        raise ValueError

    monkeypatch.setattr(resource, "setrlimit", refuse)
    with pytest.raises(IndexFolderError, match="Too many open files") as raised:
        Index(folder, "1").search(Request("hum"))
    monkeypatch.undo()
    assert (isinstance(raised.value, IndexDamagedError), "ulimit -n" in str(raised.value.hint)) == (
        False,
        True,
    )
