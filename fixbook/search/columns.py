"""What a segment keeps beside Whoosh's files, in arrays: lengths, facets, places of documents.

One file: a JSON head, then arrays of the machine's own byte order (the index is a cache of one
machine). Facets are kept as a list of documents for each value, so that filtering and counting
read only what they need.
"""

from __future__ import annotations

import json
import struct
from array import array
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from fixbook.search.pages import IndexDamagedError

_HEAD = struct.Struct("=I")


class Values(NamedTuple):
    """The values of one facet in one segment, and who has them."""

    names: tuple[str, ...]
    starts: tuple[int, ...]
    """Where each value's documents start in `docs`; one more for the end."""
    docs: array[int]
    """All values' documents, value after value."""

    def docs_of(self, number: int) -> array[int]:
        """Give the documents that have a value, by the value's number."""
        return self.docs[self.starts[number] : self.starts[number + 1]]


class Columns(NamedTuple):
    """A segment's arrays."""

    lengths: array[float]
    """Weighted length of each document."""
    offsets: array[int]
    """Where each document's record starts; one more for the end."""
    facets: Mapping[str, Values]
    parts: tuple[str, ...]
    """Part names by the number that places hold."""
    keys: tuple[str, ...]
    """Key of each document."""
    sources: tuple[str, ...]
    """Source of each document."""

    @property
    def documents(self) -> int:
        """Give the number of documents, deleted ones included."""
        return len(self.lengths)


def pack_columns(columns: Columns) -> bytes:
    """Give the bytes of the file."""
    facets = {
        name: [values.names, [b - a for a, b in pairwise(values.starts)]]
        for name, values in columns.facets.items()
    }
    head = json.dumps(
        {
            "count": columns.documents,
            "facets": facets,
            "parts": columns.parts,
            "keys": columns.keys,
            "sources": columns.sources,
        }
    ).encode()
    arrays: list[array[Any]] = [
        columns.lengths,
        columns.offsets,
        *(v.docs for v in columns.facets.values()),
    ]
    return b"".join([_HEAD.pack(len(head)), head, *(a.tobytes() for a in arrays)])


def unpack_columns(data: bytes, name: str) -> Columns:
    """Read the file back; raise IndexDamagedError where it does not hold together."""
    try:
        return _unpack(data)
    except (ValueError, KeyError, TypeError, struct.error) as problem:
        raise IndexDamagedError(f"{name}: {problem}") from problem


def _unpack(data: bytes) -> Columns:
    size = _HEAD.unpack_from(data)[0]
    at = _HEAD.size + size
    head = json.loads(data[_HEAD.size : at])
    view = memoryview(data)

    def take(kind: str, count: int) -> array[int]:
        nonlocal at
        values = array(kind)
        end = at + count * values.itemsize
        values.frombytes(view[at:end])
        if len(values) != count:
            raise ValueError("an array is cut short")
        at = end
        return values

    count = head["count"]
    lengths: array[float] = take("f", count)  # type: ignore[assignment]
    offsets = take("Q", count + 1)
    facets = {}
    for facet, (names, counts) in head["facets"].items():
        starts = [0]
        for number in counts:
            starts.append(starts[-1] + number)
        facets[facet] = Values(tuple(names), tuple(starts), take("I", starts[-1]))
    return Columns(
        lengths, offsets, facets, tuple(head["parts"]), tuple(head["keys"]), tuple(head["sources"])
    )


def gather_facets(rows: Iterable[Mapping[str, Sequence[str]]]) -> dict[str, Values]:
    """Turn each document's facets into the documents of each value."""
    found: dict[str, dict[str, array[int]]] = {}
    for number, facets in enumerate(rows):
        for name, values in facets.items():
            column = found.setdefault(name, {})
            for value in dict.fromkeys(values):
                if value:
                    column.setdefault(value, array("I")).append(number)
    return {name: _pack_values(column) for name, column in sorted(found.items()) if column}


def _pack_values(column: Mapping[str, array[int]]) -> Values:
    names = sorted(column)
    starts, docs = [0], array("I")
    for value in names:
        docs.extend(column[value])
        starts.append(len(docs))
    return Values(tuple(names), tuple(starts), docs)
