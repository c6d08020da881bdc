"""Which check next: the most expected information per minute, safety first."""

from __future__ import annotations

from dataclasses import dataclass

from .arithmetic import chance, entropy, information, posterior
from .belief import Belief, counted_signs, without
from .model import Question

SURE = 0.9
"""At this chance of one hypothesis the checking stops."""
LEAST_GAIN = 0.02
"""Bits below which a check is not worth the time."""
ENOUGH_GAIN = 0.05
"""Bits that a safe check must promise to keep hazardous ones out."""


@dataclass(frozen=True, slots=True)
class Check:
    """A sign that could be looked at next."""

    question: Question
    gain: float
    """Bits it is expected to tell."""

    @property
    def minutes(self) -> float:
        """How long it takes."""
        return self.question.sign.minutes

    @property
    def hazards(self) -> tuple[str, ...]:
        """What it can hurt with."""
        return self.question.sign.hazards

    @property
    def rate(self) -> float:
        """Bits per minute."""
        return self.gain / self.minutes


def is_sure(belief: Belief) -> bool:
    """Say whether one hypothesis is likely enough to stop."""
    return max(belief.chances) >= SURE


def next_checks(belief: Belief) -> list[Check]:
    """Give the checks worth offering, the best first; empty at the stop.

    While a safe check gains enough, no hazardous one is offered. Questions to the customer come
    first where they tell enough.
    """
    if is_sure(belief):
        return []
    worth = [check for check in gains(belief) if check.gain >= LEAST_GAIN]
    safe = [check for check in worth if not check.hazards]
    if any(check.gain >= ENOUGH_GAIN for check in safe):
        worth = safe
    return sorted(worth, key=lambda check: (-check.rate, check.question.id))


def gains(belief: Belief) -> list[Check]:
    """Give what each sign that is still open would tell, in the model's order."""
    model = belief.model
    known = entropy(belief.chances)
    found = []
    for name, question in model.questions.items():
        if name in belief.answers:
            continue
        said = question.same & belief.counted
        if not said:
            rows = tuple(question.rows.values())
            gain = information(belief.chances, rows, question.doubt)
        else:
            gain = _gain_instead(belief, question, known)
        found.append(Check(question, gain))
    return found


def _gain_instead(belief: Belief, question: Question, known: float) -> float:
    """Give the gain of a sign that says the same as one that was answered: it replaces it."""
    kept = counted_signs(belief.model, {**belief.answers, question.id: question.sign.answers[0]})
    if question.id not in kept:
        return 0.0
    base = without(belief, belief.counted - kept)
    after = sum(
        chance(base, row) * entropy(posterior(base, [row])) for row in question.rows.values()
    )
    return max(0.0, known - after)
