"""Which check next: the most expected information per minute, safety and the customer first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .arithmetic import chance, entropy, information, posterior
from .belief import Belief, counted_signs, without
from .model import Question

SURE = 0.9
"""At this chance of one hypothesis the checking stops."""
LEAST_GAIN = 0.02
"""Bits below which a check is not worth the time."""
ENOUGH_GAIN = 0.05
"""Bits that a safe check must promise to keep hazardous ones out, and a question to the customer
to come before a check at the bench."""
NEAR = 0.5
"""A check with at least this part of the best one's bits per minute is a near rival of it."""


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

    Where few faults and checks are left, those that come near the best are played out to the
    end, and the one with the least expected time goes first.
    """
    if is_sure(belief):
        return []
    open_checks = gains(belief)
    offered = rank(open_checks)
    if len(offered) < 2:
        return offered
    from .ahead import play_out

    first = play_out(belief, open_checks, rivals(offered))
    return [first, *(check for check in offered if check is not first)]


def rank(checks: Iterable[Check]) -> list[Check]:
    """Put checks in the order of their bits per minute; leave out what is not to be offered.

    While a safe check gains enough, no hazardous one is offered. Questions to the customer that
    tell enough, and come near the best, stand before the rest.
    """
    worth = [check for check in checks if check.gain >= LEAST_GAIN]
    safe = [check for check in worth if not check.hazards]
    if any(check.gain >= ENOUGH_GAIN for check in safe):
        worth = safe
    best = max((check.rate for check in worth), default=0.0)
    return sorted(
        worth, key=lambda check: (not _asks_first(check, best), -check.rate, check.question.id)
    )


def rivals(offered: list[Check]) -> list[Check]:
    """Give the first of ranked checks, and those that come near it and stand where it stands."""
    best = max(check.rate for check in offered)
    asks = _asks_first(offered[0], best)
    return [
        check
        for check in offered
        if check.rate >= NEAR * offered[0].rate and _asks_first(check, best) == asks
    ]


def _asks_first(check: Check, best: float) -> bool:
    tells = check.gain >= ENOUGH_GAIN and check.rate >= NEAR * best
    return tells and check.question.sign.customer and not check.hazards


def gains(belief: Belief) -> list[Check]:
    """Give what each sign that is still open would tell, in the model's order."""
    known = entropy(belief.chances)
    return [
        Check(question, _gain(belief, question, known))
        for name, question in belief.model.questions.items()
        if name not in belief.answers
    ]


def _gain(belief: Belief, question: Question, known: float) -> float:
    if question.same & belief.counted:
        return _gain_instead(belief, question, known)
    return information(belief.chances, question.table, question.doubt)


def _gain_instead(belief: Belief, question: Question, known: float) -> float:
    """Give the gain of a sign that says the same as one that was answered: it replaces it."""
    kept = counted_signs(belief.model, {**belief.answers, question.id: question.sign.answers[0]})
    if question.id not in kept:
        return 0.0
    base = without(belief, belief.counted - kept)
    after = sum(chance(base, row) * entropy(posterior(base, [row])) for row in question.table)
    return max(0.0, known - after)
