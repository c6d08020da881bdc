"""Take a score apart: what each word of the question added, and from which parts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fixbook.core.query import Gain
from fixbook.search.expand import Unit
from fixbook.search.matching import Way, part_weight, weight_in
from fixbook.search.rank import Ranked
from fixbook.search.snapshot import Segment, Snapshot
from fixbook.search.weights import K1, B


def gains(
    snapshot: Snapshot, ranked: Ranked, units: Sequence[Unit], worth: Sequence[float]
) -> tuple[Gain, ...]:
    """Give what each unit added to a document's score, the most first; they add up to it."""
    segment = snapshot.segments[ranked.segment]
    length = segment.columns.lengths[ranked.number]
    norm = K1 * (1 - B) + K1 * B * length / (snapshot.average_length or 1.0)
    found = []
    for unit, value in zip(units, worth, strict=True):
        there = list(_ways(segment, unit, ranked.number))
        if there:
            weight = sum(weight for _, weight, _ in there)
            text = _text(unit, [way for way, _, _ in there])
            parts = _parts(segment, "".join(places for _, _, places in there))
            found.append(Gain(text, parts, value * (K1 + 1), weight / (weight + norm)))
    return tuple(sorted(found, key=lambda gain: -gain.worth * gain.share))


def _ways(segment: Segment, unit: Unit, number: int) -> Iterator[tuple[Way, float, str]]:
    for way in unit.ways:
        weight, places = weight_in(segment, way, number)
        if places:
            yield way, weight, places


def _text(unit: Unit, ways: Sequence[Way]) -> str:
    labels = [way.label for way in ways if way.label]
    return f"{unit.text} -> {', '.join(labels)}" if labels else unit.text


def _parts(segment: Segment, places: str) -> tuple[str, ...]:
    names = segment.columns.parts
    numbers = sorted({ord(c) & 15 for c in places}, key=lambda n: -part_weight(names, n))
    return tuple(names[number] for number in numbers)
