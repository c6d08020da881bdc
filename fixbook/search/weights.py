"""Every number that ranking depends on, in one place."""

from __future__ import annotations

K1 = 3.0
"""How soon another part that has a word stops counting."""
B = 0.3
"""How much a document's length counts against it: 0 not at all, 1 fully."""
WITHIN = 2.0
"""How soon another occurrence of a word within a part stops counting."""

PART_WEIGHTS = {
    "title": 12.0,
    "signs": 1.5,
    "lay": 2.5,
    "id": 1.5,
    "aliases": 2.0,
    "models": 2.0,
    "unit": 2.0,
    "section": 2.0,
    "parts": 1.25,
    "targets": 0.75,
    "tools": 0.3,
    "body": 1.0,
}
OTHER_WEIGHT = 1.0
"""For parts that a plugin adds."""


def part_count(count: int) -> float:
    """Give what so many occurrences within one part count for: 1 for one, 1 + WITHIN at most."""
    return (WITHIN + 1) * count / (count + WITHIN)


MOST_PARTS = 16
"""Part names told apart in one segment; places store the part in four bits."""

LEAST_HEIGHT = 0.11
"""A best hit with a smaller share of the greatest score that the words allow fits nothing; of some
1,500 good questions to the starter book that may be looked at one in three hundred is lower."""
LEAST_HEIGHT_ELSEWHERE = 0.85
"""The same for a question that speaks of what the book does not treat."""
SUBJECT_PARTS = ("title", "id", "aliases", "unit", "section", "models")
"""Where a write-up says what it is about: a word that stands here is treated by the book."""
MENDED_CREDIT = 0.5
"""What a mended word counts for in that share: it may have been another."""
