"""The exact optimum by dynamic programming, on units cut down until that can be done.

Every order of the checks that narrowing may offer is followed to its end, with narrowing's own
stop and its own rules of safety; each state, a set of answers, is worked out once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from fixbook_plugins.narrowing.ahead import SHEET_MINUTES
from fixbook_plugins.narrowing.belief import believe
from fixbook_plugins.narrowing.choosing import next_checks
from fixbook_plugins.narrowing.model import Model

Answers = dict[str, str]
Key = frozenset[tuple[str, str]]


def cut_down(model: Model, signs: int) -> Model:
    """Keep the signs that tell most for the root of their minutes, so that quick ones and telling
    ones both stay."""
    worth = {name: -one.tells / one.sign.minutes**0.5 for name, one in model.questions.items()}
    kept = sorted(worth, key=lambda name: worth[name])[:signs]
    questions = {
        name: replace(model.questions[name], same=model.questions[name].same & set(kept))
        for name in kept
    }
    return replace(model, questions=questions)


@dataclass
class State:
    """What follows from a set of answers."""

    offered: list[str]
    """The checks that may come next, narrowing's own choice first."""
    in_vain: float
    """Expected minutes in wrong sheets, if the sheets are opened now."""
    chances: tuple[float, ...]
    """Of the listed faults, given that it is one of them."""


class Exact:
    """Expected minutes to the right sheet, worked out without drawing anything."""

    def __init__(self, model: Model, *, sheets: float = 1.0) -> None:
        self.model = model
        self.sheets = sheets
        self._states: dict[Key, State] = {}

    def narrowing(self) -> float:
        """Give the expected minutes of narrowing's own choices."""
        return self._follow({}, {}, lambda costs: costs[0]())

    def optimum(self) -> float:
        """Give the least expected minutes of any order."""
        return self._follow({}, {}, lambda costs: min(cost() for cost in costs))

    def _follow(
        self,
        answers: Answers,
        done: dict[Key, float],
        choose: Callable[[list[Callable[[], float]]], float],
    ) -> float:
        key = frozenset(answers.items())
        if key in done:
            return done[key]
        state = self._state(key, answers)

        def cost(sign: str) -> float:
            question = self.model.questions[sign]
            minutes = question.sign.minutes
            for answer, row in zip(question.sign.answers, question.table, strict=True):
                likely = sum(a * b for a, b in zip(state.chances, row, strict=False))
                if likely > 0:
                    minutes += likely * self._follow({**answers, sign: answer}, done, choose)
            return minutes

        costs = [(lambda sign=sign: cost(sign)) for sign in state.offered]
        done[key] = choose(costs) if costs else self.sheets * state.in_vain
        return done[key]

    def _state(self, key: Key, answers: Answers) -> State:
        if key not in self._states:
            belief = believe(self.model, answers)
            listed = 1.0 - belief.unlisted
            in_vain = spent = 0.0
            for at in belief.order:
                in_vain += belief.chances[at] / listed * spent
                spent += self.model.faults[at].minutes or SHEET_MINUTES
            offered = [check.question.id for check in next_checks(belief)]
            chances = tuple(one / listed for one in belief.chances[:-1])
            self._states[key] = State(offered, in_vain, chances)
        return self._states[key]
