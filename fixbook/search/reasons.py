"""Say why a document was found: which words matched in which part, and the best place in it."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from fixbook.search.analysis import Analyser
from fixbook.search.expand import Unit
from fixbook.search.fold import fold
from fixbook.search.matching import part_weight, places_of
from fixbook.search.pool import SAMPLE, Record
from fixbook.search.snapshot import Segment

_WINDOW = 24
"""Slots that a snippet covers."""
_SNIPPET = 200
"""Most characters of a snippet."""
_PIECE = re.compile(r"\S+")
_BLANK = re.compile(r"\s")
_ANALYSER = Analyser()


class Match(NamedTuple):
    """One unit in one document."""

    unit: int
    text: str
    """The word, or `word -> synonym`."""
    part: str
    places: str
    """All its places in the document."""


def matches(segment: Segment, number: int, units: Sequence[Unit]) -> list[Match]:
    """Give what matched in a document, each unit once, with its heaviest part."""
    names = segment.columns.parts
    found = []
    for at, unit in enumerate(units):
        ways = [(way, places_of(segment, way, number)) for way in unit.ways]
        there = [(way, places) for way, places in ways if places]
        if there:
            way, places = there[0]
            numbers = {ord(c) & 15 for c in places}
            if len(numbers) > 1:
                numbers = {max(sorted(numbers), key=lambda n: part_weight(names, n))}
            text = f"{unit.text} -> {way.label}" if way.label else unit.text
            places = "".join([places for _, places in there])
            found.append(Match(at, text, names[numbers.pop()], places))
    return found


def snippet(record: Record, found: Sequence[Match], parts: Sequence[str]) -> str:
    """Give the text around the place where most of what matched stands together.

    Body text is preferred: titles and signs are shown with the hit anyway.
    """
    body = parts.index("body") if "body" in parts else -1
    places = [(ord(c), m.unit) for m in found for c in m.places if ord(c) & 15 == body]
    place = _densest(places or [(ord(c), m.unit) for m in found for c in m.places])
    if place < 0:
        return _shorten(record.document.parts.get("body", ""), 0)
    name = parts[place & 15]
    text = record.document.parts.get(name, "")
    return _shorten(text, _place_in_text(record, name, text, place >> 4))


def _densest(places: list[tuple[int, int]]) -> int:
    """Give the place from which most units stand within a window; -1 where there is none."""
    places.sort()
    every = len({unit for _, unit in places})
    near: dict[int, int] = {}
    best, most, end = -1, 0, 0
    for place, unit in places:
        while end < len(places) and places[end][0] <= place + _WINDOW * 16:
            other = places[end][1]
            near[other] = near.get(other, 0) + 1
            end += 1
        if len(near) > most:
            best, most = place, len(near)
            if most == every:
                break
        near[unit] -= 1
        if not near[unit]:
            del near[unit]
    return best


def _place_in_text(record: Record, name: str, text: str, slot: int) -> int:
    """Give the place of the chunk in the text that holds a slot."""
    marks = record.samples.get(name, [])
    at = bisect_right(marks, slot, key=lambda mark: mark[0]) - 1
    if at < 0:
        return 0
    here, start = marks[at]
    folded = fold(text[start : start + 24 * SAMPLE])
    chunks = _ANALYSER.chunks(" ".join(folded.text.split(None, SAMPLE)[:SAMPLE]))
    for piece, chunk in zip(_PIECE.finditer(folded.text), chunks, strict=False):
        here += 1 if isinstance(chunk, str) else len(chunk)
        if here > slot:
            return start + folded.original(piece.start())
    return start


def _shorten(text: str, place: int) -> str:
    start = max(0, place - _SNIPPET // 3)
    if start:
        blank = _BLANK.search(text, start, place)
        start = blank.end() if blank else place
    end = min(len(text), start + _SNIPPET)
    if end < len(text):
        blanks = list(_BLANK.finditer(text, place + 1, end + 1))
        end = blanks[-1].start() if blanks else end
    words = " ".join(text[start:end].split())
    return ("… " if start else "") + words + (" …" if end < len(text) else "")
