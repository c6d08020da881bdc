"""A shop's own words for outcomes, stages and units, and what they mean here.

The words that are known from the start are common practice, no source; a book remembers more.
"""

from __future__ import annotations

from collections.abc import Mapping

from fixbook.api import Vocabulary

from .cells import folded
from .job import OUTCOMES, STAGES

_OUTCOMES = {
    "fixed": (
        "repaired", "done", "ok", "okay", "good", "working", "works", "complete", "completed",
        "solved", "success", "successful", "mended", "cured", "repair complete", "fixed ok",
        "repaired ok", "resolved",
    ),
    "improved": ("partly", "partial", "partially fixed", "better", "partly fixed", "usable"),
    "not-fixed": (
        "failed", "unfixed", "unrepaired", "could not fix", "could not repair", "no fix",
        "unsuccessful", "not repaired", "unrepairable", "not repairable", "no success",
        "cannot repair",
    ),
    "no-fault-found": (
        "nff", "ntf", "npf", "cnd", "no fault", "no trouble found", "no problem found",
        "could not duplicate", "tested ok", "no defect found",
    ),
    "uneconomic": (
        "ber", "beyond economic repair", "beyond economical repair", "scrap", "scrapped",
        "write off", "written off", "uneconomical", "not economical", "not worth it", "too expensive",
    ),
    "declined": (
        "refused", "customer declined", "quote declined", "quote refused", "estimate declined",
        "cancelled", "canceled", "rejected", "no go ahead",
    ),
}  # fmt: skip
_STAGES = {
    "booked-in": ("new", "open", "received", "in", "intake", "queued", "waiting", "pending"),
    "quoting": ("quote", "estimate", "estimating", "diagnosis", "diagnosing"),
    "waiting-for-yes": (
        "awaiting approval", "waiting for approval", "quoted", "waiting for customer",
        "awaiting customer", "awaiting go ahead",
    ),
    "waiting-for-parts": ("awaiting parts", "parts ordered", "parts on order", "parts", "on order"),
    "on-bench": ("in progress", "wip", "in work", "working on", "started", "bench"),
    "on-test": ("test", "testing", "soak", "soak test", "in test"),
    "ready": ("ready for collection", "ready for pickup", "awaiting collection", "finished"),
    "handed-over": (
        "closed", "collected", "returned", "delivered", "picked up", "shipped", "out", "gone",
        "returned to customer", "invoiced", "paid",
    ),
}  # fmt: skip


def _by_word(known: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    return {folded(word): name for name, words in known.items() for word in (name, *words)}


OUTCOME_WORDS = _by_word(_OUTCOMES)
STAGE_WORDS = _by_word(_STAGES)


class ShopWords:
    """What the words of a shop mean: those known from the start, and those it has said."""

    def __init__(self, vocabulary: Vocabulary, said: Mapping[str, str], units: Mapping[str, str]):
        self.said = {folded(word): meaning for word, meaning in said.items()}
        """The shop's words for outcomes and stages."""
        self.said_units = {folded(word): unit for word, unit in units.items()}
        self.unknown: dict[str, int] = {}
        """Words for an outcome that nobody has explained, and how often they came."""
        self.unknown_units: dict[str, int] = {}
        self._units: dict[str, str] = {}
        self._folded: dict[str, str] = {}
        for id, unit in vocabulary.units.items():
            for word in (id, unit.name, *unit.aliases):
                self._units.setdefault(folded(word), id)

    def say(self, word: str, meaning: str) -> None:
        """Remember what a word means: an outcome, a stage, or `nothing`."""
        self.said[folded(word)] = meaning
        self.unknown.pop(word, None)

    def end(self, text: str, *, stage_first: bool = False) -> tuple[str, str] | None:
        """Give the outcome and stage that a word says, either of them empty; None if unknown."""
        word = self._fold(text)
        said = self.said.get(word)
        if said is not None:
            return (said if said in OUTCOMES else ""), (said if said in STAGES else "")
        outcome, stage = OUTCOME_WORDS.get(word, ""), STAGE_WORDS.get(word, "")
        if outcome and stage:
            outcome, stage = ("", stage) if stage_first else (outcome, "")
        return (outcome, stage) if outcome or stage else None

    def unit(self, text: str) -> str:
        """Give the unit that a word means; the word itself where the book has none such."""
        word = self._fold(text)
        tries = (word, word.removesuffix("s"), word.removesuffix("es"))
        for one in tries:
            if one in self.said_units:
                return self.said_units[one]
            if one in self._units:
                return self._units[one]
        if word:
            self.unknown_units[text] = self.unknown_units.get(text, 0) + 1
        return text

    def _fold(self, text: str) -> str:
        """Bring a word to the form in which they are compared; the same words come over and over."""
        if text not in self._folded:
            if len(self._folded) > 10_000:
                self._folded.clear()
            self._folded[text] = folded(text)
        return self._folded[text]
