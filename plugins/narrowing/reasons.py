"""Why a chance is what it is: what speaks for a fault, what against, and what does not fit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from .arithmetic import chance
from .belief import Belief, believe, without
from .model import Model, Question

SPEAKS = 1.25
"""An answer so many times as likely with a fault as in general speaks for it; and the other way."""
UNFIT = 0.15
"""An answer less likely than this with a fault does not fit it, if it is rarer than in general."""
NOTABLE = 0.25
"""From this chance on, 'not in this book' is said aloud."""
LIFTS = 2.0
"""An answer lifts 'not in this book' if it makes the odds of that so many times as high."""
DIFFERS = 0.4
"""So far the shop's own rate must be from the book's word to be said."""
JOBS_TO_DIFFER = 5


class Speaks(NamedTuple):
    """What one answer says about one fault."""

    sign: str
    answer: str
    with_fault: float
    """The chance of the answer on a unit with the fault."""
    in_general: float
    """The chance of the answer on any unit of the kind."""

    @property
    def times(self) -> float:
        """How many times as likely the answer is with the fault."""
        return self.with_fault / self.in_general

    def __str__(self) -> str:
        if self.times >= SPEAKS:
            how = "speaks for it"
        elif self.with_fault < UNFIT and self.times < 1 / SPEAKS:
            how = "does not fit"
        else:
            how = "speaks against it" if self.times <= 1 / SPEAKS else "says little"
        rates = f"{percent(self.with_fault)} with it, {percent(self.in_general)} in general"
        return f"{self.sign} {spoken(self.answer)}: {how} ({rates})"


def because(belief: Belief, at: int) -> list[str]:
    """Give in sentences what a fault's chance rests on: its share, then each answer that counts."""
    return [starting_point(belief.model, at), *map(str, speaking(belief, at))]


def starting_point(model: Model, at: int) -> str:
    """Say how common a fault is in the book and in this shop."""
    fault = model.faults[at]
    here = f"{model.seen[at]} of {model.jobs} jobs counted here" if model.jobs else "no jobs here"
    return f"{fault.share} in the book, {here}: {percent(model.prior[at])} before any answer"


def speaking(belief: Belief, at: int) -> list[Speaks]:
    """Give what the counted answers say about a fault, the strongest first."""
    found = []
    for name in sorted(belief.counted):
        row = belief.model.questions[name].row(belief.answers[name])
        any_unit = chance(belief.model.prior, row)
        found.append(Speaks(name, belief.answers[name], row[at], any_unit))
    return sorted(found, key=lambda one: -max(one.times, 1 / one.times))


def unfit_answers(belief: Belief) -> list[str]:
    """Say which answers do not fit: the likeliest fault, or, where it is likely that the fault is
    not in this book, all the faults together."""
    if not belief.counted or not belief.model.faults:
        return []
    if belief.unlisted >= NOTABLE and belief.unlisted > 2 * belief.model.prior[-1]:
        lifting = [
            f"{name} {spoken(belief.answers[name])}"
            for name in sorted(belief.counted)
            if _odds(belief.unlisted) >= LIFTS * _odds(without(belief, frozenset((name,)))[-1])
        ]
        if lifting:
            return [f"No fault of this book fits well; what fits least: {', '.join(lifting)}."]
        return ["No fault of this book fits all the answers well."]
    first = belief.order[0]
    unfit = [
        one for one in speaking(belief, first) if one.with_fault < UNFIT and one.times < 1 / SPEAKS
    ]
    title = belief.model.faults[first].id
    return [
        f"{one.sign} {spoken(one.answer)} does not fit {title}:"
        f" {percent(one.with_fault)} of such units."
        for one in unfit
    ]


def _odds(chance: float) -> float:
    return chance / max(1.0 - chance, 1e-300)


def footing(model: Model) -> str:
    """Say whether the chances lean on the book or on this shop's jobs."""
    if not model.jobs:
        return "No jobs of this unit are counted yet: the chances are the book's."
    jobs = f"{model.jobs} job{'s' if model.jobs != 1 else ''} of this unit"
    weight = round(model.weight)
    if model.jobs < model.weight:
        return f"{jobs} counted: the chances still lean on the book, which stands for {weight}."
    return f"{jobs} counted; the book stands for {weight}."


def disagreements(model: Model) -> list[str]:
    """Say where the shop's own counts of a sign are far from the book's word."""
    return [
        f"{fault}: {sign} {spoken(answer)} in {jobs} of {whole} jobs here;"
        f" the book says {percent(book)}."
        for fault, sign, answer, jobs, whole, book in model.counted_signs
        if whole >= JOBS_TO_DIFFER and abs(jobs / whole - book) >= DIFFERS
    ]


def changes(belief: Belief, question: Question) -> Iterator[tuple[str, float, Belief]]:
    """Give for each answer of a check how likely it is, and what would be believed after it."""
    base = without(belief, question.same)
    for answer, row in zip(question.sign.answers, question.table, strict=True):
        after = believe(belief.model, {**belief.answers, question.id: answer})
        yield answer, chance(base, row), after


def percent(share: float) -> str:
    """Write a chance so that neither 0 nor 100 % is ever said.

    >>> percent(0.004), percent(0.3149), percent(0.9999)
    ('under 1 %', '31 %', 'over 99 %')
    """
    if share < 0.01:
        return "under 1 %"
    if share > 0.99:
        return "over 99 %"
    return f"{share * 100:.0f} %"


def spoken(answer: str) -> str:
    """Write an answer as a person says it."""
    return answer.replace("-", " ")
