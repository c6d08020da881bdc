"""What is believed about a unit before anything is looked at: from the book and the shop's counts.

Within a unit and what it contains, the faults are exclusive hypotheses; the last hypothesis is
that the fault is not in this book, whose signs come at their background rates.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from fixbook.api import SHARES, Counts, Entry, Sign, Vocabulary, likelihoods

from .arithmetic import doubts, expected_rates, information, shares

STRENGTH = 10.0
"""For so many jobs of a fault the book's word about a sign stands."""
UNLISTED = 0.1
"""The weight of 'not in this book', as a part of the weights of all listed faults together.

Common practice, no source; the shop's own count of such jobs is added to it."""
LEAST_UNLISTED = float(SHARES["rare"])
"""That weight is never below a rare fault's: a book with one write-up knows little of a unit."""
LEAST = 0.001
"""No answer is held to be rarer than this, whatever a file says: it could never be unlearnt."""


@dataclass(frozen=True, slots=True)
class Question:
    """A sign as the model knows it."""

    sign: Sign
    table: tuple[tuple[float, ...], ...]
    """For each answer, in the sign's order, its chance under each hypothesis."""
    doubt: tuple[float, ...]
    """Under each hypothesis the entropy of its answers, in bits."""
    tells: float
    """Bits it is expected to tell before anything is known; ranks signs that say the same."""
    same: frozenset[str] = frozenset()
    """Ids of the signs that say the same thing."""

    @property
    def id(self) -> str:
        """The id of its sign."""
        return self.sign.id

    def row(self, answer: str) -> tuple[float, ...]:
        """Give an answer's chance under each hypothesis; ValueError for one that is none."""
        return self.table[self.sign.answers.index(answer)]


class CountedSign(NamedTuple):
    """How often one of the shop's faults gave an answer, beside what the book says of it."""

    fault: str
    sign: str
    answer: str
    jobs: int
    """Jobs that gave this answer."""
    whole: int
    """Jobs in which the sign was looked at."""
    book: float
    """The book's rate of the answer."""


@dataclass(frozen=True)
class Model:
    """The hypotheses and the questions that tell them apart."""

    unit: str
    faults: tuple[Entry, ...]
    prior: tuple[float, ...]
    """For each fault, and last for 'not in this book'."""
    questions: Mapping[str, Question]
    weight: float = 0.0
    """For how many jobs the book's shares stand."""
    seen: tuple[int, ...] = ()
    """For each fault how many of the shop's jobs had it."""
    jobs: int = 0
    """How many of the shop's own jobs are counted in."""
    counted_signs: tuple[CountedSign, ...] = ()
    """What the shop has counted of signs."""
    notes: tuple[str, ...] = ()
    """What of the shop's counts does not fit the book."""

    @cached_property
    def ranked(self) -> tuple[str, ...]:
        """The questions' ids, the one that tells most first."""
        return tuple(sorted(self.questions, key=lambda id: (-self.questions[id].tells, id)))


def faults_of(entries: Iterable[Entry], vocabulary: Vocabulary, unit: str) -> list[Entry]:
    """Give the faults of a unit and of what it contains, by id; withdrawn ones are left out."""
    inside = vocabulary.unit_and_contents(unit)
    found = (
        one
        for one in entries
        if one.kind == "fault" and one.state != "withdrawn" and one.unit in inside
    )
    return sorted(found, key=lambda one: (inside.index(one.unit), one.id))


