"""The contents of a printed book: its write-ups by unit and by sign."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from fixbook.core.entry import Entry
from fixbook.core.vocabulary import SEEN, Vocabulary, listed_signs


class Item(NamedTuple):
    """One write-up in a list."""

    id: str
    title: str
    more: str


class Group(NamedTuple):
    """The write-ups of one unit, or of one sign."""

    id: str
    name: str
    items: tuple[Item, ...]


def by_unit(entries: Iterable[Entry], words: Vocabulary) -> list[Group]:
    """Give the write-ups of each unit, by its name; within it by section and title."""
    found: dict[str, list[Entry]] = {}
    for entry in entries:
        found.setdefault(entry.unit, []).append(entry)
    groups = [
        Group(
            unit,
            words.units[unit].name if unit in words.units else unit,
            tuple(
                Item(one.id, one.title, ", ".join(filter(None, (one.section, _state(one)))))
                for one in sorted(several, key=lambda one: (one.section, one.title, one.id))
            ),
        )
        for unit, several in found.items()
    ]
    return sorted(groups, key=lambda one: (one.name.lower(), one.id))


def by_sign(entries: Iterable[Entry], words: Vocabulary) -> list[Group]:
    """Give the faults of each sign that they show sometimes or more often, by its question."""
    found: dict[str, list[tuple[Entry, str]]] = {}
    for entry in entries:
        for sign in listed_signs(entry):
            answers = entry.signs[sign].items()
            said = (often if answer == SEEN else f"{answer}: {often}" for answer, often in answers)
            found.setdefault(sign, []).append((entry, ", ".join(said)))
    groups = [
        Group(
            sign,
            words.signs[sign].ask if sign in words.signs else sign,
            tuple(
                Item(one.id, one.title, ", ".join(filter(None, (said, _state(one)))))
                for one, said in sorted(several, key=lambda pair: (pair[0].title, pair[0].id))
            ),
        )
        for sign, several in found.items()
    ]
    return sorted(groups, key=lambda one: (one.name.lower(), one.id))


def _state(entry: Entry) -> str:
    return "withdrawn" if entry.state == "withdrawn" else ""
