"""Several processes at one index: one writes, nobody is stopped by another's death."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import pytest

from fixbook.core.query import Document, Request
from fixbook.search import BUSY, Index, State
from fixbook.search.build import build_segments
from fixbook.search.folder import writer_lock

_WRITER = """
import sys
from pathlib import Path
from fixbook.core.query import Document
from fixbook.search import Index

def documents():
    yield "slow.md", [Document("slow", "slow.md", {"title": "slow"})]
    print("writing", flush=True)
    sys.stdin.read(1)

Index(Path(sys.argv[1]), "1").update(documents(), stamps={})
"""


@contextmanager
def other_writer(folder: Path) -> Iterator[subprocess.Popen[bytes]]:
    """Have another process in the middle of an update until it is told to go on."""
    process = subprocess.Popen(
        [sys.executable, "-c", _WRITER, str(folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )
    with process:
        assert process.stdout and process.stdout.readline() == b"writing\n"
        yield process
        if process.stdin and not process.stdin.closed:
            process.stdin.close()


def test_a_second_writer_leaves_the_index_as_it_is_and_says_so(index: Index, folder: Path) -> None:
    """It answers from what is there, with a note, and is right again afterwards."""
    with other_writer(folder):
        assert not index.update({}, removed=["hum-reservoir.md"], stamps={}, wait_s=0).done
        found = index.search(Request("hum"))
        assert (found.notes, found.total) == ((BUSY,), 1)
    assert index.update({}, stamps={}).done and not index.search(Request("slow")).notes
    assert index.search(Request("slow")).total == 1


def test_a_killed_writer_leaves_a_usable_index(index: Index, folder: Path) -> None:
    """Its lock goes with it, what it began is swept up, and nothing is lost."""
    with other_writer(folder) as process:
        process.kill()
        process.wait()
    assert index.search(Request("hum")).total == 1
    assert index.update({}, removed=["hum-reservoir.md"], stamps={}, wait_s=0).done
    assert index.check().state is State.READY and not index.search(Request("slow")).total


def test_a_first_build_waits_for_another_and_tells_progress(folder: Path) -> None:
    """Without an index there is nothing to answer from, so the second process waits."""
    heard: list[str] = []
    index = Index(folder, "1")
    with other_writer(folder) as process:

        def hear(what: str, _: int) -> None:
            heard.append(what)
            if process.stdin and not process.stdin.closed:
                process.stdin.close()

        index.update({}, stamps={}, wait_s=0, progress=hear)
    assert "waiting" in heard and index.search(Request("slow")).total == 1


def test_the_lock_is_held_once(folder: Path) -> None:
    """While one holds it, another does not get it."""
    folder.mkdir(mode=0o700)
    with writer_lock(folder, 0) as first, writer_lock(folder, 0) as second:
        assert (first, second) == (True, False)


def test_other_processes_build_the_same(
    monkeypatch: pytest.MonkeyPatch,
    make: Callable[..., Index],
    book: Sequence[Document],
    tmp_path: Path,
) -> None:
    """Spread over two processes, the same documents are found with the same scores."""
    request = Request("hum relay fuse rail")
    wanted = make().ranked(request)
    monkeypatch.setattr("fixbook.search.build.MANY", 2)
    monkeypatch.setattr("fixbook.search.build._BATCH", 1)
    index = Index(tmp_path / "apart", "1")
    index.update({d.source: [d] for d in book}, stamps={}, jobs=2)
    assert len(list((tmp_path / "apart").glob("*.trm"))) == 2
    assert dict(index.ranked(request)) == pytest.approx(dict(wanted))


def test_progress_counts_documents(tmp_path: Path) -> None:
    """Whoever waits hears how many documents are taken in."""
    heard: list[int] = []
    documents = (Document(f"k{n}", "s", {"body": "zim"}) for n in range(120))
    build_segments(tmp_path, documents, progress=heard.append)
    assert heard == [50, 100]
