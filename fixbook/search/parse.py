"""Read a query. Nothing that is typed is an error.

"a phrase"     documents without these words in this order are left out
-word -"…"     documents with it are left out; a minus before a digit belongs to the value
anything else  plain words, whatever signs stand between them
"""

from __future__ import annotations

import re
from typing import NamedTuple

from fixbook.search.analysis import NOT_STEMS, PIECE, TOKEN, Analyser
from fixbook.search.fold import fold

MOST_WORDS = 64
_MOST_TEXT = 8000
_QUOTED = re.compile(r'(?:(?<!\S)(-))?"([^"]*)"')
_LEFT_OUT = re.compile(r"(?<!\S)-(?=[^\W\d_])(\S+)")

STOP = frozenset(
    "a an the this that these those i me my mine we us our you your he him his she her it its they "
    "them their is are was were be been being am do does did has have had having will would shall "
    "should may might can could must of and or but if then than so as at by for from with to into "
    "there here what which who when where why how just very some any all both each it's i'm ive "
    "im also about such even get gets got getting old new gone goes going went come comes came "
    "coming now still ever only really quite bit lot lots many much more most thing things something "
    "stuff make makes made making doing done say says said seem seems look looks looking keep keeps "
    "take takes took use used using want wants need needs know think please help fix repair mend "
    "problem trouble issue day days week weeks year years today yesterday ago recently suddenly "
    "properly someone somebody anyone people bought well he's find tell show explain describe "
    "information details advice method methods during between other".split()
)
"""Words that say nothing at a bench, and those with which people ask and tell a story; they count
in phrases, and where there is nothing else."""


class Word(NamedTuple):
    """A word of a query."""

    text: str
    """As typed, lower case."""
    terms: tuple[str, ...]
    """What it is found under; any of them."""
    pieces: tuple[Word, ...] = ()
    """The words to take where nothing has a part number as it was typed."""

    @property
    def is_stop(self) -> bool:
        """Say whether the word alone says nothing."""
        return self.text in STOP


class Phrase(NamedTuple):
    """Words in order; each slot holds terms that may stand there."""

    text: str
    slots: tuple[tuple[str, ...], ...]


class Query(NamedTuple):
    """A query as it was read."""

    words: tuple[Word, ...]
    phrases: tuple[Phrase, ...]
    left_out: tuple[Phrase, ...]
    notes: tuple[str, ...]
    unfinished: bool
    """Whether the last word ends the text, so that it may still be being typed."""


def read_query(text: str, analyser: Analyser) -> Query:
    """Read what was typed."""
    notes: list[str] = []
    if len(text) > _MOST_TEXT:
        text = text[:_MOST_TEXT]
        notes.append(f"only the first {_MOST_TEXT} characters were read")
    plain = fold(text).text
    phrases: list[Phrase] = []
    left_out: list[Phrase] = []

    def take_phrase(found: re.Match[str]) -> str:
        phrase = _phrase(found.group(2), analyser)
        if phrase.slots:
            (left_out if found.group(1) else phrases).append(phrase)
        return " \n "

    def take_left_out(found: re.Match[str]) -> str:
        phrase = _phrase(found.group(1), analyser)
        if phrase.slots:
            left_out.append(phrase)
        return " \n "

    plain = _LEFT_OUT.sub(take_left_out, _QUOTED.sub(take_phrase, plain))
    words = [w for m in TOKEN.finditer(plain) for w in read_token(m.group(), analyser)]
    if len(words) > MOST_WORDS:
        words = words[:MOST_WORDS]
        notes.append(f"only the first {MOST_WORDS} words were searched")
    unfinished = bool(words) and plain[-1:].isalnum()
    return Query(
        tuple(words), tuple(phrases[:MOST_WORDS]), tuple(left_out[:MOST_WORDS]),
        tuple(notes), unfinished,
    )  # fmt: skip


def _phrase(text: str, analyser: Analyser) -> Phrase:
    slots = tuple(s for m in TOKEN.finditer(text) for s in analyser.slots_of(m.group()))
    return Phrase(" ".join(text.split()), slots[:MOST_WORDS])


def read_token(token: str, analyser: Analyser) -> list[Word]:
    """Give the words that one token asks for."""
    slots = analyser.slots_of(token)
    low = token.lower()
    first = slots[0]
    if len(slots) == 1:
        if first[-1].startswith("-="):
            return [Word(low, (first[1],)), Word(low.lstrip("-"), (first[0],))]
        return [Word(low, first)]
    if len(first) == 1 and slots[1] == ("not",):
        start = low.removesuffix("t").removesuffix("'").removesuffix("n")
        return [Word(NOT_STEMS.get(start, start), slots[0]), Word("not", slots[1])]
    if "-" in first[0]:
        joined = "".join(slot[-1] if n else slot[1] for n, slot in enumerate(slots))
        return [Word(low, (first[0],) if joined in STOP else (first[0], joined))]
    pieces = tuple(w for piece in PIECE.findall(token) for w in read_token(piece, analyser))
    if any(c.isdigit() for c in low):
        return [Word(low, (first[-1],), pieces)]
    return [piece._replace(terms=(*piece.terms, first[-1])) for piece in pieces]
