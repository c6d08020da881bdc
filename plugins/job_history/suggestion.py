"""Which write-ups may fit a job: shared signs, model, words and parts, each said.

A score is 1 - (1 - w s)(1 - w s)… over what speaks for an entry, each s from 0 to 1 with its
weight w; the weights are common practice, no source. It orders suggestions and proves nothing.
"""

from __future__ import annotations

import math
import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from fixbook.api import Entry, Vocabulary, likelihoods

from .job import Job, model_key

WEIGHTS = {"signs": 0.7, "words": 0.75, "parts": 0.5, "model": 0.35}
LOWEST = 0.25
"""The score below which nothing is suggested."""
IN_TITLE = 1.5
"""How much more a word of the title tells; common practice, no source."""
SHORTEST = 3
EMPTY = frozenset(
    "the and for with was not but its has had are out from when then than that this after "
    "before into onto over all one two new old off very some any there here job unit".split()
)


@dataclass(frozen=True, slots=True)
class Suggestion:
    """An entry that may fit a job."""

    job: str
    entry: str
    title: str
    score: float
    """0 to 1."""
    reasons: tuple[str, ...]

    def to_json(self) -> dict[str, object]:
        """Give it as plain values."""
        return {
            "job": self.job,
            "entry": self.entry,
            "title": self.title,
            "score": round(self.score, 4),
            "reasons": list(self.reasons),
        }


class Material:
    """The write-ups as suggestions need them: their words, and how telling each word is."""

    def __init__(self, entries: Iterable[Entry], vocabulary: Vocabulary) -> None:
        self._vocabulary = vocabulary
        self._entries = [one for one in entries if one.kind == "fault" and one.state != "withdrawn"]
        self._words = {one.id: _entry_words(one, vocabulary) for one in self._entries}
        self._titles = {one.id: frozenset(stems(one.title)) for one in self._entries}
        self._parts = {
            one.id: stems(" ".join(part.is_ for part in one.parts)) for one in self._entries
        }
        self._by_unit: dict[str, list[Entry]] = defaultdict(list)
        for one in self._entries:
            self._by_unit[one.unit].append(one)
        counts: Counter[str] = Counter()
        for words in self._words.values():
            counts.update(words)
        whole = len(self._entries) + 1
        self._telling = {word: math.log(whole / count) for word, count in counts.items()}

    def suggest(self, job: Job) -> list[Suggestion]:
        """Give the entries that may fit, the best first; those linked already are left out."""
        texts = (job.complaint, job.work, *(note.text for note in job.notes))
        words = stems(" ".join(texts))
        parts = stems(" ".join(part.what for part in job.parts))
        found = [
            one
            for entry in self._candidates(job)
            if entry.id not in job.faults and (one := self._judge(job, entry, words, parts))
        ]
        return sorted(found, key=lambda one: (-one.score, one.entry))

    def _candidates(self, job: Job) -> list[Entry]:
        if job.unit not in self._vocabulary.units:
            return self._entries
        inside = self._vocabulary.unit_and_contents(job.unit)
        return [entry for unit in inside for entry in self._by_unit.get(unit, ())]

    def _judge(
        self, job: Job, entry: Entry, words: Mapping[str, str], parts: Mapping[str, str]
    ) -> Suggestion | None:
        models = {model_key(one) for one in entry.models}
        if models and job.model and model_key(job.model) not in models:
            return None
        strength: dict[str, float] = {}
        reasons: list[str] = []
        bits, signs = shared_signs(job.signs, entry, self._vocabulary)
        if bits > 0:
            strength["signs"] = 1 - 2**-bits
            reasons.append(f"signs: {', '.join(signs)}")
        elif bits < 0:
            strength["against"] = 1 - 2**bits
        shared = self._shared_words(words, entry.id)
        if shared:
            whole = sum(self._telling.get(one, 0.0) for one in words)
            share = min(1.0, sum(shared.values()) / whole)
            enough = 1 - math.exp(-sum(shared.values()) / 6)
            strength["words"] = math.sqrt(share * enough)
            best = sorted(shared, key=lambda one: -shared[one])[:6]
            reasons.append(f"words: {', '.join(words[one] for one in best)}")
        if models and job.model:
            strength["model"] = 1.0
            reasons.append(f"model: {job.model}")
        same = [one for one in parts if one in self._parts[entry.id]]
        if same:
            strength["parts"] = len(same) / len(parts)
            reasons.append(f"parts: {', '.join(parts[one] for one in same)}")
        score = 1 - math.prod(1 - WEIGHTS[name] * strength.get(name, 0.0) for name in WEIGHTS)
        score *= 1 - strength.get("against", 0.0)
        if score < LOWEST:
            return None
        return Suggestion(job.number, entry.id, entry.title, score, tuple(reasons))

    def _shared_words(self, words: Iterable[str], entry: str) -> dict[str, float]:
        there, title = self._words[entry], self._titles[entry]
        return {
            word: self._telling[word] * (IN_TITLE if word in title else 1)
            for word in words
            if word in there
        }


def shared_signs(
    signs: Mapping[str, str], entry: Entry, vocabulary: Vocabulary
) -> tuple[float, list[str]]:
    """Give how many bits a job's signs speak for an entry, and those that do speak for it."""
    bits = 0.0
    speaking = []
    for name, answer in signs.items():
        sign = vocabulary.signs.get(name)
        if sign is None or name not in entry.signs or answer not in sign.background:
            continue
        of_fault, of_any = likelihoods(entry, sign)[answer], sign.background[answer]
        if of_fault > 0 and of_any > 0:
            gained = math.log2(of_fault / of_any)
            bits += gained
            if gained > 0:
                speaking.append(name if answer == "seen" else f"{name} {answer}")
    return bits, speaking


def stems(text: str) -> dict[str, str]:
    """Give the stems of a text's telling words, each with the word: humming and hums to hum."""
    found = re.findall(r"[^\W_]+", text.lower())
    telling = (word for word in found if len(word) >= SHORTEST and word not in EMPTY)
    return {_stem(word): word for word in reversed(list(telling))}


def _stem(word: str) -> str:
    for ending in ("ing", "ed", "es", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= SHORTEST:
            stem = word[: -len(ending)]
            return stem[:-1] if len(stem) > SHORTEST and stem[-1] == stem[-2] else stem
    return word[:-1] if word.endswith("e") and len(word) > SHORTEST else word


def _entry_words(entry: Entry, vocabulary: Vocabulary) -> frozenset[str]:
    lay = (
        " ".join((sign.replace("-", " "), *vocabulary.signs[sign].lay))
        for sign in entry.signs
        if sign in vocabulary.signs
    )
    parts = (f"{part.is_} {part.value}" for part in entry.parts)
    return frozenset(stems(" ".join((entry.title, entry.section, *lay, *parts, entry.body))))
