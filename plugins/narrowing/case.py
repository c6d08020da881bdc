"""A narrowing as it stands: the model, the answers in their order, what is asked next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from .belief import NOT_CHECKED, Belief, believe
from .choosing import LEAST_GAIN, Check, gains, is_sure, next_checks
from .complaint import Proposal
from .model import Model
from .reasons import because


@dataclass(frozen=True, slots=True)
class Case:
    """One unit on the bench. Nothing in it changes; each answer makes a new one."""

    model: Model
    answers: tuple[tuple[str, str], ...] = ()
    """Sign and answer, in the order they were given."""
    proposals: tuple[Proposal, ...] = ()
    """Signs that the complaint may mean; asked first, never assumed."""

    @property
    def belief(self) -> Belief:
        """What is believed after the answers."""
        return believe(self.model, dict(self.answers))

    @property
    def found(self) -> tuple[tuple[str, str], ...]:
        """The answers of what was really looked at."""
        return tuple(pair for pair in self.answers if pair[1] != NOT_CHECKED)

    def with_answer(self, sign: str, answer: str) -> Case:
        """Give the case with one more answer; an earlier one of the same sign gives way."""
        kept = tuple(pair for pair in self.answers if pair[0] != sign)
        return replace(self, answers=(*kept, (sign, answer)))

    def back(self) -> Case:
        """Give the case before the last answer."""
        return replace(self, answers=self.answers[:-1])

    def proposal(self, sign: str) -> Proposal | None:
        """Give what in the complaint stands for a sign, if anything does."""
        return next((one for one in self.proposals if one.sign == sign), None)


@dataclass(frozen=True, slots=True)
class Standing:
    """What follows from a case: the belief, and the checks in the order they are asked."""

    case: Case
    belief: Belief
    checks: tuple[Check, ...]
    """Empty at the stop."""
    sure: bool
    """Whether it stopped because one hypothesis is likely enough."""

    @property
    def stop(self) -> bool:
        """Whether there is nothing more to ask."""
        return not self.checks


def stand(case: Case) -> Standing:
    """Work out where a case stands. Signs of the complaint are asked first, if they are safe and
    tell something; then what tells most in a minute."""
    belief = case.belief
    if is_sure(belief):
        return Standing(case, belief, (), True)
    checks = next_checks(belief)
    order = {one.sign: place for place, one in enumerate(case.proposals)}
    open_checks = {check.question.id: check for check in gains(belief)} if order else {}
    said = [
        open_checks[sign]
        for sign in order
        if sign in open_checks
        and open_checks[sign].gain >= LEAST_GAIN
        and not open_checks[sign].hazards
    ]
    names = {check.question.id for check in said}
    rest = (check for check in checks if check.question.id not in names)
    return Standing(case, belief, (*said, *rest), False)


def path_text(case: Case) -> str:
    """Write the path taken as a line for a job's note."""
    belief = case.belief
    steps = ", ".join(f"{sign}={answer}" for sign, answer in case.found) or "nothing was checked"
    left = [
        f"{belief.model.faults[at].id} {belief.chances[at] * 100:.0f} %" for at in belief.order[:3]
    ]
    left.append(f"not in this book {belief.unlisted * 100:.0f} %")
    return f"Narrowed down ({belief.model.unit}): {steps}. Left: {', '.join(left)}."


def as_json(standing: Standing) -> dict[str, object]:
    """Give a case as `narrow --json` prints it."""
    belief = standing.belief
    return {
        "unit": belief.model.unit,
        "faults": [
            {
                "id": belief.model.faults[at].id,
                "probability": belief.chances[at],
                "because": because(belief, at),
            }
            for at in belief.order
        ],
        "unlisted": belief.unlisted,
        "next": [_check_json(check) for check in standing.checks],
        "stop": standing.stop,
    }


def _check_json(check: Check) -> Mapping[str, object]:
    return {
        "sign": check.question.id,
        "ask": check.question.sign.ask,
        "answers": list(check.question.sign.answers),
        "gain_bits": round(check.gain, 6),
        "minutes": check.minutes,
        "hazards": list(check.hazards),
    }
