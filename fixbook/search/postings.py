"""Whoosh's private structures, all that fixbook knows of them.

Whoosh's codec lays out an index; only the posting lists are written here, whole ones at a time.
Reading takes the same files apart without importing Whoosh, which costs a cold search three times
what the whole answer does. `tests/search/test_postings.py` compares both with Whoosh's
own reader and fails when a new release writes something else.

Terms (`.trm`): records `!ii` key length, value length, key, value; then 256 hash tables of `!Iq`
(hash, place), found through a directory of `!qi` before a pickled dict at the end. The key is a
field number as `!H` and the term; the value is `!BfIBBfII` (no postings within, weight, documents, least
and greatest length, greatest weight, first and last document), then the postings' place, `!qi`.
Postings (`.pst`): `W3Bl`, then blocks: `!i` length (negative in the last), a pickled tuple with
the count first and the compression fourth, a pickled tuple of id steps, weights and values. The
values are text where Whoosh has bytes: a pickle of bytes in its protocol is a call for each.
"""

# mypy: disallow-untyped-calls=False
from __future__ import annotations

import io
import struct
import zlib
from _pickle import Unpickler, dumps
from collections.abc import Iterable, Sequence
from operator import sub
from typing import Any, NamedTuple

from fixbook.search.packed import PackWriter, Spot
from fixbook.search.pages import CheckedFile, IndexDamagedError

try:  # hashlib loads OpenSSL, which takes as long as the whole look-up
    from _md5 import md5  # type: ignore[import-not-found]
except ImportError:
    from hashlib import md5

FIELD = "text"
BLOCK = 512
"""Postings in a block; more makes long lists cheaper to read and one place dearer."""

_LENGTHS = struct.Struct("!ii")
_POINTER = struct.Struct("!Iq")
_DIRECTORY = struct.Struct("!qi")
_EXTENT = struct.Struct("!qi")
_COUNT = struct.Struct("!I")
_INFO = struct.Struct("!BfIBBfII")
_PACKED = struct.Struct("!qB")
"""Ours: where the same postings are in the packed file. Whoosh reads no further than the extent."""
_WORTH_COMPRESSING = 80
_MAGIC = b"W3Bl"


class _PlainUnpickler(Unpickler):
    """Reads tuples, numbers, text and bytes; a pickle that wants anything else is damage."""

    def find_class(self, module_name: str, global_name: str, /) -> Any:
        raise IndexDamagedError(f"a pickle that asks for {module_name}.{global_name}")


class Place(NamedTuple):
    """Where a term's postings are."""

    having: int
    """How many documents have the term, deleted ones included."""
    start: int
    length: int
    packed: Spot
    """Where they are packed."""


class Block(NamedTuple):
    """Some postings of a term, in the order of documents."""

    ids: Sequence[int]
    weights: Sequence[float]
    values: Sequence[str]
    """For each the places, one character a place."""


class Terms:
    """The terms of one segment."""

    def __init__(self, file: CheckedFile) -> None:
        self._file = file
        try:
            extras, at = self._read_extras()
            self._number = struct.pack("!H", extras["fieldmap"][FIELD])
        except (struct.error, KeyError, TypeError, EOFError, ValueError) as problem:
            raise IndexDamagedError(f"{file.name}: {problem}") from problem
        directory = file.get(at - 256 * _DIRECTORY.size, 256 * _DIRECTORY.size)
        self._tables = list(_DIRECTORY.iter_unpack(directory))

    def _read_extras(self) -> tuple[dict[str, Any], int]:
        file = self._file
        end = file.size - 4
        length = struct.unpack("!i", file.get(end, 4))[0]
        extras = load_plain(file.get(end - length, min(length, 4096)))
        if not isinstance(extras, dict):
            raise IndexDamagedError(f"{file.name} has no directory")
        return extras, end - length

    def find(self, term: str) -> Place | None:
        """Say where a term's postings are; None where no document has it."""
        key = self._number + term.encode("utf-8", "surrogatepass")
        digest = int.from_bytes(md5(key, usedforsecurity=False).digest()[-4:], "big")
        start, slots = self._tables[digest & 255]
        file = self._file
        for step in range(slots):
            slot = (digest >> 8) + step
            found, at = _POINTER.unpack(file.get(start + slot % slots * 12, 12))
            if not at:
                return None
            if found == digest:
                key_length, value_length = _LENGTHS.unpack(file.get(at, 8))
                if key_length == len(key) and file.get(at + 8, key_length) == key:
                    return self._place(file.get(at + 8 + key_length, value_length))
        return None

    def _place(self, value: bytes) -> Place:
        if value[0] or len(value) != _INFO.size + _EXTENT.size + _PACKED.size:
            raise IndexDamagedError(f"{self._file.name}: postings kept elsewhere")
        start, length = _EXTENT.unpack_from(value, _INFO.size)
        having = _COUNT.unpack_from(value, 5)[0]
        begin, kind = _PACKED.unpack_from(value, _INFO.size + _EXTENT.size)
        return Place(having, start, length, Spot(begin, having, kind))


