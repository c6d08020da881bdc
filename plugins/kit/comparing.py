"""Parts that no calculator judges: compared word by word, ratings not lower, the rest the same."""

from __future__ import annotations

import re
from functools import lru_cache

from fixbook.api import (
    AMPS,
    FARADS,
    HENRIES,
    HERTZ,
    OHMS,
    PERCENT,
    VOLTS,
    WATTS,
    Bench,
    FixbookError,
    Kind,
    Part,
    read,
)

from .judged import SAME, STAND_IN, Judged, Reason
from .lines import Line
from .stock import Item

_RATED: dict[str, tuple[Kind, ...]] = {
    "resistor": (WATTS, PERCENT),
    "diode": (VOLTS, AMPS, WATTS),
    "rectifier": (VOLTS, AMPS, WATTS),
    "transistor": (VOLTS, AMPS, WATTS),
}
"""What may be better in a part of which kind; common practice, no source."""
NEAR = 1e-6
"""How far two values may be apart and still be written for the same."""


class Words:
    """Texts as the words that the search knows, so that 33u and 33 µF are one; each read once."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._known: dict[str, frozenset[str]] = {}

    def __call__(self, text: str) -> frozenset[str]:
        """Give a text's words."""
        if text not in self._known:
            self._known[text] = frozenset(forms[0] for forms in self._bench.terms(text))
        return self._known[text]

    def are_covered(self, wanted: str, said: str) -> bool:
        """Say whether a text has words, and another has all of them."""
        words = self(wanted)
        return bool(words) and words <= self(said)


def compare(words: Words, line: Line, item: Item) -> Judged | None:
    """Hold an item against each statement about a part; None where it does not meet them."""
    part = line.part
    said = f"{item.name} {item.note}"
    kind = re.split(r"[,(]", part.is_)[0] if part.value else part.is_
    if not words.are_covered(kind, said):
        return None
    rated = next((kinds for name, kinds in _RATED.items() if name in part.is_.lower()), ())
    reasons = []
    for piece in re.split(r"[,;]", f"{part.value};{part.volts}"):
        if piece.strip():
            reason = _statement(words, piece.strip(), item.part, said, rated)
            if reason is None:
                return None
            reasons.append(reason)
    if not reasons:
        reasons = [Reason("the same", "pass", part.is_)]
    same = all(one.rule == "the same" for one in reasons)
    return Judged(item, SAME if same else STAND_IN, "pass", tuple(reasons))


def find_named(words: Words, line: Line, item: Item) -> Judged | None:
    """Find an item among the stand-ins that the write-up names."""
    for stand_in in line.part.instead:
        if words.are_covered(stand_in, f"{item.name} {item.note}"):
            reason = Reason("named in the write-up", "pass", f"{stand_in} is known to work")
            return Judged(item, STAND_IN, "pass", (reason,))
    return None


def are_identical(words: Words, wanted: Part, offered: Part) -> bool:
    """Say whether value and rated voltage are the same, however they are written."""
    return words.are_covered(
        f"{wanted.value} {wanted.volts}", f"{offered.is_} {offered.value} {offered.volts}"
    )


def _statement(
    words: Words, piece: str, offered: Part, said: str, rated: tuple[Kind, ...]
) -> Reason | None:
    if words.are_covered(piece, said):
        return Reason("the same", "pass", piece)
    for kind in (OHMS, HENRIES, HERTZ, FARADS):
        same, has = _read(piece, kind), _first(offered, kind)
        if same is not None and has is not None and abs(has[1] - same) <= NEAR * same:
            return Reason("the same", "pass", f"{has[0]} for {piece}")
    for kind in rated:
        wanted, got = _read(piece, kind), _first(offered, kind)
        if wanted is None or got is None:
            continue
        text, value = got
        if kind is PERCENT and value <= wanted:
            return Reason("tolerance", "pass", f"{text} for {piece}, not wider")
        if kind is not PERCENT and value >= wanted:
            return Reason("rating", "pass", f"{text} for {piece}, not lower")
    return None


def _first(offered: Part, kind: Kind) -> tuple[str, float] | None:
    for text in re.split(r"[,;]", f"{offered.value};{offered.volts}"):
        value = _read(text, kind)
        if value is not None:
            return text.strip(), value
    return None


@lru_cache(maxsize=20_000)
def _read(text: str, kind: Kind) -> float | None:
    """Give a quantity with its unit; None for anything else, a bare number too."""
    if not re.search(r"[A-Za-z%]", text):
        return None
    try:
        return read(text.strip(), kind).value
    except FixbookError:
        return None
