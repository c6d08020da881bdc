"""Hazards that a write-up implies by its text or its parts and does not declare.

Words tell what is inside the unit or what is touched; a sentence that says that something is not
there ("no mains inside") implies nothing. All of it is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass

from fixbook.core.entry import Entry, Part
from fixbook.core.page import Page
from fixbook.core.problems import Problem
from fixbook.core.quantity import FARADS, VOLTS, Kind
from fixbook.core.reading import read
from fixbook.errors import QuantityError

RULE = "hazard-implied"
LARGE_JOULES = 1.0
"""A capacitor that holds more than this at its rated voltage is large."""
SHOCKING_VOLTS, SHOCKING_FARADS = 100.0, 1e-6
"""So is one of at least this voltage and capacitance."""
_WORDS: dict[str, str] = {
    "mains": r"mains (?:voltage|lead|cord|cable|plug|switch|side|input|inlet|fuse|transformer|"
    r"filter|wiring|terminals?)|on full mains|line voltage|the mains\b|mains-powered",
    "stored-charge": r"(?:reservoir|bulk|filter|smoothing|flash) capacitors?|"
    r"discharge (?:(?:the|each|every)(?: \w+)? )capacitors?",
    "high-voltage": r"flyback|line[- ]output transformer|final anode|anode cap|\bEHT\b|"
    r"extra[- ]high tension|kilovolts?|picture tube's? (?:anode|coating)",
    "laser": r"laser",
    "lithium": r"lithium|li-ion|li-po\b",
}
_IMPLIES = {
    hazard: re.compile(rf"(?<![\w-])(?:{words})", re.IGNORECASE) for hazard, words in _WORDS.items()
}
_NOT_THERE = re.compile(
    r"\b(?:no|not|never|without|isn't|instead of|rather than|unlike)\b[^.;:|]{0,40}$", re.IGNORECASE
)
_LEFT_ALONE = re.compile(
    r"leave (?:it|that|them) to|hand (?:it )?over|is not the page|not for this page|out of reach",
    re.IGNORECASE,
)
"""A sentence with this says when not to work, so it implies no work."""
_STOP = re.compile(r"#{1,6}\s+(?:stop|when to stop)\b", re.IGNORECASE)
_QUANTITY = re.compile(r"\d+(?:[.,]\d+)? ?(?:[pnum]?F|k?V)\b")


@dataclass(frozen=True, slots=True)
class Implied:
    """A hazard, and what it is implied by."""

    hazard: str
    by: str
    """What was read."""
    line: int
    """The line of the body, from 1; 0 where it is a field."""
    column: int
    path: tuple[str | int, ...] = ()
    """The field, where it is one."""


def implied_hazards(entry: Entry) -> dict[str, Implied]:
    """Give each hazard that an entry implies, with the first thing that implies it."""
    found: dict[str, Implied] = {}
    for one in (*_by_parts(entry), *_by_fields(entry), *_by_body(entry.body)):
        found.setdefault(one.hazard, one)
    return found


def undeclared_hazards(page: Page, known: Collection[str]) -> Iterator[Problem]:
    """Report hazards that are implied and not declared, of those that the vocabulary knows."""
    for hazard, implied in implied_hazards(page.entry).items():
        if hazard in page.entry.hazards or hazard not in known:
            continue
        what = f"{implied.by!r} implies the hazard {hazard}, which is not declared"
        do = f"add {hazard} to hazards, or say it another way"
        if implied.line:
            yield page.body_fault(RULE, what, do, implied.line, implied.column)
        else:
            yield page.fault(RULE, what, do, *implied.path)


def _by_parts(entry: Entry) -> Iterator[Implied]:
    for number, part in enumerate(entry.parts):
        if is_large_capacitor(part):
            said = " ".join(one for one in (part.value, part.volts) if one)
            yield Implied("stored-charge", f"{part.is_}, {said}", 0, 1, ("parts", number))


def _by_fields(entry: Entry) -> Iterator[Implied]:
    texts: list[tuple[tuple[str | int, ...], str]] = [(("title",), entry.title)]
    texts += [
        (("targets", n, "at"), f"{one.name}; {one.at}") for n, one in enumerate(entry.targets)
    ]
    texts += [(("parts", n, "is"), one.is_) for n, one in enumerate(entry.parts)]
    for path, text in texts:
        for hazard, word in _in_text(text):
            yield Implied(hazard, word[0], 0, 1, path)


def _by_body(body: str) -> Iterator[Implied]:
    stop = False
    for number, line in enumerate(body.split("\n"), 1):
        if line.startswith("#"):
            stop = bool(_STOP.match(line))
        for hazard, word in () if stop else _in_text(line):
            yield Implied(hazard, word[0], number, word.start() + 1)


def _in_text(text: str) -> Iterator[tuple[str, re.Match[str]]]:
    for hazard, pattern in _IMPLIES.items():
        for word in pattern.finditer(text):
            before = text[max(0, word.start() - 60) : word.start()]
            if not (_NOT_THERE.search(before) or _LEFT_ALONE.search(_sentence(text, word))):
                yield hazard, word
                break


def _sentence(text: str, word: re.Match[str]) -> str:
    begin = max(text.rfind(". ", 0, word.start()), text.rfind("| ", 0, word.start())) + 1
    end = text.find(". ", word.end())
    return text[begin : end if end >= 0 else len(text)]


def is_large_capacitor(part: Part) -> bool:
    """Say whether a part is a capacitor that can hurt when it is charged."""
    if not re.search(r"capacitor|electrolytic", part.is_, re.IGNORECASE):
        return False
    farads = _value(part.value, FARADS)
    volts = _value(part.volts, VOLTS) or _value(part.value, VOLTS)
    if farads is None or volts is None:
        return False
    shocking = volts >= SHOCKING_VOLTS and farads >= SHOCKING_FARADS
    return shocking or farads * volts * volts / 2 > LARGE_JOULES


def _value(text: str, kind: Kind) -> float | None:
    for typed in (text, *_QUANTITY.findall(text)):
        try:
            return read(typed, kind).value
        except QuantityError:
            continue
    return None