def read_blocks(file: CheckedFile, place: Place) -> list[Block]:
    """Give all postings of a term; ids are steps from the one before within a block."""
    data = file.get(place.start, place.length)
    if data[:4] != _MAGIC:
        raise IndexDamagedError(f"{file.name}: no postings at {place.start}")
    at, blocks = 4, []
    while at < len(data):
        size = abs(struct.unpack_from("!i", data, at)[0])
        stream = io.BytesIO(data[at + 4 : at + 4 + size])
        info = _PlainUnpickler(stream).load()
        rest = stream.read()
        steps, weights, values = load_plain(zlib.decompress(rest) if info[3] else rest)
        if weights is None or isinstance(weights, float):
            weights = (1.0 if weights is None else weights,) * info[0]
        blocks.append(Block(steps, weights, values))
        at += 4 + size
    return blocks


def load_plain(data: bytes) -> Any:
    """Unpickle plain values; anything else raises IndexDamagedError."""
    return _PlainUnpickler(io.BytesIO(data)).load()


def write_terms(
    writer: Any,
    field: Any,
    lists: Iterable[tuple[str, list[int], list[float], list[str]]],
    lengths: Sequence[int],
    pack: PackWriter,
) -> None:
    """Give a field writer of Whoosh's codec whole posting lists, terms in order of their bytes.

    The codec takes one posting at a time, at ten times the cost; so its blocks are made here.
    """
    from whoosh.util.numeric import length_to_byte

    writer.start_field(FIELD, field)
    number = struct.pack("!H", writer._fieldid)
    near = [length_to_byte(length) for length in lengths]
    add, post = writer._tindex.add, writer._postfile
    start = post.tell()
    for term, ids, weights, values in lists:
        written = [_MAGIC]
        for at in range(0, len(ids), BLOCK):
            to = at + BLOCK
            written += _pack_block(
                ids[at:to], weights[at:to], values[at:to], near, last=to >= len(ids)
            )
        data = b"".join(written)
        post.write(data)
        around = [near[i] for i in ids]
        info = _INFO.pack(
            0, sum(weights), len(ids), min(around), max(around), max(weights), ids[0], ids[-1]
        )
        key = number + term.encode("utf-8", "surrogatepass")
        packed = _PACKED.pack(*pack.add(ids, weights, values))
        add(key, info + _EXTENT.pack(start, len(data)) + packed)
        start += len(data)
    writer.finish_field()


def _pack_block(
    ids: list[int], weights: list[float], values: list[str], near: list[int], *, last: bool
) -> tuple[bytes, bytes, bytes]:
    steps = (ids[0], *map(sub, ids[1:], ids))
    same = weights.count(weights[0]) == len(weights)
    kept = (None if weights[0] == 1.0 else weights[0]) if same else tuple(weights)
    data = dumps((steps, kept, tuple(values)), 2)
    compression = 1 if len(data) >= _WORTH_COMPRESSING else 0
    if compression:
        data = zlib.compress(data, compression)
    around = [near[i] for i in ids]
    info = dumps((len(ids), ids[-1], max(weights), compression, min(around), max(around)), 2)
    size = len(info) + len(data)
    return struct.pack("!i", -size if last else size), info, data
