"""The words of a printed book, ranked beforehand, so that a page can search without a server.

A word counts by the parts of a write-up that it stands in, saturated once over all of them, and by
how few write-ups have it (BM25 of Robertson and others, with a weight for each part). What a
customer would say for a sign is among the words of every write-up with that sign.
"""

from __future__ import annotations

import json
import math
import re
import unicodedata
from collections import Counter
from collections.abc import Sequence

from fixbook.app.documents import document
from fixbook.core.entry import Entry
from fixbook.core.vocabulary import Vocabulary

WEIGHTS = {"title": 4.0, "lay": 3.0, "signs": 2.0, "section": 2.0, "aliases": 2.0, "id": 2.0}
"""How much a word counts in each part; 1 in the others."""
SATURATION, LENGTH = 1.5, 0.4
LONGEST = 40
"""Letters of a word; longer ones are no words."""
_WORD = re.compile(r"[a-z0-9]+(?:\.[0-9]+)*")
_SPELT = str.maketrans(
    {"\u00b5": "u", "\u03bc": "u", "\u03a9": "ohm", "\u2126": "ohm", "\u2019": "'"}
)


def folded(text: str) -> list[str]:
    """Give a text's words in lower case, without accents; `search.js` does the same."""
    plain = text.lower()
    if not plain.isascii():
        plain = unicodedata.normalize("NFKD", text.translate(_SPELT).lower())
        plain = "".join(one for one in plain if not unicodedata.combining(one))
    plain = plain.replace("'", "")
    return [word for word in _WORD.findall(plain) if len(word) <= LONGEST]


def words_file(entries: Sequence[Entry], vocabulary: Vocabulary) -> str:
    """Give the script that holds the book's words: for each, its write-ups and what it is worth."""
    counted = [_counted(entry, vocabulary) for entry in entries]
    book = {
        "pages": [_shown(entry, vocabulary) for entry in entries],
        "words": _ranked(counted),
        "same": [[" ".join(folded(one)) for one in group] for group in vocabulary.synonyms],
        "finds": {
            " ".join(folded(word)): [" ".join(folded(one)) for one in found]
            for word, found in vocabulary.one_way.items()
        },
    }
    text = json.dumps(book, separators=(",", ":"), sort_keys=True).replace("</", "<\\/")
    return f'"use strict";\nvar BOOK = {text};\n'


def _shown(entry: Entry, vocabulary: Vocabulary) -> list[str]:
    unit = vocabulary.units.get(entry.unit)
    place = ", ".join(word for word in (unit.name if unit else entry.unit, entry.section) if word)
    return [entry.id, " ".join(entry.title.split()), place + _state(entry)]


def _state(entry: Entry) -> str:
    return " (withdrawn)" if entry.state == "withdrawn" else ""


def _counted(entry: Entry, vocabulary: Vocabulary) -> dict[str, float]:
    counted: Counter[str] = Counter()
    for part, text in document(entry, "", vocabulary, []).parts.items():
        for word in folded(text):
            counted[word] += WEIGHTS.get(part, 1.0)  # type: ignore[assignment]  # weights
    return dict(counted)


def _ranked(counted: Sequence[dict[str, float]]) -> dict[str, list[int]]:
    """Give each word's write-ups, each followed by what the word is worth there, in hundredths."""
    lengths = [sum(one.values()) for one in counted]
    usual = (math.fsum(lengths) / len(lengths) if lengths else 0.0) or 1.0
    holding = Counter(word for one in counted for word in one)
    ranked: dict[str, list[int]] = {}
    for at, (words, length) in enumerate(zip(counted, lengths, strict=True)):
        slow = SATURATION * (1 - LENGTH + LENGTH * length / usual)
        for word, count in words.items():
            rare = math.log(1 + (len(counted) - holding[word] + 0.5) / (holding[word] + 0.5))
            worth = max(1, round(100 * rare * count / (count + slow)))
            ranked.setdefault(word, []).extend((at, worth))
    return ranked
