"""Keeping the index of a book in step with its files."""

from __future__ import annotations

import hashlib
import time
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from fixbook.app.extras import Extras
from fixbook.app.kept import keep, read_kept
from fixbook.app.library import Library, Shelf, stem
from fixbook.app.often import Often
from fixbook.core.query import Findings, Request
from fixbook.errors import IndexFolderError, disk_is_full
from fixbook.search import Index, IndexDamagedError, State
from fixbook.store.folder import read_file

if TYPE_CHECKING:
    from fixbook.core.query import Document, Words

INDEX, FAULTS = "index", "faults.json"
UNSURE = "?"
"""In the stamp of a file that may have changed again since, within the clock's grain, or whose
id another file may have."""
SAME = "="
"""Stands before what a file's content was, in the stamp of one that may have changed again."""
GRAIN_NS = 2_000_000_000

Progress = Callable[[str, int, int], None]
"""Hears what is being done, how far it is, and of how many (0 where that is not known)."""


class Refreshed(NamedTuple):
    """What bringing the index up to date did."""

    read: int
    """Write-ups that were read."""
    removed: int
    rebuilt: bool
    """Whether the index was made anew."""
    busy: bool
    """Whether another process was writing, so that the index is as it was."""


class _Turn(NamedTuple):
    """What one refresh knows of the files, by source, and what it learns of them."""

    files: Mapping[str, tuple[Shelf, str]]
    known: Mapping[str, str]
    """The stamps in the index."""
    stamps: dict[str, str]
    """The new ones."""
    twins: Collection[str]
    """Those that have the name of another: whose id it is depends on both."""
    faults: dict[str, int]
    """How many faults each has; less than none where it cannot be found at all."""
    same: set[str]
    """Those whose content is as it was."""


