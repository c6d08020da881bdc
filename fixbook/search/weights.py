"""Every number that ranking depends on, in one place."""

from __future__ import annotations

K1 = 1.0
"""How soon another occurrence of a word stops counting."""
B = 0.5
"""How much a document's length counts against it: 0 not at all, 1 fully."""

PART_WEIGHTS = {
    "title": 4.0,
    "signs": 3.0,
    "lay": 3.0,
    "id": 2.0,
    "aliases": 2.0,
    "models": 2.0,
    "unit": 2.0,
    "section": 2.0,
    "parts": 1.5,
    "targets": 1.0,
    "tools": 0.5,
    "body": 1.0,
}
OTHER_WEIGHT = 1.0
"""For parts that a plugin adds."""

MOST_PARTS = 16
"""Part names told apart in one segment; places store the part in four bits."""

WEAK_SHARE = 0.52
"""A best hit with a smaller share of what the words are worth fits nothing. Of seventy made-up
questions to the starter book the forty good ones reach 0.59 and more, nine in ten others less."""
TELLING_WEIGHT = 2.0
"""From this weight on a part says what a write-up is about."""
BODY_CREDIT = 0.6
"""What a word counts for in that share where it stands in no telling part."""
MENDED_CREDIT = 0.5
"""What a mended word counts for: it may have been another."""
