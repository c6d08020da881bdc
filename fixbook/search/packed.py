"""Postings once more, each list in one piece: read in a few steps where Whoosh's blocks take many.

One file for a segment. For each term: the documents, their weights, where each one's places end,
and the places; the term's directory entry says where that begins and how wide the numbers are.
Weights are numbers in a table at the end of the file, since there are few different ones. All in
the machine's own byte order: the index is a cache of one machine.
"""

from __future__ import annotations

import struct
import sys
from array import array
from bisect import bisect_left
from collections.abc import Sequence
from itertools import accumulate
from typing import BinaryIO, NamedTuple

from fixbook.search.pages import CheckedFile

ENDING = ".pack"
WIDE_IDS, WIDE_WEIGHTS, WIDE_PLACES = 1, 2, 4
"""Bits of `Spot.kind`: four bytes for a document, eight for a weight, four for a place."""
_NARROW = 0xFFFF
_SPARSE = 64
"""A place read by itself costs as much as so many that are read in one piece."""
_FEW = 4_000
"""So many places of a term are kept in memory."""
_MOST_KEPT = 6_000_000
"""Bytes kept in memory for each segment."""
_TABLE = struct.Struct("=I")
_ORDER = "le" if sys.byteorder == "little" else "be"


class Spot(NamedTuple):
    """Where a term's postings are, how many, and how they are kept."""

    start: int
    having: int
    kind: int


Head = tuple[memoryview, memoryview, memoryview]
"""Of a term: its documents, where each one's places end, and all places where they are few."""


class PackWriter:
    """Writes the file, term by term."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self._codes: dict[float, int] = {}

    def add(self, ids: list[int], weights: list[float], places: list[str]) -> tuple[int, int]:
        """Write a term's postings; gives their start and kind."""
        text = "".join(places)
        wide_ids = ids[-1] > _NARROW
        wide_places = max(text, default="") > chr(_NARROW)
        kept, wide_weights = self._coded(weights)
        ends = array("I", accumulate(map(len, places)))
        parts = array("I" if wide_ids else "H", ids), kept, ends
        start = self._file.tell()
        for part in parts:
            self._file.write(part.tobytes())
        coding = f"utf-32-{_ORDER}" if wide_places else f"utf-16-{_ORDER}"
        self._file.write(text.encode(coding, "surrogatepass"))
        kind = WIDE_IDS * wide_ids | WIDE_WEIGHTS * wide_weights | WIDE_PLACES * wide_places
        return start, kind

    def finish(self) -> None:
        """Write the table of weights."""
        self._file.write(array("d", self._codes).tobytes())
        self._file.write(_TABLE.pack(len(self._codes)))

    def _coded(self, weights: list[float]) -> tuple[array[int] | array[float], bool]:
        codes = self._codes
        if len(codes) + len(weights) > _NARROW and len(codes) + len(set(weights)) > _NARROW:
            return array("d", weights), True
        return array("H", [codes.setdefault(one, len(codes)) for one in weights]), False


class Packed:
    """Reads the file."""

    def __init__(self, file: CheckedFile) -> None:
        self._file = file
        (count,) = _TABLE.unpack(file.get(file.size - _TABLE.size, _TABLE.size))
        self.table = array("d")
        """Every weight, by the number that stands for it."""
        self.table.frombytes(file.get(file.size - _TABLE.size - 8 * count, 8 * count))
        self._heads: dict[int, Head] = {}
        self._kept = 0

    def ids_and_weights(self, spot: Spot) -> tuple[bytes, int, int]:
        """Give the bytes of a term's documents and weights, and the width of each number."""
        wide, heavy = _widths(spot)
        return self._file.get(spot.start, spot.having * (wide + heavy)), wide, heavy

    def ids(self, spot: Spot) -> memoryview:
        """Give a term's documents, in order."""
        return self._head(spot)[0]

    def places_at(self, spots: Sequence[Spot], number: int) -> str:
        """Give the places of all these terms in one document, term after term."""
        heads, found = self._heads, ""
        for spot in spots:
            ids, ends, kept = heads.get(spot.start) or self._head(spot)
            at = bisect_left(ids, number)
            if at < spot.having and ids[at] == number:
                first, last = ends[at - 1] if at else 0, ends[at]
                if len(kept) >= last:
                    found += "".join(map(chr, kept[first:last]))
                else:
                    found += self._read(spot, first, last)
        return found

    def places(self, spot: Spot, numbers: Sequence[int]) -> list[str]:
        """Give a term's places in each of these documents; empty where it is not there."""
        ids, ends, _ = self._head(spot)
        found = [-1] * len(numbers)
        for nth, number in enumerate(numbers):
            at = bisect_left(ids, number)
            if at < spot.having and ids[at] == number:
                found[nth] = at
        spans = [(ends[at - 1] if at else 0, ends[at]) if at >= 0 else (0, 0) for at in found]
        if len(numbers) * _SPARSE < ends[-1]:
            return [self._read(spot, *span) if span[1] else "" for span in spans]
        text = self._read(spot, 0, ends[-1])
        return [text[first:last] for first, last in spans]

    def _read(self, spot: Spot, first: int, last: int) -> str:
        # Two places can look like one character in two halves, so they are not decoded as text.
        return "".join(map(chr, self._view(spot, first, last)))

    def _view(self, spot: Spot, first: int, last: int) -> memoryview:
        begin = spot.start + spot.having * (sum(_widths(spot)) + 4)
        size = 4 if spot.kind & WIDE_PLACES else 2
        data = self._file.get(begin + first * size, (last - first) * size)
        return memoryview(data).cast("I" if size == 4 else "H")

    def _head(self, spot: Spot) -> Head:
        head = self._heads.get(spot.start)
        if head is None:
            wide, heavy = _widths(spot)
            size = spot.having * wide
            ids = memoryview(self._file.get(spot.start, size)).cast("I" if wide == 4 else "H")
            after = spot.start + size + spot.having * heavy
            ends = memoryview(self._file.get(after, spot.having * 4)).cast("I")
            head = ids, ends, self._view(spot, 0, ends[-1] if ends[-1] <= _FEW else 0)
            while self._kept > _MOST_KEPT:
                old = self._heads.pop(next(iter(self._heads)))
                self._kept -= sum(part.nbytes for part in old)
            self._heads[spot.start] = head
            self._kept += sum(part.nbytes for part in head)
        return head


def _widths(spot: Spot) -> tuple[int, int]:
    return 4 if spot.kind & WIDE_IDS else 2, 8 if spot.kind & WIDE_WEIGHTS else 2
