"""Rows of a database file read page by page, where its own trees cannot be followed any more.

The form of the file is published by the makers of SQLite ("Database File Format", sections 1.3 to
1.6 and 2.1). A page of rows begins with 13; each row holds the kinds of its values and the values.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator

Value = None | int | float | str | bytes
LEAF = 13
HEADER = 100
USUAL_PAGE = 4096
LARGEST_ROW = 16 << 20
BROKEN = (IndexError, ValueError, struct.error)
"""What a damaged page raises when it is read."""
_SIZES = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}


def leaf_rows(data: bytes) -> Iterator[tuple[Value, ...]]:
    """Give every row that can be read, of all tables, as they lie in the file."""
    size = _page_size(data)
    free = _free_pages(data, size)
    for page in range(len(data) // size):
        head = page * size + (0 if page else HEADER)
        if page in free or data[head] != LEAF:
            continue
        (count,) = struct.unpack_from(">H", data, head + 3)
        for cell in range(min(count, size // 4)):
            try:
                (at,) = struct.unpack_from(">H", data, head + 8 + 2 * cell)
                if at < size:
                    yield _values(_payload(data, page * size + at, size))
            except BROKEN:
                continue


def _page_size(data: bytes) -> int:
    size = int.from_bytes(data[16:18], "big")
    size = 65536 if size == 1 else size
    whole = data.startswith(b"SQLite format 3\0") and size >= 512 and not size & (size - 1)
    return size if whole else USUAL_PAGE


def _free_pages(data: bytes, size: int) -> set[int]:
    """Give the pages that hold only what was deleted, as far as the list of them can be read."""
    free: set[int] = set()
    try:
        (trunk,) = struct.unpack_from(">L", data, 32)
        while trunk and trunk - 1 not in free:
            free.add(trunk - 1)
            trunk_at = (trunk - 1) * size
            trunk, count = struct.unpack_from(">2L", data, trunk_at)
            pages = struct.unpack_from(f">{min(count, size // 4 - 2)}L", data, trunk_at + 8)
            free.update(page - 1 for page in pages)
    except BROKEN:
        return set()
    return free if len(free) < len(data) // size else set()


def _payload(data: bytes, at: int, size: int) -> bytes:
    """Read the bytes of a row, with what of them lies on further pages."""
    length, at = _varint(data, at)
    _, at = _varint(data, at)
    most, least = size - 35, (size - 12) * 32 // 255 - 23
    if length > LARGEST_ROW:
        raise ValueError("no row is so long")
    if length <= most:
        return data[at : at + length]
    here = least + (length - least) % (size - 4)
    here = here if here <= most else least
    read = data[at : at + here]
    (page,) = struct.unpack_from(">L", data, at + here)
    while page and len(read) < length:
        begin = (page - 1) * size
        (page,) = struct.unpack_from(">L", data, begin)
        read += data[begin + 4 : begin + min(size, 4 + length - len(read))]
    if len(read) != length:
        raise ValueError("the end of a row is missing")
    return read


def _values(row: bytes) -> tuple[Value, ...]:
    whole, at = _varint(row, 0)
    end = whole
    found: list[Value] = []
    while at < whole:
        kind, at = _varint(row, at)
        value, end = _value(row, kind, end)
        found.append(value)
    if end != len(row):
        raise ValueError("not the length that its values have")
    return tuple(found)


def _value(row: bytes, kind: int, at: int) -> tuple[Value, int]:
    if kind == 0:
        return None, at
    if kind in (8, 9):
        return kind - 8, at
    if kind == 7:
        return struct.unpack_from(">d", row, at)[0], at + 8
    if kind >= 12:
        end = at + (kind - 12) // 2
        raw = row[at:end]
        return (raw.decode("utf-8") if kind % 2 else raw), end
    size = _SIZES[kind] if kind in _SIZES else _no_kind(kind)
    return int.from_bytes(row[at : at + size], "big", signed=True), at + size


def _no_kind(kind: int) -> int:
    raise ValueError(f"no value is of kind {kind}")


def _varint(data: bytes, at: int) -> tuple[int, int]:
    """Read a number of one to nine bytes; it, and where the next one begins."""
    number = 0
    for step in range(8):
        byte = data[at + step]
        number = number << 7 | byte & 0x7F
        if byte < 0x80:
            return number, at + step + 1
    return number << 8 | data[at + 8], at + 9
