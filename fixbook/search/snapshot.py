"""An index opened for searching: one generation, unchanging, whatever is written meanwhile."""

from __future__ import annotations

import json
from array import array
from copy import copy
from functools import cached_property
from itertools import accumulate
from pathlib import Path
from typing import Any
from zlib import error as ZlibError

from fixbook.search.columns import Columns, unpack_columns
from fixbook.search.manifest import (
    Manifest,
    SegmentNote,
    open_files,
    read_checked,
)
from fixbook.search.packed import ENDING, Packed, Spot
from fixbook.search.pages import IndexDamagedError
from fixbook.search.pool import Record, unpack_record
from fixbook.search.postings import Place, Terms, read_blocks

_MOST_REMEMBERED = 100_000
"""Postings kept in memory for each segment; a hundred bytes each, about."""
_FEWEST_REMEMBERED = 12
"""Lists kept whatever their size: those of one query, which are read again to explain its hits."""
_MOST_SPOTS, _MOST_RECORDS = 5_000, 500


class Postings:
    """A term's or phrase's documents in one segment: numbers, weights and places, side by side."""

    __slots__ = ("ids", "places", "weights")

    def __init__(self, ids: list[int], weights: list[float], places: list[str]) -> None:
        self.ids = ids
        self.weights = weights
        self.places = places


NOTHING = Postings([], [], [])


class Segment:
    """One segment's files, read as they are needed."""

    def __init__(self, folder: Path, note: SegmentNote) -> None:
        self.note = note
        self._files = open_files(folder, note)
        self._terms = Terms(self._files[".trm"])
        self._found: dict[str, Place | None] = {}
        self._records: dict[int, Record] = {}
        self._spots: dict[tuple[str, ...], list[Spot]] = {}
        self.remembered: dict[tuple[tuple[str, ...], ...], Postings] = {}
        """Postings that were read lately."""
        self._remembered = 0

    def with_note(self, note: SegmentNote) -> Segment:
        """Give the same segment with other documents deleted; what was read stays read."""
        other = copy(self)
        other.note = note
        other.__dict__.pop("live", None)
        return other

    @cached_property
    def columns(self) -> Columns:
        """The segment's arrays."""
        columns = unpack_columns(self._whole(".columns"), self.note.name)
        if columns.documents != self.note.documents:
            raise IndexDamagedError(f"{self.note.name} counts differently")
        return columns

    @cached_property
    def live(self) -> bytearray:
        """One for each document that is not deleted."""
        mask = bytearray(b"\1") * self.note.documents
        for number in self.note.deleted:
            mask[number] = 0
        return mask

    @cached_property
    def packed(self) -> Packed:
        """The postings in one piece each, for what needs few of them, or many at once."""
        return Packed(self._files[ENDING])

    @cached_property
    def words(self) -> dict[str, int]:
        """Words as they are typed, with how many documents have them."""
        lines = self._whole(".words").decode("utf-8", "surrogatepass").split("\n")
        pairs = (line.rpartition(" ") for line in lines if line)
        return {word: int(count) for word, _, count in pairs}

    @cached_property
    def sorted_words(self) -> list[str]:
        """The same words in order."""
        return list(self.words)

    def place(self, term: str) -> Place | None:
        """Say where a term's postings are, if it has any."""
        if term not in self._found:
            self._found[term] = self._terms.find(term)
        return self._found[term]

    def spots(self, terms: tuple[str, ...]) -> list[Spot]:
        """Say where the packed postings of these terms are, of those that have any."""
        spots = self._spots.get(terms)
        if spots is None:
            places = (self.place(term) for term in terms)
            if len(self._spots) >= _MOST_SPOTS:
                self._spots.clear()
            spots = self._spots[terms] = [place.packed for place in places if place]
        return spots

    def postings(self, term: str) -> Postings:
        """Give all postings of a term."""
        place = self.place(term)
        if place is None:
            return NOTHING
        ids: list[int] = []
        weights: list[float] = []
        places: list[str] = []
        for block in read_blocks(self._files[".pst"], place):
            ids += accumulate(block.ids)
            weights += block.weights
            places += block.values
        if len(ids) != len(weights) or len(ids) != len(places):
            raise IndexDamagedError(f"{self.note.name} has uneven postings")
        return Postings(ids, weights, places)

    def remember(self, what: tuple[tuple[str, ...], ...], postings: Postings) -> None:
        """Keep postings for the next search, as long as they are not too many."""
        while self._remembered > _MOST_REMEMBERED and len(self.remembered) > _FEWEST_REMEMBERED:
            oldest = next(iter(self.remembered))
            self._remembered -= len(self.remembered.pop(oldest).ids)
        self.remembered[what] = postings
        self._remembered += len(postings.ids)

    def record(self, number: int) -> Record:
        """Give a document as it was kept; those that were shown lately stay read."""
        known = self._records.pop(number, None)
        if known is None:
            known = self._read_record(number)
            if len(self._records) >= _MOST_RECORDS:
                del self._records[next(iter(self._records))]
        self._records[number] = known
        return known

    def _read_record(self, number: int) -> Record:
        offsets: array[int] = self.columns.offsets
        start = offsets[number]
        try:
            return unpack_record(self._files[".docs"].get(start, offsets[number + 1] - start))
        except (ValueError, TypeError, ZlibError) as problem:
            raise IndexDamagedError(f"{self.note.name}, document {number}") from problem

    def check_all(self) -> None:
        """Check every page of every file."""
        for file in self._files.values():
            file.check_all()

    def _whole(self, ending: str) -> bytes:
        file = self._files[ending]
        return file.get(0, file.size)


class Snapshot:
    """All segments of one generation, and what was compiled beside them."""

    def __init__(self, folder: Path, manifest: Manifest, before: Snapshot | None = None) -> None:
        self.manifest = manifest
        self._folder = folder
        known = {segment.note.name: segment for segment in before.segments} if before else {}
        self.segments: list[Segment] = [
            known[note.name].with_note(note) if note.name in known else Segment(folder, note)
            for note in manifest.segments
        ]
        for name, (size, checksum) in manifest.files.items():
            if name.endswith(".toc"):
                read_checked(folder / name, size, checksum)

    @cached_property
    def sources(self) -> dict[str, str]:
        """What each source looked like when it was indexed."""
        return dict(self._json("sources"))

    @cached_property
    def links(self) -> dict[str, list[list[object]]]:
        """Compiled synonyms: first term -> phrases that begin with it and what they find."""
        return dict(self._json("synonyms"))

    @cached_property
    def count(self) -> int:
        """How many documents there are, deleted ones left out."""
        return sum(len(s.live) - len(s.note.deleted) for s in self.segments)

    @cached_property
    def average_length(self) -> float:
        """Average weighted length, of deleted documents too: they are few, and soon gone."""
        count = sum(s.note.documents for s in self.segments)
        return sum(s.note.length for s in self.segments) / count if count else 1.0

    def _json(self, kind: str) -> dict[str, Any]:
        for name, (size, checksum) in self.manifest.files.items():
            if name.startswith(kind):
                value = json.loads(read_checked(self._folder / name, size, checksum))
                if isinstance(value, dict):
                    return value
        raise IndexDamagedError(f"no {kind}")

    def check_all(self) -> None:
        """Check everything; raise IndexDamagedError at the first damage."""
        for name, (size, checksum) in self.manifest.files.items():
            read_checked(self._folder / name, size, checksum)
        for segment in self.segments:
            segment.check_all()
            _ = segment.columns, segment.words
