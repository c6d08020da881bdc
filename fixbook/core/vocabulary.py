"""The words a book uses: units, signs, hazards and synonyms."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from fixbook.core.entry import HOW_OFTEN, OFTEN_ENOUGH, Entry

SEEN, NOT_SEEN = "seen", "not-seen"


class Unit(NamedTuple):
    """A kind of apparatus."""

    id: str
    name: str
    aliases: tuple[str, ...] = ()
    contains: tuple[str, ...] = ()
    """Ids of the units inside it, not what those contain in turn."""


class Sign(NamedTuple):
    """Something that can be observed, with a fixed set of answers."""

    id: str
    ask: str
    background: Mapping[str, float]
    """Each answer's rate among all repairs of the unit; the rates add up to 1."""
    minutes: float
    hazards: tuple[str, ...] = ()
    customer: bool = False
    """Whether a customer can be asked."""
    lay: tuple[str, ...] = ()
    """How people without the trade's words say it."""
    says_the_same_as: tuple[str, ...] = ()

    @property
    def answers(self) -> tuple[str, ...]:
        """Its possible answers, in the order of the vocabulary."""
        return tuple(self.background)


class Hazard(NamedTuple):
    """A way in which the work can hurt someone."""

    id: str
    short: str
    """Two lines, shown on every screen."""
    full: str
    """What hurts, how to make it safe, how to prove it safe, when to stop."""


class Vocabulary(NamedTuple):
    """All words of a book and the starter book beside it."""

    units: Mapping[str, Unit] = {}
    signs: Mapping[str, Sign] = {}
    hazards: Mapping[str, Hazard] = {}
    synonyms: tuple[tuple[str, ...], ...] = ()
    """Groups of words or phrases that find each other."""
    one_way: Mapping[str, tuple[str, ...]] = {}
    """A word or phrase that finds others, not the other way round."""
    elsewhere: tuple[str, ...] = ()
    """Words and phrases of things that no bench mends: a question about them has no answer here."""

    def unit_named(self, typed: str) -> str:
        """Give the id of the unit with this id, name or other name; empty where there is none.

        Where one is the other name of several units, an id goes before a name, and a name before
        another name.
        """
        wanted = " ".join(typed.lower().split())
        plain = wanted.replace(" ", "-")
        if plain in self.units:
            return plain
        for names in (lambda unit: (unit.name,), lambda unit: unit.aliases):
            for unit in self.units.values():
                if wanted in (name.lower() for name in names(unit)):
                    return unit.id
        return ""

    def meant_sign(self, typed: str) -> str:
        """Say which sign was perhaps meant by an unknown word, or what lists them."""
        from fixbook.core.meant import meant_sign  # only a wrong word pays for it

        return meant_sign(typed, self)

    def unit_and_contents(self, unit: str) -> tuple[str, ...]:
        """Give the unit and everything it contains, at any depth, the unit first."""
        found: dict[str, None] = {}
        waiting = [unit]
        while waiting:
            one = waiting.pop(0)
            if one not in found:
                found[one] = None
                waiting += self.units[one].contains if one in self.units else ()
        return tuple(found)


def likelihoods(entry: Entry, sign: Sign) -> dict[str, float]:
    """Give how likely each answer is on a unit with this fault; the values add up to 1.

    Unnamed answers share what the named ones leave, in proportion to their background rates.
    A sign that the entry leaves out keeps its background rates.
    """
    said = entry.signs.get(sign.id)
    if not said:
        return dict(sign.background)
    named = {answer: HOW_OFTEN[word] for answer, word in said.items()}
    left = max(0.0, 1.0 - sum(named.values()))
    others = sum(rate for answer, rate in sign.background.items() if answer not in named)
    shares = {
        answer: named.get(answer, left * rate / others if others else 0.0)
        for answer, rate in sign.background.items()
    }
    whole = sum(shares.values())
    return {answer: share / whole for answer, share in shares.items()}


def listed_signs(entry: Entry) -> tuple[str, ...]:
    """Give the signs that an entry shows sometimes or more often, in its own order."""
    return tuple(
        sign
        for sign, answers in entry.signs.items()
        if any(
            word in OFTEN_ENOUGH and answer not in (NOT_SEEN, "none")
            for answer, word in answers.items()
        )
    )


def merge(vocabularies: Iterable[Vocabulary]) -> Vocabulary:
    """Join vocabularies; where two define one word, the later definition holds."""
    units: dict[str, Unit] = {}
    signs: dict[str, Sign] = {}
    hazards: dict[str, Hazard] = {}
    synonyms: list[tuple[str, ...]] = []
    one_way: dict[str, tuple[str, ...]] = {}
    elsewhere: list[str] = []
    for each in vocabularies:
        units.update(each.units)
        signs.update(each.signs)
        hazards.update(each.hazards)
        synonyms += each.synonyms
        elsewhere += each.elsewhere
        for word, found in each.one_way.items():
            one_way[word] = tuple(dict.fromkeys((*one_way.get(word, ()), *found)))
    groups, others = tuple(dict.fromkeys(synonyms)), tuple(dict.fromkeys(elsewhere))
    return Vocabulary(units, signs, hazards, groups, one_way, others)
