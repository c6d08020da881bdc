"""Cut text into terms: the forms under which words, part numbers and values are found.

A piece of text becomes a row of slots, one a word; a slot holds every term it is found under. A
hyphened word holds the joined form beside its first piece, so that `back-light`, `backlight` and
`back light` meet. Nothing is thrown away here: a bench needs "not", "on" and single letters.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator

from fixbook.search.fold import fold
from fixbook.search.spelling import one_spelling
from fixbook.search.value import UNIT, letter_point_forms, number_form, value_forms

Slots = tuple[tuple[str, ...], ...]
"""For each slot the terms it is found under; the first is the word itself."""
Chunk = str | Slots
"""What stands between two blanks: one term alone (the usual case), or slots."""

TOKEN = re.compile(
    rf"(?:(?<![^\W_])-|(?<!\S)[+])?\d+(?:[.,]\d+)*\s?{UNIT}(?![^\W_]|[-/._][^\W_])"
    r"|(?:[^\W_]+(?:[-/._'+&]{1,3}[^\W_]+)*)",
    re.IGNORECASE,
)
"""One token of folded text. The text is cut at blanks first, since almost every chunk has been met
before and is then a look-up; a number is taken together with the chunk after it."""
_NUMBER = re.compile(r"[^\w.]*[-+]?\d+(?:[.,]\d+)*")
PIECE = re.compile(r"[^\W_]+(?:(?<=\d)[.](?=\d)[^\W_]+)*")
"""A piece of a compound; the point of a number does not part it."""
_DECIMAL = re.compile(r"\d+(?:[.,]\d+)+")
NOT = re.compile(r"([a-z]+)n'?t", re.IGNORECASE)
NOT_STEMS = {
    "wo": "will", "ca": "can", "sha": "shall", "do": "do", "does": "does", "did": "did",
    "is": "is", "are": "are", "was": "was", "were": "were", "has": "has", "have": "have",
    "had": "had", "would": "would", "could": "could", "should": "should", "might": "might",
    "must": "must", "need": "need",
}  # fmt: skip
"""What stands before "n't", and the word that it is short for."""
_ENDINGS = ("'s", "'ll", "'re", "'ve", "'d", "'m")
MOST_PIECES = 8
"""A compound of more pieces is joined as a whole only, not in every run of its pieces."""
_MOST_REMEMBERED = 300_000
LONGEST_TERM = 64
"""Longer runs of characters are cut: nobody types them, and the index has a limit."""


NUMBER: Chunk = ((),)
"""Stands for a number that waits for its unit; compared by identity."""


class Analyser:
    """Turns text into slots, remembering every word it has met."""

    def __init__(self) -> None:
        self._slots: dict[str, Slots] = {}
        self._chunks: dict[str, Chunk] = {}
        self.words: dict[str, str] = {}
        """Every plain word met, lower-case, with its term: what can be typed and mended to."""
        self._stem: Callable[[str], str] | None = None

    def chunks(self, folded: str) -> list[Chunk]:
        """Cut folded text at blanks and give what each piece is found under, one for each piece.

        What a number and its unit are found under comes with the number; the unit gives nothing.
        """
        pieces = folded.split()
        found = list(map(self._chunks.get, pieces))
        if None in found:
            found = [
                self._read_chunk(piece) if chunk is None else chunk
                for piece, chunk in zip(pieces, found, strict=True)
            ]
        chunks: list[Chunk] = [chunk for chunk in found if chunk is not None]
        if NUMBER in chunks:
            self._pair_numbers(pieces, chunks)
        return chunks

    def _pair_numbers(self, pieces: list[str], chunks: list[Chunk]) -> None:
        for at, chunk in enumerate(chunks):
            if chunk is not NUMBER:
                continue
            pair = f"{pieces[at]} {pieces[at + 1] if at + 1 < len(pieces) else ''}"
            both = self._chunks.get(pair) or self._read_pair(pair)
            if both is NUMBER:
                chunks[at] = self._slots_in(pieces[at])
            else:
                chunks[at] = both
                if at + 1 < len(chunks):
                    chunks[at + 1] = ()

    def slots(self, text: str) -> list[tuple[str, ...]]:
        """Give the slots of a whole text."""
        found: list[tuple[str, ...]] = []
        for chunk in self.chunks(fold(text).text):
            found.extend([(chunk,)] if isinstance(chunk, str) else chunk)
        return found

    def slots_of(self, token: str) -> Slots:
        """Give the slots of one token, as `TOKEN` finds it in folded text."""
        slots = self._slots.get(token)
        if slots is None:
            slots = self._slots[token] = self._analyse(token)
        return slots

    def _read_chunk(self, piece: str) -> Chunk:
        if len(self._chunks) > _MOST_REMEMBERED:
            self._chunks.clear()
            self._slots.clear()
        chunk = NUMBER if _NUMBER.fullmatch(piece) else self._short(self._slots_in(piece))
        self._chunks[piece] = chunk
        return chunk

    def _read_pair(self, pair: str) -> Chunk:
        """Read a number and what follows; NUMBER where that is a number of its own."""
        following = pair.partition(" ")[2]
        apart = _NUMBER.fullmatch(following) is not None
        chunk = NUMBER if apart else self._short(self._slots_in(pair))
        self._chunks[pair] = chunk
        return chunk

    def _slots_in(self, text: str) -> Slots:
        return tuple(s for m in TOKEN.finditer(text) for s in self.slots_of(m.group()))

    @staticmethod
    def _short(slots: Slots) -> Chunk:
        return slots[0][0] if len(slots) == 1 and len(slots[0]) == 1 else slots

    def term(self, word: str) -> str:
        """Give the term of one plain lower-case word: one spelling, then its stem."""
        term = self.words.get(word)
        if term is None:
            term = self.words[word] = self._term(word)
        return term

    def _term(self, word: str) -> str:
        word = word[:LONGEST_TERM]
        if len(word) < 4 or not (word.isascii() and word.isalpha()):
            return word
        if self._stem is None:
            from whoosh.lang.snowball.english import EnglishStemmer

            self._stem = EnglishStemmer().stem
        return self._stem(one_spelling(word))

    def _analyse(self, token: str) -> Slots:
        if token.isalpha():
            return self._plain(token.lower())
        form = value_forms(token)
        if form:
            return (form,)
        if _DECIMAL.fullmatch(token):
            return ((number_form(token),),)
        low = token.lower()
        if "'" in low:
            negated = NOT.fullmatch(low)
            if negated:
                return self._negated(negated.group(1))
            low = next((low[: -len(e)] for e in _ENDINGS if low.endswith(e)), low)
        return self._compound(low, token)

    def _plain(self, low: str) -> Slots:
        if low == "cannot":
            return (("can",), ("not",))
        if low.endswith("nt") and low[:-2] in NOT_STEMS and low not in ("want", "cant"):
            return self._negated(low[:-2])
        return ((self.term(low),),)

    def _negated(self, stem: str) -> Slots:
        return ((self.term(NOT_STEMS.get(stem, stem)),), ("not",))

    def _compound(self, low: str, token: str) -> Slots:
        pieces = PIECE.findall(low)
        if len(pieces) == 1:
            return (self._part(token),)
        if all(len(piece) == 1 and piece.isalpha() for piece in pieces):
            return self._letters(pieces)
        count = len(pieces)
        ends = range(count + 1) if count <= MOST_PIECES else (count,)
        cased = PIECE.findall(token)
        return tuple(
            (*self._part(cased[start]), *self._runs(pieces, start, ends)) for start in range(count)
        )

    def _part(self, token: str) -> tuple[str, ...]:
        """A piece, which may be a value of its own: the 5V of 3-5V."""
        if _DECIMAL.fullmatch(token):
            return (number_form(token),)
        term = self.term(token.lower().replace(".", ""))
        if token.isalnum() and (token.isdigit() or token.isalpha()):
            return (term,)
        return (term, *letter_point_forms(token), *value_forms(token))

    def _runs(self, pieces: list[str], start: int, ends: Iterable[int]) -> Iterator[str]:
        """The joined forms that begin with a piece: every run in a short compound."""
        for end in ends:
            if end > start + 1:
                yield self.term("".join(pieces[start:end]).replace(".", "")[:LONGEST_TERM])

    def _letters(self, pieces: list[str]) -> Slots:
        """`b-e`, `A/C`: one term that the verb "be" does not share, one joined, each letter."""
        first = ("-".join(pieces), pieces[0], "".join(pieces))
        return (first, *((piece,) for piece in pieces[1:]))
