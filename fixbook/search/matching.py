"""Which documents a word or phrase is in, in one segment, in plain Python."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from fixbook.search.snapshot import NOTHING, Postings, Segment
from fixbook.search.weights import OTHER_WEIGHT, PART_WEIGHTS, part_count

_STEP = 16
"""From one slot to the next within a part; the part is in the lowest four bits of a place."""


class Way(NamedTuple):
    """One way in which a document can have what is asked: slots in a row, terms for each."""

    slots: tuple[tuple[str, ...], ...]
    label: str = ""
    """The synonym's words, where it is one."""


def find_way(segment: Segment, way: Way) -> Postings:
    """Give the documents that have it, with weights and places."""
    postings = segment.remembered.get(way.slots)
    if postings is None:
        one = len(way.slots) == 1
        postings = _any_of(segment, way.slots[0]) if one else _in_a_row(segment, way.slots)
        segment.remember(way.slots, postings)
    return postings


def is_there(segment: Segment, way: Way) -> bool:
    """Say whether any document has it."""
    if not all(segment.spots(slot) for slot in way.slots):
        return False
    return len(way.slots) == 1 or bool(find_way(segment, way).ids)


def places_of(segment: Segment, way: Way, number: int) -> str:
    """Give the places of a way in one document, looking at no other; empty where it has none."""
    if len(way.slots) == 1:
        return segment.packed.places_at(segment.spots(way.slots[0]), number)
    texts = [segment.packed.places_at(segment.spots(slot), number) for slot in way.slots]
    return "".join(map(chr, _starts(texts)))


def weight_in(segment: Segment, way: Way, number: int) -> tuple[float, str]:
    """Give the weight and places of a way in one document, looking at no other; 0.0 without any."""
    if len(way.slots) > 1:
        places = places_of(segment, way, number)
        return _weight(segment, places), places
    spots = segment.spots(way.slots[0])
    texts = [segment.packed.places_at([spot], number) for spot in spots]
    return sum(_weight(segment, text) for text in texts), "".join(texts)


def _weight(segment: Segment, places: str) -> float:
    counts = Counter([ord(place) & 15 for place in places])
    names = segment.columns.parts
    return sum(part_weight(names, part) * part_count(n) for part, n in counts.items())


def _any_of(segment: Segment, terms: Sequence[str]) -> Postings:
    there = [term for term in terms if segment.place(term)]
    if len(there) == 1:
        return segment.postings(there[0])
    return union([segment.postings(term) for term in there])


def union(lists: Sequence[Postings]) -> Postings:
    """Give the documents of any of the lists; a document's weights add up."""
    if not lists:
        return NOTHING
    weights: dict[int, float] = {}
    places: dict[int, str] = {}
    for postings in lists:
        for number, weight, place in zip(
            postings.ids, postings.weights, postings.places, strict=True
        ):
            weights[number] = weights.get(number, 0.0) + weight
            places[number] = places.get(number, "") + place
    ids = sorted(weights)
    return Postings(ids, [weights[n] for n in ids], [places[n] for n in ids])


def _in_a_row(segment: Segment, slots: Sequence[tuple[str, ...]]) -> Postings:
    """Give the documents that have the slots one after the other, reading those that have all."""
    packed = segment.packed
    spots = [segment.spots(slot) for slot in slots]
    having = [set[int]().union(*map(packed.ids, some)) for some in spots]
    shared = sorted(set.intersection(*having))
    if not shared:
        return NOTHING
    rows = [_joined([packed.places(one, shared) for one in some]) for some in spots]
    found_ids, found_weights, found_places = [], [], []
    for number, *texts in zip(shared, *rows, strict=True):
        starts = _starts(texts)
        if starts:
            found_ids.append(number)
            found_places.append("".join(map(chr, starts)))
            found_weights.append(_weight(segment, found_places[-1]))
    return Postings(found_ids, found_weights, found_places)


def _joined(rows: Sequence[Sequence[str]]) -> list[str]:
    return ["".join(texts) for texts in zip(*rows, strict=True)]


def _starts(texts: Sequence[str]) -> list[int]:
    """Give the places of the first slot that those of the others follow, in order."""
    starts = set(map(ord, texts[0]))
    for step, text in enumerate(texts[1:], 1):
        if not starts:
            break
        back = step * _STEP
        starts &= {ord(c) - back for c in text}
    return sorted(starts)


def part_weight(names: Sequence[str], number: int) -> float:
    """Give the weight of a part by its number in a segment."""
    return PART_WEIGHTS.get(names[number], OTHER_WEIGHT) if number < len(names) else OTHER_WEIGHT
