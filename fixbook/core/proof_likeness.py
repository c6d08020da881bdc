"""Write-ups that are too like each other: told apart by no sign, or nearly the same text."""

from __future__ import annotations

import re
import zlib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from fixbook.core.entry import Entry
from fixbook.core.vocabulary import Sign, Vocabulary, likelihoods

APART = 0.25
"""Two faults are told apart by a sign whose answers differ by this much of their likelihood."""
TELLING = 2 * APART
"""How far an answer must be from its background for a sign to mark a fault."""
SHINGLE = 4
"""Words in a row that are compared."""
ALIKE = 0.5
"""Share of such runs that two texts have in common when they are nearly the same."""
COMMONPLACE = 50
"""A run of words that stands in more write-ups than this says nothing."""
_WORD = re.compile(r"[^\W_]+")


def untold(entries: Iterable[Entry], vocabulary: Vocabulary) -> Iterator[tuple[Entry, Entry]]:
    """Give pairs of faults of one unit that no sign tells apart, the later one first."""
    by_unit: defaultdict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        if entry.kind == "fault" and entry.state != "withdrawn":
            by_unit[entry.unit].append(entry)
    for faults in by_unit.values():
        yield from _untold_in_unit(faults, vocabulary.signs)


def _untold_in_unit(
    faults: list[Entry], signs: Mapping[str, Sign]
) -> Iterator[tuple[Entry, Entry]]:
    # Whoever is like a fault shows the sign that marks it most, so only those are compared.
    showing: defaultdict[str, list[Entry]] = defaultdict(list)
    plain: list[Entry] = []
    for fault in faults:
        mark = _marking_sign(fault, signs)
        alike = showing[mark] if mark else plain
        first = next((one for one in alike if not _told_apart(fault, one, signs)), None)
        if first is not None:
            yield fault, first
        plain += [] if mark else [fault]
        for sign in fault.signs:
            if sign in signs:
                showing[sign].append(fault)


def _marking_sign(fault: Entry, signs: Mapping[str, Sign]) -> str:
    distances = {
        name: _distance(likelihoods(fault, signs[name]), signs[name].background)
        for name in fault.signs
        if name in signs
    }
    best = max(distances, key=lambda name: distances[name], default="")
    return best if best and distances[best] >= TELLING else ""


def _told_apart(one: Entry, other: Entry, signs: Mapping[str, Sign]) -> bool:
    named = {*one.signs, *other.signs}
    return any(
        _distance(likelihoods(one, signs[name]), likelihoods(other, signs[name])) >= APART
        for name in named
        if name in signs
    )


def _distance(one: Mapping[str, float], other: Mapping[str, float]) -> float:
    """Give how far two sets of likelihoods are apart: 0 the same, 1 nothing in common."""
    return sum(abs(one[answer] - other.get(answer, 0.0)) for answer in one) / 2


def near_duplicates(entries: Iterable[Entry]) -> Iterator[tuple[Entry, Entry, float]]:
    """Give pairs of write-ups with nearly the same text: the later, the earlier, how alike."""
    runs: list[tuple[Entry, set[int]]] = []
    holders: defaultdict[int, list[int]] = defaultdict(list)
    for entry in entries:
        own = shingles(entry.body)
        shared: defaultdict[int, int] = defaultdict(int)
        for run in own:
            for number in holders[run]:
                shared[number] += 1
        for number, count in sorted(shared.items()):
            first, its = runs[number]
            alike = count / (len(own) + len(its) - count)
            if alike >= ALIKE:
                yield entry, first, alike
                break
        for run in own:
            if len(holders[run]) < COMMONPLACE:
                holders[run].append(len(runs))
        runs.append((entry, own))


def shingles(text: str) -> set[int]:
    """Give the runs of words of a text, as numbers."""
    words = [word.lower() for word in _WORD.findall(text)]
    return {
        zlib.crc32(" ".join(words[at : at + SHINGLE]).encode())
        for at in range(len(words) - SHINGLE + 1)
    }
