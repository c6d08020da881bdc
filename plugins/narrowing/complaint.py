"""From a complaint in words to the signs it may mean: proposed, never assumed.

A wording of a sign is found where the complaint has most of what it says, each word weighing as
much as it is rare among all wordings. Where no wording is found, the signs come whose wordings,
taken together, have most of what the complaint says.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from fixbook.api import Sign, Vocabulary

from .phrases import Phrases, Terms

ENOUGH = 0.6
"""The part of a customer's wording, by weight, that a complaint must have."""
ENOUGH_ASKED = 0.75
"""The same for a sign's name and question, which are in the trade's words."""
ENOUGH_TOGETHER = 0.5
"""The part of a complaint that all wordings of a sign together must have."""
MOST = 4
LONGEST = 2_000
"""Characters of a complaint that are read."""
NO = frozenset(("not", "no", "never", "without", "nothing", "none"))
"""What turns a wording round: it is found only where the complaint has such a word too."""


class Proposal(NamedTuple):
    """A sign that a complaint may mean."""

    sign: str
    wording: str
    """The wording that was found in the complaint."""
    score: float
    """0 to 1: how much was found."""


class _Wording(NamedTuple):
    sign: str
    text: str
    units: frozenset[frozenset[str]]
    """What must be found: for each word, or phrase of the vocabulary, its forms."""
    enough: float
    negative: bool
    """Found only where the complaint has a word such as 'not'."""


class Wordings:
    """The names, questions and lay wordings of signs, ready to be found in complaints."""

    def __init__(self, signs: Iterable[Sign], vocabulary: Vocabulary, terms: Terms) -> None:
        self._phrases = Phrases(vocabulary, terms)
        self._all = [one for sign in signs for one in self._wordings(sign)]
        counted = Counter(unit for one in self._all for unit in one.units)
        self._weights = {
            unit: math.log(1 + len(self._all) / times) for unit, times in counted.items()
        }
        self._wholes = [sum(self._weights[unit] for unit in one.units) for one in self._all]
        self._having: dict[str, set[frozenset[str]]] = {}
        """For each form the units that it finds."""
        for unit in counted:
            for form in unit:
                self._having.setdefault(form, set()).add(unit)

    def propose(self, complaint: str) -> list[Proposal]:
        """Give the signs a complaint may mean, the best first, each with its best wording."""
        said = self._phrases.forms(complaint[:LONGEST])
        found = self._by_wording(said) or self._together(complaint[:LONGEST], said)
        best: dict[str, tuple[float, Proposal]] = {}
        for weight, made in found:
            if made.sign not in best or weight > best[made.sign][0]:
                best[made.sign] = (weight, made)
        ranked = sorted(best.values(), key=lambda one: (-one[0], one[1].sign))
        return [made for _, made in ranked[:MOST]]

    def _wordings(self, sign: Sign) -> Iterator[_Wording]:
        rows = [(text, ENOUGH) for text in sign.lay]
        rows += [(sign.id.replace("-", " "), ENOUGH_ASKED), (sign.ask, ENOUGH_ASKED)]
        for text, enough in rows:
            units = frozenset(self._phrases.units(text))
            if units:
                negative = any(NO & unit for unit in units)
                yield _Wording(sign.id, text, units, enough, negative)

    def _by_wording(self, said: frozenset[str]) -> list[tuple[float, Proposal]]:
        found = []
        hit = self._units_in(said)
        for one, whole in zip(self._all, self._wholes, strict=True):
            if one.units.isdisjoint(hit) or _is_turned_round(one, said):
                continue
            weight = sum(self._weights[unit] for unit in one.units if unit in hit)
            if weight >= one.enough * whole:
                found.append((weight, Proposal(one.sign, one.text, weight / whole)))
        return found

    def _units_in(self, said: Iterable[str]) -> set[frozenset[str]]:
        return {unit for form in said for unit in self._having.get(form, ())}

    def _together(self, complaint: str, said: frozenset[str]) -> list[tuple[float, Proposal]]:
        units = {unit for unit in self._phrases.units(complaint) if not NO & unit}
        near = {unit: self._units_in(unit) for unit in units}
        known = {
            unit: max((self._weights[one] for one in near[unit]), default=0.0) for unit in units
        }
        whole = sum(known.values())
        by_sign: dict[str, set[frozenset[str]]] = {}
        for one in self._all:
            if not _is_turned_round(one, said):
                by_sign.setdefault(one.sign, set()).update(one.units)
        found = []
        for sign, wordings in by_sign.items():
            shared = [unit for unit in units if known[unit] and not wordings.isdisjoint(near[unit])]
            weight = sum(known[unit] for unit in shared)
            if len(shared) > 1 and weight >= ENOUGH_TOGETHER * whole:
                text = self._nearest(sign, said)
                found.append((weight, Proposal(sign, text, weight / whole)))
        return found

    def _nearest(self, sign: str, said: frozenset[str]) -> str:
        def shared(one: _Wording) -> float:
            return sum(self._weights[unit] for unit in one.units if unit & said)

        return max((one for one in self._all if one.sign == sign), key=shared).text


def _is_turned_round(wording: _Wording, said: frozenset[str]) -> bool:
    return wording.negative and not NO & said


def found_units(complaint: str, vocabulary: Vocabulary, terms: Terms) -> Sequence[str]:
    """Give the units whose name or other name stands in a complaint, the first named first.

    Of names that overlap the longest holds: a valve amplifier is no power amplifier.
    """
    words = [slot[0] for slot in terms(complaint[:LONGEST])]
    found: dict[int, tuple[int, str]] = {}
    for unit in vocabulary.units.values():
        for name in (unit.id.replace("-", " "), unit.name, *unit.aliases):
            wanted = [slot[0] for slot in terms(name)]
            for at in range(len(words) - len(wanted) + 1) if wanted else ():
                end = at + len(wanted)
                if words[at:end] == wanted and len(wanted) > found.get(end, (0, ""))[0]:
                    found[end] = (len(wanted), unit.id)
    return list(dict.fromkeys(found[end][1] for end in sorted(found)))
