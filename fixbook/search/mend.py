"""Mend a word that nothing has, from the book's own words.

The nearest word by edits is taken, a swap of neighbours being one edit and a key beside the right
one less than one; between equals the more frequent word. The first letter is nearly always right,
so another one costs extra. Words with digits are left alone: one wrong digit is another part.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from fixbook.search.snapshot import Snapshot

_SHORTEST = 4
_ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
_SOUND_ALIKE = ("aeiouy", "cks", "sz", "gj", "td", "mn", "vw", "fv")
_SMALL = 0.7
"""A key beside the right one, a letter of like sound, two letters swapped."""
_OTHER_FIRST = 0.7
"""What a wrong first letter costs beside the edit itself."""
_DOUBLED = 0.6
"""A letter doubled, or a double letter written once."""
_FREQUENT = 0.06
"""What a tenfold frequency is worth, in edits."""


def _most(length: int) -> float:
    """Give how many edits a word of a length may be away; a short one is soon another word."""
    return 0.75 if length < 5 else 1.0 if length < 6 else 1.4 if length < 8 else 1.75


def _near_pairs() -> frozenset[str]:
    pairs = {a + b for letters in _SOUND_ALIKE for a in letters for b in letters}
    for y, row in enumerate(_ROWS):
        for x, key in enumerate(row):
            for other in _around(x, y):
                pairs |= {key + other, other + key}
    return frozenset(pairs)


def _around(x: int, y: int) -> Iterator[str]:
    for row, columns in ((y, (x - 1, x + 1)), (y + 1, (x - 1, x))):
        for column in columns:
            if row < len(_ROWS) and 0 <= column < len(_ROWS[row]):
                yield _ROWS[row][column]


_NEAR = _near_pairs()


def mend(word: str, snapshot: Snapshot) -> str | None:
    """Give the book's word that was most likely meant; None where none is near enough."""
    if len(word) < _SHORTEST:
        return None
    most = _most(len(word))
    letters = _letters(word)
    best, best_cost = None, math.inf
    for segment in snapshot.segments:
        for other, count in segment.words.items():
            if abs(len(other) - len(word)) > 2 or not _begins_alike(word, other):
                continue
            if not other.isalpha() or (letters ^ _letters(other)).bit_count() > 2 * most / _SMALL:
                continue
            cost = _distance(word, other, most)
            if cost > most:
                continue
            cost -= _FREQUENT * math.log10(count)
            if cost < best_cost or (cost == best_cost and other < (best or "")):
                best, best_cost = other, cost
    return best


def _begins_alike(word: str, other: str) -> bool:
    """Say whether the first letters are the same, swapped, or one of them is too much or wrong."""
    return (
        other[0] == word[0] or other[1:2] == word[0] or other[0] == word[1] or other[1:] == word[1:]
    )


def _letters(word: str) -> int:
    bits = 0
    for c in word:
        bits |= 1 << (ord(c) & 31)
    return bits


def _distance(word: str, other: str, most: float) -> float:
    before: list[float] = []
    row = [float(n) for n in range(len(other) + 1)]
    for i, a in enumerate(word, 1):
        previous, row = row, [float(i)]
        for j, b in enumerate(other, 1):
            if a == b:
                cost = previous[j - 1]
            else:
                change = _SMALL if a + b in _NEAR else 1.0
                drop = _DOUBLED if i > 1 and word[i - 2] == a else 1.0
                insert = _DOUBLED if j > 1 and other[j - 2] == b else 1.0
                cost = min(
                    previous[j - 1] + change + (_OTHER_FIRST if i == j == 1 else 0.0),
                    previous[j] + drop + (_OTHER_FIRST if i == 1 else 0.0),
                    row[-1] + insert + (_OTHER_FIRST if j == 1 else 0.0),
                )
                if i > 1 and j > 1 and a == other[j - 2] and word[i - 2] == b:
                    cost = min(cost, before[j - 2] + _SMALL)
            row.append(cost)
        if min(row) > most:
            return math.inf
        before = previous
    return row[-1]
