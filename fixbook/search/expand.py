"""Turn the words of a query into units to search: synonyms, compounds, beginnings, mending.

A unit holds every way in which a document can have one word of the query. Where several words are
one thing together (`variable resistor`, `back light`), what else that thing is called is added to
each of them, so that it counts for as much as the words did.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from typing import Any

from fixbook.search.analysis import Analyser
from fixbook.search.matching import Way, is_there
from fixbook.search.mend import mend
from fixbook.search.parse import Query, Word, read_token
from fixbook.search.snapshot import Snapshot

MOST_BEGINNINGS = 40
"""So many of the most frequent words that begin as typed are searched."""
_SHORTEST_SPLIT = 6
_LAST = "\U0010ffff"
"""Stands after every character that a word may have."""


class Unit:
    """One word of the query, and all ways to have it."""

    def __init__(self, text: str, ways: Iterable[Way]) -> None:
        self.text = text
        self.is_mended = False
        self.ways = list(ways)

    def add(self, way: Way) -> None:
        """Add a way once."""
        if all(way.slots != other.slots for other in self.ways):
            self.ways.append(way)


class Expansion:
    """A query on its way to its units."""

    def __init__(self, snapshot: Snapshot, analyser: Analyser) -> None:
        self._snapshot = snapshot
        self._analyser = analyser
        self.mended: dict[str, str] = {}
        self.elsewhere: dict[tuple[int, int], Sequence[Word]] = {}
        """Stretches of the query that speak of what the book does not treat."""

    def units(self, query: Query, *, typing: bool) -> list[Unit]:
        """Give the units to search for a query's words."""
        words = [word for known in query.words for word in self._known(known)]
        unfinished = typing and query.unfinished and bool(words)
        units = [Unit(word.text, [Way((word.terms,))]) for word in words]
        self._add_synonyms(words, units)
        self._add_joined(words, units)
        for word, unit in zip(words, units, strict=True):
            self._add_split(word, unit)
        if unfinished:
            self._add_beginnings(words[-1], units[-1])
        kept = [(w, u) for w, u in zip(words, units, strict=True) if not w.is_stop]
        if unfinished and words[-1].is_stop:
            kept.append((words[-1], units[-1]))
        kept = kept or list(zip(words, units, strict=True))
        last = units[-1] if unfinished else None
        return _unique(self._mended(w, u) if u is not last else u for w, u in kept)

    def _known(self, word: Word) -> Sequence[Word]:
        """A part number as it is, or its pieces where nothing has it."""
        if not word.pieces or self._has(word.terms):
            return (word,)
        return [known for piece in word.pieces for known in self._known(piece)]

    def _has(self, terms: Iterable[str]) -> bool:
        return any(s.place(term) for term in terms for s in self._snapshot.segments)

    def _is_there(self, way: Way) -> bool:
        return any(is_there(segment, way) for segment in self._snapshot.segments)

    def _add_synonyms(
        self, words: Sequence[Word], units: Sequence[Unit], *, mending: bool = False
    ) -> None:
        links = self._snapshot.links
        for start, word in enumerate(words):
            for term in word.terms:
                for rest, others in links.get(term, ()):
                    end = start + 1 + len(_list(rest))
                    following = zip(_list(rest), words[start + 1 : end], strict=False)
                    if end > len(words) or not all(t in w.terms for t, w in following):
                        continue
                    if not others and not mending:  # a word taken for another says nothing
                        self.elsewhere[start, end] = words[start:end]
                    for alternative, label in _list(others):
                        slots = tuple((t,) for t in alternative)
                        for unit in units[start:end]:
                            unit.add(Way(slots, label))

    def _add_joined(self, words: Sequence[Word], units: Sequence[Unit]) -> None:
        for start in range(len(words) - 1):
            for end in (start + 2, start + 3):
                texts = [word.text for word in words[start:end]]
                if len(texts) != end - start or not all(text.isalnum() for text in texts):
                    continue
                joined = "".join(texts)
                if end - start == 3 and joined.isalpha():
                    continue
                term = self._analyser.term(joined)
                if self._has((term,)):
                    for unit in units[start:end]:
                        unit.add(Way(((term,),)))

    def _add_split(self, word: Word, unit: Unit) -> None:
        text = word.text
        if len(text) < _SHORTEST_SPLIT or not text.isalpha():
            return
        for cut in range(2, len(text) - 1):
            left, right = self._analyser.term(text[:cut]), self._analyser.term(text[cut:])
            if self._has((left,)) and self._has((right,)):
                way = Way(((left,), (right,)))
                if self._is_there(way):
                    unit.add(way)

    def _add_beginnings(self, word: Word, unit: Unit) -> None:
        terms = self._beginning(word.text)
        if terms:
            unit.ways[0] = Way((tuple(dict.fromkeys([*word.terms, *terms])),))

    def _beginning(self, text: str) -> list[str]:
        counted: dict[str, int] = {}
        for segment in self._snapshot.segments:
            words = segment.sorted_words
            following = words[bisect_left(words, text) : bisect_left(words, text + _LAST)]
            counts = zip(following, map(segment.words.__getitem__, following), strict=True)
            if not counted:
                counted = dict(counts)
                continue
            for word, count in counts:
                counted[word] = counted.get(word, 0) + count
        best = sorted(zip(counted.values(), counted, strict=True), reverse=True)
        return [self._analyser.term(word) for _, word in best[:MOST_BEGINNINGS]]

    def _mended(self, word: Word, unit: Unit) -> Unit:
        if any(self._is_there(way) for way in unit.ways):
            return unit
        text = word.text
        if not text.isalpha():
            terms = self._beginning(text) if len(text) > 3 and text.isalnum() else []
            return Unit(text, [Way((tuple(terms),))]) if terms else unit
        better = mend(text, self._snapshot)
        if better is None:
            return unit
        self.mended[text] = better
        words = [w for t in better.split() for w in read_token(t, self._analyser)]
        mended = [Unit(w.text, [Way((w.terms,))]) for w in words]
        self._add_synonyms(words, mended, mending=True)
        better_unit = Unit(better, mended[0].ways)
        better_unit.is_mended = True
        return better_unit


def _unique(units: Iterable[Unit]) -> list[Unit]:
    found: dict[tuple[tuple[str, ...], ...], Unit] = {}
    for unit in units:
        found.setdefault(unit.ways[0].slots, unit)
    return list(found.values())


def _list(value: object) -> list[Any]:
    return value if isinstance(value, list) else []
