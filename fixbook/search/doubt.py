"""Say whether anything that was found really fits.

A search in plain words always finds something. What tells an answer from a chance likeness is how
much of what the words are worth the best hit reaches, and whether the question speaks of things
that the book does not treat at all. The limits are chosen by measurement: see the weights.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fixbook.search.expand import Unit
from fixbook.search.explain import gains
from fixbook.search.parse import STOP, Word
from fixbook.search.rank import Result, idf
from fixbook.search.snapshot import Segment, Snapshot
from fixbook.search.weights import (
    K1,
    LEAST_HEIGHT,
    LEAST_HEIGHT_ELSEWHERE,
    MENDED_CREDIT,
    SUBJECT_PARTS,
)


def is_weak(
    snapshot: Snapshot,
    result: Result,
    units: Sequence[Unit],
    elsewhere: Iterable[Sequence[Word]],
) -> bool:
    """Say whether nothing really fits.

    `units` are the words and phrases that were searched; `elsewhere` has the stretches of the
    question that speak of what the book does not treat.
    """
    if not result.total:
        return True
    if not units or not result.best:
        return False
    if all(unit.text in STOP for unit in units):
        return True
    strange = any(len(words) > 1 or not _is_treated(snapshot, words[0]) for words in elsewhere)
    least = LEAST_HEIGHT_ELSEWHERE if strange else LEAST_HEIGHT
    return _height(snapshot, result, units) < least


def _height(snapshot: Snapshot, result: Result, units: Sequence[Unit]) -> float:
    """Give the share of what the words are worth that the best hit reaches.

    A mended word may have been another, and counts for less. A value or part number that no
    write-up has says nothing: the fault may be the same with other figures.
    """
    unknown = idf(snapshot.count, 0)
    whole = reached = 0.0
    for unit, worth in zip(units, result.worth, strict=True):
        if worth == unknown and any(c.isdigit() for c in unit.text):
            continue
        whole += worth * (K1 + 1)
        for gain in gains(snapshot, result.best[0], [unit], [worth]):
            reached += gain.worth * gain.share * (MENDED_CREDIT if unit.is_mended else 1.0)
    return reached / whole if whole else 0.0


def _is_treated(snapshot: Snapshot, word: Word) -> bool:
    """Say whether a word stands where a write-up says what it is about, and of which unit."""
    return any(_treats(segment, word) for segment in snapshot.segments)


def _treats(segment: Segment, word: Word) -> bool:
    subject = {number for number, name in enumerate(segment.columns.parts) if name in SUBJECT_PARTS}
    packed = segment.packed
    return any(
        ord(place) & 15 in subject
        for spot in segment.spots(word.terms)
        for places in packed.places(spot, packed.ids(spot))
        for place in places
    )
