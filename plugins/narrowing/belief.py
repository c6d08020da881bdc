"""What is believed after some answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .arithmetic import posterior
from .model import Model

NOT_CHECKED = "not-checked"


@dataclass(frozen=True, slots=True)
class Belief:
    """The chances of the faults, given answers."""

    model: Model
    answers: Mapping[str, str]
    """By sign, in the order they were given; `not-checked` changes nothing."""
    chances: tuple[float, ...]
    """For each fault of the model, and last for 'not in this book'."""
    counted: frozenset[str]
    """The signs whose answers count; of two that say the same only the more telling one."""

    @property
    def unlisted(self) -> float:
        """The chance that the fault is not in this book."""
        return self.chances[-1]

    @property
    def order(self) -> list[int]:
        """The places of the faults, the likeliest first."""
        listed = range(len(self.model.faults))
        return sorted(listed, key=lambda at: (-self.chances[at], at))


def believe(model: Model, answers: Mapping[str, str]) -> Belief:
    """Give what is believed after answers, in whatever order they came."""
    counted = counted_signs(model, answers)
    return Belief(model, dict(answers), _chances(model, answers, counted), counted)


def counted_signs(model: Model, answers: Mapping[str, str]) -> frozenset[str]:
    """Give the answered signs that count: of signs that say the same, the more telling one.

    Which one that is depends on the model alone, never on what was answered or when.
    """
    kept: set[str] = set()
    for name in model.ranked:
        said = answers.get(name, NOT_CHECKED)
        if said in model.questions[name].sign.background and not model.questions[name].same & kept:
            kept.add(name)
    return frozenset(kept)


def without(belief: Belief, signs: frozenset[str]) -> tuple[float, ...]:
    """Give the chances as if these signs had not been looked at."""
    return _chances(belief.model, belief.answers, belief.counted - signs)


def _chances(
    model: Model, answers: Mapping[str, str], counted: frozenset[str]
) -> tuple[float, ...]:
    rows = (model.questions[name].row(answers[name]) for name in sorted(counted))
    return posterior(model.prior, rows)
