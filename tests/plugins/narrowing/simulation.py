"""Made-up jobs: a fault drawn from a shop's true rates, its signs, and what finding it costs.

What a job costs is the minutes of the checks, and of the sheets opened in vain: after the checks
the sheets are opened, the likeliest first, until the right one; a wrong one costs what its
write-up says the work takes. Every way of choosing has the same stop and the same complaint.
"""

from __future__ import annotations

import math
import random
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from fixbook_plugins.narrowing.ahead import SHEET_MINUTES
from fixbook_plugins.narrowing.belief import Belief, believe
from fixbook_plugins.narrowing.choosing import gains, is_sure, next_checks, rank
from fixbook_plugins.narrowing.model import Model, build_model, faults_of

from fixbook.api import Counts, Entry, Vocabulary
from fixbook.app.bench import LibraryBench
from fixbook.app.folders import user_folders
from fixbook.app.library import Library
from fixbook.settings import find_book

Answers = dict[str, str]
Choose = Callable[["Player", Answers], str | None]
"""Gives the next sign to look at; None to stop."""


@cache
def starter_book() -> tuple[list[Entry], Vocabulary]:
    """Read the starter book, with a cache of its own."""
    with tempfile.TemporaryDirectory(prefix="fixbook-simulation-") as cache:
        folders = user_folders()._replace(cache=Path(cache))
        bench = LibraryBench(Library(find_book(None, {}, Path("/"), folders.data), folders))
        return [one for one in bench.entries() if one.kind == "fault"], bench.vocabulary


def starter_models() -> dict[str, Model]:
    """Give the model of every unit of the starter book that has faults."""
    entries, words = starter_book()
    found = {unit: faults_of(entries, words, unit) for unit in words.units}
    return {unit: build_model(unit, faults, words) for unit, faults in found.items() if faults}


@dataclass
class Shop:
    """True rates: of each fault, and of each answer under each hypothesis of the model."""

    prior: Sequence[float]
    rates: Mapping[str, Sequence[Mapping[str, float]]]
    """By sign, for each hypothesis."""

    def draw_fault(self, rng: random.Random, *, unlisted: bool = False) -> int:
        """Draw a fault; the last hypothesis only where it is wanted."""
        weights = self.prior if unlisted else self.prior[:-1]
        return rng.choices(range(len(weights)), weights)[0]


def shop_like(model: Model) -> Shop:
    """Give a shop whose rates are the model's."""
    rates = {
        name: [
            dict(zip(question.sign.answers, chances, strict=True))
            for chances in zip(*question.table, strict=True)
        ]
        for name, question in model.questions.items()
    }
    return Shop(model.prior, rates)


def shop_unlike(model: Model, seed: int, *, faults: float = 1.0, signs: float = 1.0) -> Shop:
    """Give a shop that differs: each fault's rate by a factor exp(N(0, faults)), and the log-odds
    of each listed sign's answers by N(0, signs)."""
    rng = random.Random(seed)
    like = shop_like(model)
    prior = [one * math.exp(rng.gauss(0, faults)) for one in model.prior]
    rates: dict[str, list[Mapping[str, float]]] = {}
    for name, columns in like.rates.items():
        changed: list[Mapping[str, float]] = []
        for at, column in enumerate(columns):
            listed = at < len(model.faults) and name in model.faults[at].signs
            changed.append(_shifted(column, rng, signs) if listed else column)
        rates[name] = changed
    return Shop([one / sum(prior) for one in prior], rates)


def _shifted(column: Mapping[str, float], rng: random.Random, by: float) -> dict[str, float]:
    weights = {name: rate * math.exp(rng.gauss(0, by)) for name, rate in column.items()}
    return {name: weight / sum(weights.values()) for name, weight in weights.items()}


@dataclass
class Job:
    """One unit on the bench; its signs are drawn when they are looked at, always the same."""

    seed: int
    shop: Shop
    fault: int
    drawn: Answers = field(default_factory=dict)

    def look(self, sign: str) -> str:
        """Give what is found."""
        if sign not in self.drawn:
            column = self.shop.rates[sign][self.fault]
            rng = random.Random(f"{self.seed}/{sign}")
            self.drawn[sign] = rng.choices(list(column), list(column.values()))[0]
        return self.drawn[sign]


def draw_job(shop: Shop, seed: int, *, unlisted: bool = False) -> Job:
    """Draw a job."""
    return Job(seed, shop, shop.draw_fault(random.Random(seed), unlisted=unlisted))


