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
