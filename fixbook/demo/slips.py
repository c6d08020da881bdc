"""Slips of the keyboard, as they stand in every shop's lists."""

from __future__ import annotations

from random import Random

_BESIDE = {
    "a": "sq", "b": "vn", "c": "xv", "d": "sf", "e": "wr", "f": "dg", "g": "fh", "h": "gj",
    "i": "uo", "k": "jl", "l": "k", "m": "n", "n": "bm", "o": "ip", "p": "o", "r": "et",
    "s": "ad", "t": "ry", "u": "yi", "v": "cb", "w": "qe", "y": "tu",
}  # fmt: skip
_SHORT = {"channel": "ch", "volume": "vol", "replaced": "repl", "capacitor": "cap", "with": "w/"}
SHORTEST = 4
"""Letters below which a word is typed right."""


def slipped(random: Random, text: str, rate: float) -> str:
    """Type a text with slips: about `rate` of its longer words, letters only."""
    return " ".join(
        _slip(random, word) if len(word) > SHORTEST and word.isalpha() and random.random() < rate
        else word
        for word in text.split(" ")
    )  # fmt: skip


def _slip(random: Random, word: str) -> str:
    if word in _SHORT:
        return _SHORT[word]
    at = random.randrange(1, len(word) - 1)
    kind = random.randrange(4)
    if kind == 0:  # two letters changed about
        return word[:at] + word[at + 1] + word[at] + word[at + 2 :]
    if kind == 1:
        return word[:at] + word[at + 1 :]
    if kind == 2:
        return word[: at + 1] + word[at:]
    near = _BESIDE.get(word[at], word[at])
    return word[:at] + random.choice(near) + word[at + 1 :]
