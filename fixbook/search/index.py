"""The index: what the rest of fixbook sees of search.

An index lives in a private folder and can always be built again. `sources` says what is in it, so
that the caller can read what changed and hand it to `update`; `search` answers from what is there.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from enum import StrEnum
from pathlib import Path
from typing import NamedTuple, TypeVar

from fixbook.core.query import Document, Findings, Request, Words
from fixbook.errors import IndexFolderError
from fixbook.search.analysis import Analyser
from fixbook.search.find import Ranker, find, rank_keys
from fixbook.search.folder import open_private, writer_lock
from fixbook.search.manifest import NAME, Manifest, read_manifest
from fixbook.search.pages import IndexDamagedError
from fixbook.search.rank import PlainRanker
from fixbook.search.snapshot import Snapshot

BUSY = "another fixbook is updating the index; answered from the index as it was"
_TRIES = 5
_PATIENCE_S = 600.0

Answer = TypeVar("Answer")
Change = tuple[str, Sequence[Document] | None]
"""A source with its documents; None where they are as they were."""
Changes = Mapping[str, Sequence[Document] | None] | Iterable[Change]
Progress = Callable[[str, int], None]
"""Hears what is being done (`waiting`, `indexing`, `writing`) and how far it is: seconds waited,
or documents taken in."""


class State(StrEnum):
    """What an index folder holds."""

    READY = "ready"
    MISSING = "missing"
    OTHER_VERSION = "other version"
    DAMAGED = "damaged"


class Condition(NamedTuple):
    """State of an index, and a sentence about it."""

    state: State
    why: str


class Updated(NamedTuple):
    """What an update did."""

    done: bool
    """False where another process was writing; the index is as that process leaves it."""
    added: int
    """Documents taken in."""
    rebuilt: bool
    """Whether the index was built from nothing."""


class Index:
    """An index in a folder; open as long as it is used."""

    def __init__(self, folder: Path, version: str, *, fast: bool = False) -> None:
        """`version` names everything that the index depends on; `fast` ranks in arrays.

        Arrays need numpy, whose import costs more than a cold search.
        """
        self._folder = folder
        self._version = version
        self._fast = fast
        self._analyser = Analyser()
        self._snapshot: Snapshot | None = None
        self._ranker: Ranker | None = None
        self._stamp: tuple[int, ...] = ()
        self._condition = Condition(State.MISSING, "there is no index yet")
        self._notes: tuple[str, ...] = ()
        self._told = False
        """Whether the caller reckons with what is in the index, and so gives changes alone."""

    def condition(self) -> Condition:
        """Say whether there is an index to search; raises IndexFolderError for a bad folder."""
        self._open()
        return self._condition

    def sources(self) -> dict[str, str]:
        """Give the stamp of each source when it was indexed; empty without a usable index."""
        snapshot = self._open()
        self._told = snapshot is not None
        if snapshot is None:
            return {}
        try:
            return dict(snapshot.sources)
        except IndexDamagedError as problem:
            self._give_up(problem)
            self._told = False
            return {}

    def ranked(self, request: Request) -> list[tuple[str, float]]:
        """Give keys and scores alone, for measuring the ranking; raises as `search` does."""
        return self._answer(lambda s, r: rank_keys(s, request, ranker=r, analyser=self._analyser))

    def search(self, request: Request, raised: Mapping[str, float] | None = None) -> Findings:
        """Answer a request; `raised` has the share of its score that a document gains, by key.

        Raises IndexDamagedError where there is no usable index, or where damage is met on the
        way; `sources` is empty from then on, so that the caller builds it again.
        """
        found = self._answer(
            lambda s, r: find(s, request, ranker=r, analyser=self._analyser, raised=raised)
        )
        return found._replace(notes=found.notes + self._notes) if self._notes else found

    def _answer(self, ask: Callable[[Snapshot, Ranker], Answer]) -> Answer:
        for attempt in range(_TRIES):
            snapshot = self._open()
            if snapshot is None or self._ranker is None:
                break
            try:
                return ask(snapshot, self._ranker)
            except IndexDamagedError as problem:
                if attempt + 1 == _TRIES or not self._is_replaced():
                    self._give_up(problem)
                    raise
        raise IndexDamagedError(self._condition.why)

    def update(
        self,
        changed: Changes,
        *,
        removed: Collection[str] = (),
        stamps: Mapping[str, str],
        words: Words | None = None,
        wait_s: float = 0.25,
        progress: Progress | None = None,
        jobs: int | None = None,
    ) -> Updated:
        """Take in what changed, in one step for everyone who searches.

        `changed` gives each changed source with its documents (an empty list is allowed), or None
        where only its stamp is new, and may be read lazily; `stamps` has the new stamp of each by
        the time it is given. Without a usable
        index `changed` must give everything. `words` replaces the synonyms; None leaves them.
        Raises IndexDamagedError where the index was lost since `sources` was asked: ask again.
        """
        from fixbook.search.write import write_changes

        open_private(self._folder, create=True)
        usable = self._open() is not None
        with writer_lock(
            self._folder,
            wait_s if usable else _PATIENCE_S,
            waiting=(lambda s: progress("waiting", int(s))) if progress else None,
        ) as held:
            if not held:
                if not usable:
                    raise IndexFolderError(
                        f"another process has been building the index in {self._folder} for "
                        f"{_PATIENCE_S / 60:.0f} minutes",
                        hint="end that process, or wait for it",
                    )
                self._notes = (BUSY,)
                return Updated(False, 0, False)
            self._notes = ()
            old = self._open()
            if old is None and self._told:
                self._told = False
                raise IndexDamagedError(self._condition.why)
            try:
                added = write_changes(
                    self._folder,
                    old,
                    self._version,
                    _pairs(changed),
                    removed=removed,
                    stamps=stamps,
                    words=words,
                    progress=progress,
                    jobs=jobs,
                )
            except IndexDamagedError as problem:
                self._give_up(problem)
                self._told = False
                raise
            self._open()
        return Updated(True, added, old is None)

    def check(self) -> Condition:
        """Check every byte of the index, which a search does only for what it reads."""
        snapshot = self._open()
        if snapshot is not None:
            try:
                snapshot.check_all()
            except IndexDamagedError as problem:
                self._give_up(problem)
        return self._condition

    def close(self) -> None:
        """Let all files go; the next call opens them again."""
        self._snapshot = self._ranker = None
        self._stamp = ()

    def _open(self) -> Snapshot | None:
        """Give the newest generation; None where there is none to use, and `_condition` why."""
        if not open_private(self._folder, create=False):
            self._set(None, State.MISSING, "there is no index yet")
            return None
        stamp = self._read_stamp()
        if stamp == self._stamp and stamp:
            return self._snapshot
        for attempt in range(_TRIES):
            stamp = self._read_stamp()
            try:
                self._adopt(read_manifest(self._folder))
            except IndexDamagedError as problem:
                # A writer may have replaced the files between the two readings.
                if attempt + 1 < _TRIES and self._read_stamp() != stamp:
                    continue
                self._set(None, State.DAMAGED, str(problem))
            self._stamp = stamp
            return self._snapshot
        return self._snapshot

    def _adopt(self, manifest: Manifest | None) -> None:
        if manifest is None:
            self._set(None, State.MISSING, "there is no index of this format yet")
        elif manifest.version != self._version:
            self._set(None, State.OTHER_VERSION, "the index was built by another version")
        else:
            self._set(Snapshot(self._folder, manifest, self._snapshot), State.READY, "")

    def _set(self, snapshot: Snapshot | None, state: State, why: str) -> None:
        self._snapshot = snapshot
        self._condition = Condition(state, why)
        self._stamp = ()
        self._ranker = None if snapshot is None else self._make_ranker(snapshot)

    def _make_ranker(self, snapshot: Snapshot) -> Ranker:
        if self._fast:
            try:
                from fixbook.search.arrays import ArrayRanker
            except ImportError:  # numpy is not installed: the same answers, only later
                return PlainRanker(snapshot)
            return ArrayRanker(snapshot)
        return PlainRanker(snapshot)

    def _give_up(self, problem: IndexDamagedError) -> None:
        stamp = self._stamp
        self._set(None, State.DAMAGED, str(problem))
        self._stamp = stamp

    def _is_replaced(self) -> bool:
        return self._read_stamp() != self._stamp

    def _read_stamp(self) -> tuple[int, ...]:
        try:
            info = os.stat(self._folder / NAME)
        except OSError:
            return ()
        return (info.st_mtime_ns, info.st_size, info.st_ino)


def _pairs(changed: Changes) -> Iterator[Change]:
    yield from changed.items() if isinstance(changed, Mapping) else changed