def complaint(model: Model, job: Job) -> Answers:
    """Give what the customer says: of the signs that they can see, that this fault usually shows
    and that are there, the least common in general; nothing where there is none."""
    told = [
        (question.sign.background["seen"], name)
        for name, question in model.questions.items()
        if question.sign.customer
        and "seen" in question.sign.background
        and question.row("seen")[job.fault] >= 0.35
        and question.row("seen")[job.fault] > question.sign.background["seen"]
        and job.look(name) == "seen"
    ]
    return {min(told)[1]: "seen"} if told else {}


class Player:
    """Works through jobs with one model, and remembers where answers lead."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self._known: dict[frozenset[tuple[str, str]], tuple[str | None, Belief]] = {}

    def where(self, answers: Answers) -> tuple[str | None, Belief]:
        """Give what narrowing would check next, None at its stop, and the belief."""
        key = frozenset(answers.items())
        if key not in self._known:
            belief = believe(self.model, answers)
            checks = next_checks(belief)
            self._known[key] = (checks[0].question.id if checks else None, belief)
        return self._known[key]

    def work(self, job: Job, choose: Choose, answers: Answers) -> tuple[float, Belief, Answers]:
        """Check until the stop; give the minutes it took, the belief and the answers."""
        minutes, found = 0.0, dict(answers)
        while self.where(found)[0] is not None:
            sign = choose(self, found)
            if sign is None:
                break
            found[sign] = job.look(sign)
            minutes += self.model.questions[sign].sign.minutes
        return minutes, self.where(found)[1], found

    def in_vain(self, belief: Belief, fault: int) -> float:
        """Give the minutes in wrong sheets before the right one."""
        before = belief.order[: belief.order.index(fault)]
        return float(sum(self.model.faults[at].minutes or SHEET_MINUTES for at in before))


def by_narrowing(player: Player, answers: Answers) -> str | None:
    """Choose as narrowing does."""
    return player.where(answers)[0]


def in_order(order: Sequence[str]) -> Choose:
    """Choose in a fixed order; what says the same as something answered is passed over."""

    def choose(player: Player, answers: Answers) -> str | None:
        questions = player.model.questions
        return next(
            (one for one in order if one not in answers and not questions[one].same & {*answers}),
            None,
        )

    return choose


def best_order(model: Model, starts: Sequence[tuple[Job, Answers]]) -> list[str]:
    """Give the best fixed order that can be found step by step: at each place the check with the
    most bits a minute on average over those of these jobs that are not decided yet, dangerous ones
    only where no safe one tells enough on average."""
    running = [(job, dict(answers)) for job, answers in starts]
    order: list[str] = []
    while len(order) < len(model.questions):
        told = dict.fromkeys((one for one in model.questions if one not in order), 0.0)
        beliefs = [believe(model, answers) for _, answers in running]
        going = [(at, one) for at, one in enumerate(beliefs) if not is_sure(one)]
        if not going:
            break
        for _, belief in going:
            for check in gains(belief):
                if check.question.id in told:
                    told[check.question.id] += check.gain / len(going)
        safe = {
            one
            for one, gain in told.items()
            if gain >= 0.05 and not model.questions[one].sign.hazards
        }
        best = max(
            sorted(safe or told), key=lambda one: told[one] / model.questions[one].sign.minutes
        )
        order.append(best)
        running = [running[at] for at, _ in going]
        for job, answers in running:
            answers.setdefault(best, job.look(best))
    left = (one for one in model.questions if one not in order)
    rate = {one: model.questions[one].tells / model.questions[one].sign.minutes for one in left}
    return [*order, *sorted(rate, key=lambda one: -rate[one])]


def counts_of(model: Model, done: Sequence[tuple[Job, Answers]]) -> Counts:
    """Count finished jobs as a shop does: the fault, and the answers that were looked for."""
    faults: dict[str, int] = {}
    answers: dict[str, dict[str, dict[str, int]]] = {}
    unlisted = 0
    for job, found in done:
        if job.fault == len(model.faults):
            unlisted += 1
            continue
        id = model.faults[job.fault].id
        faults[id] = faults.get(id, 0) + 1
        for sign, answer in found.items():
            into = answers.setdefault(id, {}).setdefault(sign, {})
            into[answer] = into.get(answer, 0) + 1
    return Counts(faults, answers, unlisted)


__all__ = [
    "Answers", "Choose", "Job", "Player", "Shop", "best_order", "by_narrowing", "complaint",
    "counts_of", "draw_job", "in_order", "rank", "shop_like", "shop_unlike", "starter_book",
    "starter_models",
]  # fmt: skip
