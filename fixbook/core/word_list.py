"""The words that may stand in a write-up, each with a few words about it, for a person to read."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fixbook.core.entry import HOW_OFTEN, KINDS, SHARES, SKILLS, STATES
from fixbook.core.readings import READS, WORDS
from fixbook.core.schema import TECHNIQUE
from fixbook.core.vocabulary import NOT_SEEN, SEEN, Vocabulary

Rows = list[tuple[str, str]]
_ABOUT = {
    "no-soldering": "no iron is taken up", "through-hole": "parts with leads through the board",
    "surface-mount": "parts soldered flat", "board-repair": "tracks, pads and holes themselves",
    "written": "from general knowledge, not proven at this bench",
    "bench-proven": "done at this bench, and it held", "withdrawn": "not to be used any more",
    "fault": "a fault and its repair", "technique": "how something is done",
}  # fmt: skip


def _units(vocabulary: Vocabulary) -> Rows:
    rows = []
    for unit in vocabulary.units.values():
        more = f"; also {', '.join(unit.aliases)}" if unit.aliases else ""
        inside = f"; contains {', '.join(unit.contains)}" if unit.contains else ""
        rows.append((unit.id, f"{unit.name}{more}{inside}"))
    if TECHNIQUE not in vocabulary.units:
        rows.append((TECHNIQUE, "for techniques, and nothing else"))
    return rows


def _signs(vocabulary: Vocabulary) -> Rows:
    rows = []
    for sign in vocabulary.signs.values():
        own = "" if sign.answers == (SEEN, NOT_SEEN) else f" ({', '.join(sign.answers)})"
        rows.append((sign.id, f"{sign.ask}{own}"))
    return rows


def _hazards(vocabulary: Vocabulary) -> Rows:
    return [(one.id, " ".join(one.short.split())) for one in vocabulary.hazards.values()]


def _readings(vocabulary: Vocabulary) -> Rows:
    return [
        (name, f"{WORDS[name]}, in {kind.unit}" if kind.unit else WORDS[name])
        for name, kind in READS.items()
    ]


def _fixed(words: tuple[str, ...]) -> Callable[[Vocabulary], Rows]:
    return lambda vocabulary: [(word, _ABOUT[word]) for word in words]


def _how_often(vocabulary: Vocabulary) -> Rows:
    return [
        (word, f"{rate:.0%} of the units with the fault show the sign")
        for word, rate in HOW_OFTEN.items()
    ]


def _shares(vocabulary: Vocabulary) -> Rows:
    return [(word, f"weight {weight} among the unit's faults") for word, weight in SHARES.items()]


LISTS: Mapping[str, tuple[str, Callable[[Vocabulary], Rows]]] = {
    "units": ("unit: what kind of apparatus it is about", _units),
    "signs": ("signs: what can be observed", _signs),
    "how-often": ("signs: how often a sign is seen", _how_often),
    "hazards": ("hazards: what can hurt", _hazards),
    "skills": ("skill: what the work asks for", _fixed(SKILLS)),
    "readings": ("targets, reads: what is measured", _readings),
    "shares": ("share: how common a fault is", _shares),
    "states": ("state: how far it is proven", _fixed(STATES)),
    "kinds": ("kind: what a write-up is", _fixed(KINDS)),
}
"""Each kind of word: the field it stands in, and what lists its words."""


def words_of(vocabulary: Vocabulary, what: str) -> Rows:
    """Give the words of a kind of `LISTS` with what they mean; KeyError where there is no such."""
    return LISTS[what][1](vocabulary)
