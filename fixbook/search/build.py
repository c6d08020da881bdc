"""Build segments from a stream of documents, in other processes where there are many.

Each process writes whole segments of its own, so nothing has to be merged and postings never
travel between processes. Plain pipes to a fresh interpreter are used rather than a process pool:
forking a program that may run threads is unsafe, and a pool imports the main program again.
"""

from __future__ import annotations

import errno
import json
import marshal
import os
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from itertools import chain, islice
from pathlib import Path
from typing import IO

from fixbook.core.query import Document
from fixbook.errors import IndexFolderError, disk_is_full
from fixbook.search.pool import Pool, SegmentFiles

MANY = 1500
"""From so many documents on, other processes pay for their start."""
MOST_IN_SEGMENT = 5000
"""A larger segment would need more memory while it is built."""
FULL_STATUS = 28
"""How a process ends that found the disk full."""
_PATIENCE_S = 10.0
_BATCH = 50
_START = (
    "import sys; sys.path[:] = {path!r}; from fixbook.search.build import work; work({folder!r})"
)


def build_segments(
    folder: Path,
    documents: Iterable[Document],
    *,
    jobs: int | None = None,
    progress: Callable[[int], None] | None = None,
) -> list[SegmentFiles]:
    """Write documents into new segments in a folder; `progress` hears how many are taken in."""
    jobs = min(os.cpu_count() or 1, 4) if jobs is None else jobs
    counted = _count(documents, progress)
    first = list(islice(counted, MANY))
    if jobs > 1 and len(first) == MANY and sys.executable:
        return _build_apart(folder, chain(first, counted), jobs)
    return build_here(folder, chain(first, counted))


def build_here(folder: Path, documents: Iterable[Document]) -> list[SegmentFiles]:
    """Write documents into new segments, in this process."""
    written, pool = [], Pool()
    for document in documents:
        pool.add(document)
        if len(pool) >= MOST_IN_SEGMENT:
            written.append(pool.write(folder))
            pool = Pool()
    if len(pool):
        written.append(pool.write(folder))
    return written


def _count(
    documents: Iterable[Document], progress: Callable[[int], None] | None
) -> Iterator[Document]:
    for number, document in enumerate(documents, 1):
        yield document
        if progress and not number % _BATCH:
            progress(number)


def _build_apart(folder: Path, documents: Iterator[Document], jobs: int) -> list[SegmentFiles]:
    code = _START.format(path=sys.path, folder=str(folder))
    workers = [
        subprocess.Popen(
            [sys.executable, "-c", code],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        for _ in range(jobs)
    ]
    try:
        turn = 0
        while batch := [_to_plain(d) for d in islice(documents, _BATCH)]:
            _send(workers[turn % jobs].stdin, batch)
            turn += 1
        for worker in workers:
            _send(worker.stdin, [])
        answers = [worker.communicate()[0] for worker in workers]
        if any(worker.returncode for worker in workers):
            raise BrokenPipeError
    except OSError as problem:
        if FULL_STATUS in [_ended(worker) for worker in workers]:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC)) from problem
        raise IndexFolderError(
            "a process that builds the search index stopped",
            hint="run the command again; if it stops again, there is too little memory or disk",
        ) from problem
    finally:
        for worker in workers:
            if worker.poll() is None:
                worker.kill()
                worker.wait()
    return [SegmentFiles(*note) for answer in answers for note in json.loads(answer)]


def _ended(worker: subprocess.Popen[bytes]) -> int:
    """Let a worker go that gets no more documents, and give its exit status."""
    with suppress(OSError, ValueError):  # its end of the pipe may be gone
        if worker.stdin is not None:
            worker.stdin.close()
    with suppress(subprocess.TimeoutExpired):
        return worker.wait(_PATIENCE_S)
    return -1


def _send(pipe: IO[bytes] | None, batch: list[tuple[object, ...]]) -> None:
    if pipe is not None:
        marshal.dump(batch, pipe)
        pipe.flush()


def work(folder: str) -> None:
    """Be one of the processes: documents come in on standard input, notes go out."""
    documents = (Document(*plain) for batch in iter(_receive, []) for plain in batch)
    try:
        written = build_here(Path(folder), documents)
    except EOFError:
        return  # the program that wanted it is gone
    except OSError as problem:
        sys.exit(FULL_STATUS if disk_is_full(problem) else 1)
    sys.stdout.write(json.dumps(written))


def _receive() -> list[tuple[str, str, dict[str, str], dict[str, tuple[str, ...]], dict[str, str]]]:
    batch: list[tuple[str, str, dict[str, str], dict[str, tuple[str, ...]], dict[str, str]]]
    batch = marshal.load(sys.stdin.buffer)
    return batch


def _to_plain(document: Document) -> tuple[object, ...]:
    facets = {name: tuple(values) for name, values in document.facets.items()}
    return (
        document.key, document.source, dict(document.parts), facets, dict(document.shown),
    )  # fmt: skip
