"""What was perhaps meant by a word that the book does not have: a sign, a reading, a how-often.

Where nothing is near, the command that lists the words is named.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping

from fixbook.core.entry import HOW_OFTEN
from fixbook.core.problems import asked, close_matches, did_you_mean
from fixbook.core.readings import READS, WORDS
from fixbook.core.vocabulary import Vocabulary

FEW = 24
"""So many words can be read in one message; of more, the command that lists them is named."""
NEAR = 0.8
"""How like two words of a question are, of which one may be the other misspelt."""
_ORDINARY = {
    "often": "usually", "mostly": "usually", "frequently": "usually", "normally": "usually",
    "occasionally": "sometimes", "maybe": "sometimes", "seldom": "rarely", "hardly": "rarely",
}  # fmt: skip
"""What people say instead of a word for how often."""
MOST_SIGNS = 12
"""A word that stands in more signs than this tells none of them."""
_WORDS = re.compile(r"[^\W\d_]{4,}")
_SMALL = frozenset(
    "a an and at does do from has have in is it not no of off on one or out over so than that the "
    "there to too up when while with you".split()
)


def list_of(what: str) -> str:
    """Say which command lists the words of a kind, such as signs."""
    return f"'fixbook proof --words {what}' lists them"


def meant(word: str, known: Iterable[str], what: str) -> str:
    """Say which known word was perhaps meant; else all of them, or what lists them."""
    names = tuple(known)
    return did_you_mean(word, names, otherwise=all_of(names, what))


def all_of(names: Collection[str], what: str) -> str:
    """Give all names, or say what lists them where they are many."""
    return f"one of {', '.join(names)}" if len(names) <= FEW else list_of(what)


def meant_sign(word: str, vocabulary: Vocabulary) -> str:
    """Say which sign was perhaps meant: by its id, else by the words of its question."""
    near = near_signs(word, vocabulary)
    return asked(near) or meant(word, vocabulary.signs, "signs")


def near_signs(word: str, vocabulary: Vocabulary, *, most: int = 3) -> tuple[str, ...]:
    """Give the signs nearest to a word, best first; empty where none is near."""
    if near := close_matches(word, vocabulary.signs, most=most):
        return near
    typed = set(_WORDS.findall(word.lower()[:80])) - _SMALL
    if not typed:
        return ()
    own = {sign.id: _words_of(sign.id) for sign in vocabulary.signs.values()}
    said = {sign.id: _words_of(sign.ask, *sign.lay) for sign in vocabulary.signs.values()}
    every = set().union(*own.values(), *said.values())
    alike = {near for one in typed for near in _alike(one, every)}
    counts = Counter(one for id in own for one in own[id] | said[id] if one in alike)
    telling = {one: 1 / count for one, count in counts.items() if count <= MOST_SIGNS}
    scores = Counter({id: _score(telling, own[id], said[id]) for id in own})
    best = max(scores.values(), default=0)
    return tuple(id for id, score in scores.most_common(most) if score and score == best)


def _alike(word: str, every: set[str]) -> list[str]:
    """Give the words that one may stand for: one and many, else the nearest in spelling."""
    import difflib  # only a wrong name pays for it

    same = [one for one in (word, f"{word}s", word.removesuffix("s")) if one in every]
    return same or difflib.get_close_matches(word, every, 1, NEAR)


def _score(telling: Mapping[str, float], own: set[str], said: set[str]) -> float:
    return sum(rate * (1 + (one in own)) for one, rate in telling.items() if one in own | said)


def _words_of(*texts: str) -> set[str]:
    return set(_WORDS.findall(" ".join(texts).lower())) - _SMALL


def meant_reading(word: str) -> str:
    """Say which reading was perhaps meant: by its name, else by its unit or quantity."""
    typed = word.strip().lower()
    plain = typed.removesuffix("s")
    fits = [
        name
        for name, kind in READS.items()
        if plain and (plain in (kind.name.removesuffix("s"), kind.unit.lower(), kind.word)
                      or (len(plain) > 3 and plain in WORDS[name].lower()))
    ]  # fmt: skip
    near = close_matches(typed, READS) or tuple(fits[:4])
    return asked(near, f"one of {', '.join(READS)}")


def meant_how_often(word: str) -> str:
    """Say which word for how often was perhaps meant; else all of them."""
    ordinary = _ORDINARY.get(word.strip().lower())
    if ordinary:
        return asked([ordinary])
    return did_you_mean(word, HOW_OFTEN, otherwise=f"one of {', '.join(HOW_OFTEN)}")