def build_model(
    unit: str, faults: Sequence[Entry], vocabulary: Vocabulary, counts: Counts | None = None
) -> Model:
    """Make the model of a unit from its faults and what the shop has counted."""
    known = counts or Counts()
    ids = {one.id for one in faults}
    weights = [SHARES.get(one.share, SHARES["occasional"]) for one in faults]
    counted = [max(0, known.faults.get(one.id, 0)) for one in faults]
    unlisted = max(UNLISTED * sum(weights), LEAST_UNLISTED) + max(0, known.unlisted)
    names = dict.fromkeys(
        name for one in faults for name in (*one.signs, *known.answers.get(one.id, ()))
    )
    prior = shares([*(a + b for a, b in zip(weights, counted, strict=True)), unlisted])
    questions = {
        name: _question(vocabulary.signs[name], faults, known, prior)
        for name in names
        if name in vocabulary.signs and len(vocabulary.signs[name].background) > 1
    }
    return Model(
        unit=unit,
        faults=tuple(faults),
        prior=prior,
        questions=_with_same(questions),
        weight=sum(weights),
        seen=tuple(counted),
        jobs=sum(counted) + max(0, known.unlisted),
        counted_signs=tuple(_counted_signs(faults, known, vocabulary)),
        notes=tuple(misfits(known, ids, vocabulary)),
    )


def misfits(counts: Counts, faults: Iterable[str], vocabulary: Vocabulary) -> list[str]:
    """Say what the shop has counted that the book knows nothing of, and that it is left out."""
    known = set(faults)
    strange = sorted({*counts.faults, *counts.answers} - known)
    said = []
    if strange:
        jobs = sum(counts.faults.get(one, 0) for one in strange)
        said.append(
            f"{jobs} counted jobs are left out: their faults are no write-ups of this unit"
            f" ({_few(strange)})"
        )
    wrong = sorted(
        {
            sign if sign not in vocabulary.signs else f"{sign}={answer}"
            for fault in known & set(counts.answers)
            for sign, answers in counts.answers[fault].items()
            for answer in answers
            if sign not in vocabulary.signs or answer not in vocabulary.signs[sign].background
        }
    )
    if wrong:
        said.append(
            f"counted answers are left out that the vocabulary does not have: {_few(wrong)}"
        )
    return said


def _counted_signs(
    faults: Sequence[Entry], counts: Counts, vocabulary: Vocabulary
) -> Iterator[CountedSign]:
    """Give the first answer of each sign that was counted: with two answers it says it all."""
    for fault in faults:
        for name, answers in counts.answers.get(fault.id, {}).items():
            sign = vocabulary.signs.get(name)
            if sign is None:
                continue
            said = {answer: max(0, answers.get(answer, 0)) for answer in sign.answers}
            book = likelihoods(fault, sign)
            for answer in sign.answers[:1] if len(sign.answers) == 2 else sign.answers:
                whole = sum(said.values())
                yield CountedSign(fault.id, name, answer, said[answer], whole, book[answer])


def _few(names: Sequence[str]) -> str:
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    return ", ".join(names[:3]) + more


def _question(
    sign: Sign, faults: Sequence[Entry], counts: Counts, prior: Sequence[float]
) -> Question:
    columns = []
    for fault in faults:
        counted = counts.answers.get(fault.id, {}).get(sign.id, {})
        seen = {answer: max(0, counted.get(answer, 0)) for answer in sign.answers}
        columns.append(_kept_possible(expected_rates(likelihoods(fault, sign), seen, STRENGTH)))
    columns.append(_kept_possible(sign.background))
    table = tuple(tuple(column[answer] for column in columns) for answer in sign.answers)
    doubt = doubts(table)
    return Question(sign, table, doubt, information(prior, table, doubt))


def _kept_possible(rates: Mapping[str, float]) -> dict[str, float]:
    if min(rates.values()) >= LEAST and math.isclose(math.fsum(rates.values()), 1.0, abs_tol=1e-12):
        return dict(rates)
    return dict(zip(rates, shares([max(LEAST, one) for one in rates.values()]), strict=True))


def _with_same(questions: Mapping[str, Question]) -> dict[str, Question]:
    """Let it hold both ways that a sign says the same as another."""
    same: dict[str, set[str]] = {name: set() for name in questions}
    for name, question in questions.items():
        for other in question.sign.says_the_same_as:
            if other in same and other != name:
                same[name].add(other)
                same[other].add(name)
    return {
        name: replace(question, same=frozenset(same[name])) for name, question in questions.items()
    }
