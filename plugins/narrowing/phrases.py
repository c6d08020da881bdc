"""Words and phrases that mean the same, as the vocabulary has them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from fixbook.api import Vocabulary

Terms = Callable[[str], Sequence[tuple[str, ...]]]
"""Cuts a text into words, each with the forms that find it."""

_Words = tuple[str, ...]


class Phrases:
    """Knows the synonyms of a vocabulary, phrases of several words among them."""

    def __init__(self, vocabulary: Vocabulary, terms: Terms) -> None:
        self._terms = terms
        self._finds: dict[_Words, set[str]] = {}
        """For each phrase the names of the phrases that it finds, itself included."""
        for group in vocabulary.synonyms:
            cut = [self._cut(phrase) for phrase in group]
            for phrase in cut:
                self._add(phrase, cut)
        for left, others in vocabulary.one_way.items():
            self._add(self._cut(left), [self._cut(phrase) for phrase in others])
        self._starts: dict[str, list[_Words]] = {}
        for phrase in sorted(self._finds, key=len, reverse=True):
            self._starts.setdefault(phrase[0], []).append(phrase)

    def forms(self, text: str) -> frozenset[str]:
        """Give all that a text says: the forms of its words, and the phrases that it means."""
        slots = self._terms(text)
        found = {form for slot in slots for form in slot}
        words = [slot[0] for slot in slots]
        for at in range(len(words)):
            for phrase in self._at(words, at):
                found |= self._finds[phrase]
        return frozenset(found)

    def units(self, text: str) -> tuple[frozenset[str], ...]:
        """Cut a text into what must be found of it: each word, or phrase, with its forms."""
        slots = self._terms(text)
        words = [slot[0] for slot in slots]
        made, at = [], 0
        while at < len(words):
            longest = next(self._at(words, at), ())
            if len(longest) > 1:
                made.append(frozenset((_name(longest),)))
                at += len(longest)
            else:
                named = (_name(longest),) if longest else ()
                made.append(frozenset((*slots[at], *named)))
                at += 1
        return tuple(made)

    def _cut(self, phrase: str) -> _Words:
        return tuple(slot[0] for slot in self._terms(phrase))

    def _add(self, phrase: _Words, finds: Iterable[_Words]) -> None:
        if phrase:
            names = {_name(one) for one in (phrase, *finds) if one}
            self._finds.setdefault(phrase, set()).update(names)
        for one in finds:
            if one:
                self._finds.setdefault(one, set()).add(_name(one))

    def _at(self, words: Sequence[str], at: int) -> Iterator[_Words]:
        """Give the known phrases that begin at a word, the longest first."""
        for phrase in self._starts.get(words[at], ()):
            if tuple(words[at : at + len(phrase)]) == phrase:
                yield phrase


def _name(phrase: _Words) -> str:
    return " ".join(phrase)