class BookIndex:
    """The index of an open library. It is derived data: made anew whenever it cannot be used."""

    def __init__(
        self, library: Library, *, fast: bool = False, progress: Progress | None = None
    ) -> None:
        self._library = library
        self._progress = progress
        self._fast = fast
        self.unkept = ""
        """Why the index could not be written, and what that means for a search."""
        self._open()

    def _open(self) -> None:
        library = self._library
        version = hashlib.sha256(library.words_stamp.encode("utf-8")).hexdigest()
        self._index = Index(library.cache / INDEX, version, fast=self._fast)
        self._often = Often(library.cache)
        self._extras = Extras(library, self._often)

    def refresh(self, *, look: bool = False) -> Refreshed:
        """Read what changed since the index was written, and nothing else.

        What others may have written on machines of their own is read by a process beside this
        one; with `look`, by this one. Where damage is met on the way, everything is read again.
        Where the disk of the cache is full the index stays as it was, or is made in a temporary
        folder; with `look` that is an error.
        """
        self.unkept = ""
        try:
            done = self._refresh_twice(look=look)
        except IndexFolderError as error:
            if look or not disk_is_full(error):
                raise
            done = self._without_room(error)
        if self._library.spare is not None:
            self.unkept = self._full("the index has to be made each time")
        self._extras.look_later()
        return done

    def _refresh_twice(self, *, look: bool) -> Refreshed:
        try:
            return self._refresh(look)
        except IndexDamagedError:
            return self._refresh(look)

    def _without_room(self, error: IndexFolderError) -> Refreshed:
        if self._index.condition().state == State.READY:
            self.unkept = self._full("what changed since is not found")
            return Refreshed(0, 0, False, False)
        self._library.use_spare_cache(error)
        self._open()
        try:
            return self._refresh_twice(look=False)
        except IndexFolderError:
            raise error from error.__cause__

    def _full(self, result: str) -> str:
        return f"the disk of {self._library.folders.cache} is full, so {result}; make room on it"

    def _refresh(self, look: bool) -> Refreshed:
        known = self._index.sources()
        files = {f"{shelf.name}:{path}": (shelf, path) for shelf, path in self._library.files()}
        stamps = {
            source: _stamp(self._library, shelf, path) for source, (shelf, path) in files.items()
        }
        extra = self._extra_stamps(known, look=look)
        stamps |= extra
        removed = [source for source in known if source not in stamps]
        twins = _namesakes(files)
        changed = [
            one for one in files if one in twins or _must_be_read(known.get(one), stamps[one])
        ]
        more = {source: at for source, at in extra.items() if known.get(source) != at}
        usable = self._index.condition().state == State.READY
        if usable and not (removed or changed or more):
            self._extras.keep()
            return Refreshed(0, 0, False, False)
        turn = _Turn(files, known if usable else {}, stamps, twins, {}, set())
        reading = chain(self._read(changed, turn), self._extras.documents(more))
        words = None if usable else self._words()
        done = self._index.update(
            reading, removed=removed, stamps=stamps, words=words, progress=self._hear
        )
        if done.done:
            seen = {*changed, *removed} - turn.same
            self._keep_faults(turn.faults, seen, fresh=done.rebuilt)
            self._extras.keep()
        return Refreshed(len(changed) + len(more), len(removed), done.rebuilt, not done.done)

    @property
    def extra_kinds(self) -> tuple[str, ...]:
        """The kinds of document that plugins add, shown only where they are asked for."""
        return self._extras.kinds

    def summaries(self, ids: Iterable[str]) -> dict[str, str]:
        """Give the plugins' line of figures for each of these entries."""
        from fixbook.app.summaries import summaries

        by_id = {
            source.rpartition("/")[2]: stamp for source, stamp in self._index.sources().items()
        }
        shown = {id: by_id.get(f"{id}.md", "") for id in ids}
        state = f"{self._library.words_stamp}\n{self._extras.state}"
        return summaries(self._library, shown, hashlib.sha256(state.encode("utf-8")).hexdigest())

    def _extra_stamps(self, known: Mapping[str, str], *, look: bool) -> dict[str, str]:
        """Give the stamps of plugins' documents: as they were, unless a watched file changed."""
        if known and not self._extras.changed and not (look and self._extras.old):
            kinds = self._extras.kinds
            return {one: at for one, at in known.items() if one.partition(":")[0] in kinds}
        return self._extras.stamps(known)

    def search(self, request: Request) -> Findings:
        """Answer from the index as `refresh` left it; a damaged one is made anew on the way."""
        try:
            return self.peek(request)
        except IndexDamagedError:
            self.refresh()
            return self.peek(request)

    def peek(self, request: Request) -> Findings:
        """Answer from the index as it is; IndexDamagedError where it cannot be used now.

        Nothing is made anew, so another thread may answer while this library's index is refreshed.
        """
        raised = self._often.raised(request)
        found = self._index.search(request, raised)
        return self._often.explained(found) if raised and request.explain else found

    @property
    def notes(self) -> tuple[str, ...]:
        """What a reader of results should know about the index and the plugins' documents."""
        return (*([self.unkept] if self.unkept else []), *self._extras.notes)

    def faults(self) -> tuple[int, int]:
        """Give how many write-ups have faults, and how many of these cannot be found at all."""
        counts = _load(self._library.cache / FAULTS)
        return len(counts), sum(1 for count in counts.values() if count < 0)

    def close(self) -> None:
        """Let the index's files go."""
        self._index.close()

    def _read(self, changed: list[str], turn: _Turn) -> Iterator[tuple[str, list[Document] | None]]:
        from fixbook.app.bench import LibraryBench
        from fixbook.app.documents import document
        from fixbook.core.plugins import IndexFields

        library = self._library
        bench = LibraryBench(library)
        stamps, known = turn.stamps, turn.known
        owners = _first_by_stem(turn.files)
        for number, source in enumerate(changed):
            if self._progress and number % 50 == 0:
                self._progress("reading write-ups", number, len(changed))
            shelf, path = turn.files[source]
            content = ""
            single = source not in turn.twins
            if single and (stamps[source].endswith(UNSURE) or SAME in known.get(source, "")):
                # Before it is read for good: what is written meanwhile is then seen next time.
                content = SAME + _digest(read_file(shelf.root, path)[0])
                stamp = stamps[source].removesuffix(UNSURE)
                if known.get(source) == f"{stamp}{UNSURE}{content}":
                    if stamps[source].endswith(UNSURE):
                        stamps[source] = known[source]
                    turn.same.add(source)
                    yield source, None
                    continue
            filed, problems = library.read(shelf, path)
            if problems:
                turn.faults[source] = len(problems) if filed else -len(problems)
            documents = []
            if filed is not None and owners.setdefault(filed.entry.id, source) != source:
                turn.faults[source] = -1  # another file has this id; the first one holds
            elif filed is not None:
                added = library.registry.values(
                    "fixbook_index_fields", IndexFields, bench=bench, entry=filed.entry
                )
                extra = [fields for _, fields in added]
                documents = [document(filed.entry, source, library.vocabulary, extra)]
            # Read again next time, and taken in only if something of it differs: whether an id is
            # its own depends on others, and a file may change under the same stamp.
            if not single or (filed and filed.entry.id != stem(path)):
                stamps[source] += UNSURE + _digest(repr(documents))
            elif stamps[source].endswith(UNSURE):
                stamps[source] += content
            yield source, documents

    def _words(self) -> Words:
        from fixbook.core.query import Words

        vocabulary = self._library.vocabulary
        return Words(vocabulary.synonyms, vocabulary.one_way, vocabulary.elsewhere)

    def _hear(self, what: str, count: int) -> None:
        if self._progress:
            self._progress(what, count, 0)

    def _keep_faults(self, faults: Mapping[str, int], seen: set[str], *, fresh: bool) -> None:
        path = self._library.cache / FAULTS
        kept = {} if fresh else {k: v for k, v in _load(path).items() if k not in seen}
        keep(path, {**kept, **faults})


def _stamp(library: Library, shelf: Shelf, path: str) -> str:
    size, changed = library.listings[shelf.name].entries[path]
    unsure = UNSURE if abs(time.time_ns() - changed) < GRAIN_NS else ""
    return f"{size}:{changed}{unsure}"


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "backslashreplace")).hexdigest()[:16]


def _must_be_read(known: str | None, now: str) -> bool:
    """Say whether a file has to be read: it changed, or may have under the same stamp."""
    return known != now or UNSURE in known


def _namesakes(files: Mapping[str, tuple[Shelf, str]]) -> set[str]:
    counts = Counter(stem(path) for _, path in files.values())
    if len(counts) == len(files):
        return set()
    return {source for source, (_, path) in files.items() if counts[stem(path)] > 1}


def _first_by_stem(files: Mapping[str, tuple[Shelf, str]]) -> dict[str, str]:
    first: dict[str, str] = {}
    for source, (_, path) in files.items():
        first.setdefault(stem(path), source)
    return first


def _load(path: Path) -> dict[str, int]:
    return {source: count for source, count in read_kept(path).items() if isinstance(count, int)}
