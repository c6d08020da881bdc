"""Say whether anything that was found really fits.

A search in plain words always finds something. What tells an answer from a chance likeness is how
much of what the words are worth the best hit reaches, and whether the question speaks of things
that the book does not treat at all. The limits are chosen by measurement: see the weights.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fixbook.search.matching import Way, find_way
from fixbook.search.parse import Word
from fixbook.search.rank import Result
from fixbook.search.snapshot import Segment, Snapshot
from fixbook.search.weights import (
    K1,
    LEAST_HEIGHT,
    LEAST_HEIGHT_ELSEWHERE,
    OTHER_WEIGHT,
    PART_WEIGHTS,
    TELLING_WEIGHT,
)


def is_weak(snapshot: Snapshot, result: Result, elsewhere: Iterable[Sequence[Word]]) -> bool:
    """Say whether nothing really fits.

    `elsewhere` has the stretches of the question that speak of what the book does not treat.
    """
    if not result.total:
        return True
    whole = sum(result.worth) * (K1 + 1)
    if not whole or not result.best:
        return False
    strange = any(len(words) > 1 or not _is_telling(snapshot, words[0]) for words in elsewhere)
    least = LEAST_HEIGHT_ELSEWHERE if strange else LEAST_HEIGHT
    return result.best[0].score / whole < least


def _is_telling(snapshot: Snapshot, word: Word) -> bool:
    """Say whether a word stands where a write-up says what it is about."""
    return any(_tells(segment, word) for segment in snapshot.segments)


def _tells(segment: Segment, word: Word) -> bool:
    heavy = {
        number
        for number, name in enumerate(segment.columns.parts)
        if PART_WEIGHTS.get(name, OTHER_WEIGHT) >= TELLING_WEIGHT
    }
    found = find_way(segment, Way((word.terms,)))
    return any(ord(place) & 15 in heavy for places in found.places for place in places)
