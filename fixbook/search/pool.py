"""Gather documents in memory and write them as one segment of a Whoosh index.

Whoosh's own writer takes documents one at a time through a general analyser and sorts the postings
in files; here whole posting lists are built in arrays and handed to its codec in one go.
"""

from __future__ import annotations

import json
import re
import zlib
from array import array
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from fixbook.core.query import Document
from fixbook.search.analysis import Analyser
from fixbook.search.columns import Columns, gather_facets, pack_columns
from fixbook.search.fold import fold
from fixbook.search.weights import MOST_PARTS, OTHER_WEIGHT, PART_WEIGHTS, part_count

SAMPLE = 16
"""Every so many chunks the record of a document says where in the text they are."""
_STRETCH = re.compile(rf"\S+(?:\s+\S+){{0,{SAMPLE - 1}}}")
Samples = dict[str, list[tuple[int, int]]]
_GAP = 8
"""Empty slots between parts, so that no phrase runs over from one to the next."""
_LAST_SLOT = (0x10FFFF >> 4) - 1
"""Places are characters; words after this one are found, but not in phrases."""
OTHER = "other"


class SegmentFiles(NamedTuple):
    """A segment as it was written."""

    name: str
    """Beginning of the names of all its files."""
    documents: int
    """How many documents it has."""
    length: float
    """Sum of the weighted lengths."""


class Pool:
    """Documents of one segment to be."""

    def __init__(self, analyser: Analyser | None = None) -> None:
        self._analyser = analyser or Analyser()
        self._lists: defaultdict[str, list[Any]] = defaultdict(list)
        """For each term number, weight and places of each document, one after the other."""
        self._chars: dict[int, str] = {}
        self._parts: dict[str, int] = {name: i for i, name in enumerate(PART_WEIGHTS)}
        self._weights = [float(w) for w in PART_WEIGHTS.values()]
        self._lengths = array("f")
        self._documents: list[tuple[str, str, dict[str, tuple[str, ...]]]] = []
        self._records: list[bytes] = []

    def __len__(self) -> int:
        return len(self._documents)

    def add(self, document: Document) -> None:
        """Take a document in."""
        number = len(self._documents)
        places, samples, length = self._place(document)
        self._gather(number, places)
        self._lengths.append(length)
        facets = {name: tuple(values) for name, values in document.facets.items()}
        self._documents.append((document.key, document.source, facets))
        self._records.append(pack_record(document, samples))

    def _place(self, document: Document) -> tuple[dict[str, list[int]], Samples, float]:
        """Find every term's places; a place is the slot's number and, in four bits, the part."""
        places: defaultdict[str, list[int]] = defaultdict(list)
        samples: Samples = {}
        start, length = 0, 0.0
        for name, text in document.parts.items():
            part = self._part(name)
            folded = fold(text)
            slots = []
            place = first = start << 4 | part
            chunks = self._analyser.chunks(folded.text)
            for at in range(0, len(chunks), SAMPLE):
                slots.append(place >> 4)
                for chunk in chunks[at : at + SAMPLE]:
                    if chunk.__class__ is str:
                        places[chunk].append(place)
                        place += 16
                    else:
                        for terms in chunk:
                            for term in terms:
                                places[term].append(place)
                            place += 16
            count = (place - first) >> 4
            length += self._weights[part] * count
            start += count + _GAP
            marks = [folded.original(m.start()) for m in _STRETCH.finditer(folded.text)]
            samples[name] = list(zip(slots, marks, strict=False))
        if start > _LAST_SLOT:
            return _clipped(places), samples, length
        return places, samples, length

    def _part(self, name: str) -> int:
        number = self._parts.get(name)
        if number is None:
            if len(self._parts) >= MOST_PARTS - 1:
                name = OTHER
            number = self._parts.setdefault(name, len(self._parts))
            if number == len(self._weights):
                self._weights.append(OTHER_WEIGHT)
        return number

    def _gather(self, number: int, places: dict[str, list[int]]) -> None:
        lists, weights, chars = self._lists, self._weights, self._chars
        for term, found in places.items():
            place = found[0]
            if len(found) == 1:
                value = chars.get(place)
                if value is None:
                    value = chars[place] = chr(place)
                lists[term] += (number, weights[place & 15], value)
            else:
                weight = weights[place & 15] * part_count(len(found))
                if found[-1] & 15 != place & 15:
                    counts = Counter([place & 15 for place in found])
                    weight = sum(weights[part] * part_count(n) for part, n in counts.items())
                lists[term] += (number, weight, "".join(map(chr, found)))

    def write(self, folder: Path) -> SegmentFiles:
        """Write the segment's files; they count for nothing until a manifest names them."""
        from fixbook.search.segment import write_segment

        lists = self._lists
        ordered = sorted(lists, key=lambda term: term.encode("utf-8", "surrogatepass"))
        name = write_segment(
            folder,
            ((term, *_apart(lists[term])) for term in ordered),
            keys=[key for key, _, _ in self._documents],
            lengths=[round(length) for length in self._lengths],
        )
        offsets = array("Q", [0])
        for record in self._records:
            offsets.append(offsets[-1] + len(record))
        columns = Columns(
            self._lengths,
            offsets,
            gather_facets(facets for _, _, facets in self._documents),
            tuple(self._parts),
            tuple(key for key, _, _ in self._documents),
            tuple(source for _, source, _ in self._documents),
        )
        (folder / f"{name}.docs").write_bytes(b"".join(self._records))
        (folder / f"{name}.columns").write_bytes(pack_columns(columns))
        (folder / f"{name}.words").write_text(self._words(), encoding="utf-8")
        return SegmentFiles(name, len(self), sum(self._lengths))

    def _words(self) -> str:
        """Every word as it is typed, with the number of documents that have its term."""
        counted = (
            (word, len(self._lists[term]) // 3)
            for word, term in self._analyser.words.items()
            if term in self._lists and len(word) > 1
        )
        return "\n".join(f"{word} {count}" for word, count in sorted(counted))


def _apart(entry: list[Any]) -> tuple[list[int], list[float], list[str]]:
    return entry[0::3], entry[1::3], entry[2::3]


def _clipped(places: Mapping[str, list[int]]) -> dict[str, list[int]]:
    return {
        term: [min(place >> 4, _LAST_SLOT) << 4 | place & 15 for place in found]
        for term, found in places.items()
    }


class Record(NamedTuple):
    """A document as it is kept, to be shown and to be indexed again."""

    document: Document
    samples: Samples
    """For each part: slot and place in the text of every sixteenth chunk."""


def pack_record(document: Document, samples: Samples) -> bytes:
    """Give the bytes of a document's record."""
    fields: Sequence[object] = (
        document.key,
        document.source,
        dict(document.parts),
        {name: list(values) for name, values in document.facets.items()},
        dict(document.shown),
        samples,
    )
    return zlib.compress(json.dumps(fields, ensure_ascii=False).encode("utf-8", "surrogatepass"), 1)


def unpack_record(data: bytes) -> Record:
    """Read a record back."""
    key, source, parts, facets, shown, samples = json.loads(
        zlib.decompress(data).decode("utf-8", "surrogatepass")
    )
    values = {name: tuple(value) for name, value in facets.items()}
    return Record(Document(key, source, parts, values, shown), samples)
