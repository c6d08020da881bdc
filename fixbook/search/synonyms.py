"""The vocabulary's synonyms, compiled so that a search reads no vocabulary.

Compiled form: first term of a phrase -> list of [its other terms, [[alternative's terms, as
written], …]]. A phrase without alternatives is one that the book does not treat.
"""

from __future__ import annotations

from fixbook.core.query import Words
from fixbook.search.analysis import Analyser

Links = dict[str, list[list[object]]]


def compile_words(words: Words) -> Links:
    """Compile groups and one-way links."""
    analyser = Analyser()
    finds: dict[tuple[str, ...], dict[tuple[str, ...], str]] = {}

    def terms(phrase: str) -> tuple[str, ...]:
        return tuple(slot[0] for slot in analyser.slots(phrase))

    def link(phrase: str, other: str) -> None:
        left, right = terms(phrase), terms(other)
        if left and right and left != right:
            finds.setdefault(left, {}).setdefault(right, other)

    for group in words.groups:
        for phrase in group:
            for other in group:
                link(phrase, other)
    for phrase, others in words.one_way.items():
        for other in others:
            link(phrase, other)
    links: Links = {}
    for (first, *rest), found in finds.items():
        alternatives = [[list(right), written] for right, written in found.items()]
        links.setdefault(first, []).append([rest, alternatives])
    for first, *rest in dict.fromkeys(filter(None, map(terms, words.elsewhere))):
        links.setdefault(first, []).append([rest, []])
    return links
