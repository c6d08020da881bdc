"""Write what changed as a new generation of the index."""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from fixbook.core.query import Document, Words
from fixbook.errors import IndexFolderError
from fixbook.search.build import build_segments
from fixbook.search.manifest import (
    Manifest,
    SegmentNote,
    note_segment,
    put,
    remove_strays,
    write_manifest,
)
from fixbook.search.snapshot import Segment, Snapshot
from fixbook.search.synonyms import Links, compile_words

if TYPE_CHECKING:
    from fixbook.search.index import Change

_TIERS = (16, 128, 1024)
_MOST_IN_TIER = 8
_MOST_DELETED = 0.5


def write_changes(
    folder: Path,
    old: Snapshot | None,
    version: str,
    changed: Iterator[Change],
    *,
    removed: Collection[str],
    stamps: Mapping[str, str],
    words: Words | None,
    progress: Callable[[str, int], None] | None,
    jobs: int | None,
) -> int:
    """Write a new generation and give how many documents were taken in.

    The caller holds the writer's lock. Sources whose stamp the index has already are skipped:
    another process may have taken them in while this one waited.
    """
    try:
        return _Writing(folder, old, version).write(
            changed, removed, stamps=stamps, words=words, progress=progress, jobs=jobs
        )
    except OSError as problem:
        with suppress(OSError):  # what was begun may be what fills the disk
            remove_strays(folder, old.manifest.names if old else ())
        raise IndexFolderError(
            f"the index in {folder} cannot be written: {problem.strerror or problem}",
            hint="make room on the disk, or name another cache folder",
        ) from problem


class _Writing:
    def __init__(self, folder: Path, old: Snapshot | None, version: str) -> None:
        self._folder = folder
        self._old = old
        self._version = version
        self._sources = dict(old.sources) if old else {}
        self._gone: set[str] = set()
        self._taken = 0

    def write(
        self,
        changed: Iterator[Change],
        removed: Collection[str],
        *,
        stamps: Mapping[str, str],
        words: Words | None,
        progress: Callable[[str, int], None] | None,
        jobs: int | None,
    ) -> int:
        remove_strays(self._folder, self._old.manifest.names if self._old else ())
        hear = (lambda n: progress("indexing", n)) if progress else None
        for source in removed:
            if self._sources.pop(source, None) is not None:
                self._gone.add(source)
        links = self._links(words)
        documents = self._take(changed, stamps)
        built = build_segments(self._folder, documents, jobs=jobs, progress=hear)
        unchanged = not built and not self._gone
        if unchanged and self._old and (self._sources, links) == self._before(self._old):
            return 0
        if progress:
            progress("writing", self._taken)
        notes = [note_segment(self._folder, *files) for files in built]
        kept = self._kept()
        self._commit([*self._merge(kept), *notes], links)
        return self._taken

    @staticmethod
    def _before(old: Snapshot) -> tuple[dict[str, str], Links]:
        return old.sources, old.links

    def _take(self, changed: Iterable[Change], stamps: Mapping[str, str]) -> Iterator[Document]:
        for source, documents in changed:
            stamp = stamps.get(source, "")
            if documents is None:
                if source in self._sources:
                    self._sources[source] = stamp
                continue
            if source in self._sources:
                if stamp and self._sources[source] == stamp:
                    continue
                self._gone.add(source)
            self._sources[source] = stamp
            for document in documents:
                self._taken += 1
                yield document

    def _links(self, words: Words | None) -> Links:
        if words is None:
            return self._old.links if self._old else {}
        return compile_words(words)

    def _kept(self) -> list[tuple[Segment, SegmentNote]]:
        """The old segments that still have documents, with what is deleted from them now."""
        kept = []
        for segment in self._old.segments if self._old else ():
            deleted = set(segment.note.deleted)
            if self._gone:
                sources = segment.columns.sources
                deleted |= {n for n, source in enumerate(sources) if source in self._gone}
            if len(deleted) < segment.note.documents:
                kept.append((segment, segment.note._replace(deleted=tuple(sorted(deleted)))))
        return kept

    def _merge(self, kept: Sequence[tuple[Segment, SegmentNote]]) -> list[SegmentNote]:
        """Write small segments, and half empty ones, together into new ones."""
        merged: list[tuple[Segment, SegmentNote]] = []
        for least, below in pairwise((0, *_TIERS)):
            tier = [pair for pair in kept if least <= pair[1].documents < below]
            smaller = [pair for pair in kept if pair[1].documents < least]
            # However many are smaller, they count once: a few changes in a row must not rewrite
            # a large segment.
            if len(tier) + bool(smaller) >= _MOST_IN_TIER:
                merged = [*smaller, *tier]
        merged += [
            pair
            for pair in kept
            if len(pair[1].deleted) > _MOST_DELETED * pair[1].documents and pair not in merged
        ]
        if not merged:
            return [note for _, note in kept]
        built = build_segments(self._folder, _documents(merged))
        notes = [note_segment(self._folder, *files) for files in built]
        return [note for pair in kept if pair not in merged for note in (pair[1],)] + notes

    def _commit(self, notes: Sequence[SegmentNote], links: Links) -> None:
        from fixbook.search.segment import write_contents

        folder = self._folder
        generation = self._old.manifest.generation + 1 if self._old else 1
        sources, synonyms = f"sources-{generation}.json", f"synonyms-{generation}.json"
        contents = write_contents(
            folder,
            generation,
            [(n.name, n.documents, n.length, dict.fromkeys(n.deleted)) for n in notes],
        )
        files = {
            sources: put(folder / sources, json.dumps(self._sources).encode()),
            synonyms: put(folder / synonyms, json.dumps(links).encode()),
            contents: put(folder / contents, (folder / contents).read_bytes()),
        }
        manifest = Manifest(self._version, generation, tuple(notes), files)
        write_manifest(folder, manifest)
        remove_strays(folder, manifest.names)


def _documents(pairs: Iterable[tuple[Segment, SegmentNote]]) -> Iterator[Document]:
    for segment, note in pairs:
        deleted = set(note.deleted)
        for number in range(note.documents):
            if number not in deleted:
                yield segment.record(number).document
