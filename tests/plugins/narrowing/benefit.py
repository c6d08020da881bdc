"""What narrowing saves, how far its chances can be trusted, and what it learns.

python -m tests.plugins.narrowing.benefit [--quick]

Prints four tables over the whole starter book: minutes to the right sheet against a fixed order, a
random order and the exact optimum; the same after 200 jobs of a shop that differs from the book;
calibration on jobs drawn from the model; and on jobs from models that are deliberately wrong.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Iterable, Mapping, Sequence
from statistics import fmean
from typing import NamedTuple

from fixbook_plugins.narrowing.model import Model, build_model, faults_of

from fixbook.api import Counts

from .optimum import Exact, cut_down
from .simulation import (
    Answers,
    Choose,
    Job,
    Player,
    Shop,
    best_order,
    by_narrowing,
    complaint,
    counts_of,
    draw_job,
    in_order,
    shop_like,
    shop_unlike,
    starter_book,
)

SMALL = ("appliance", "hand-controls", "battery-portable", "linear-supply", "switch-mode-supply")
"""The units of the starter book that contain no other and have seven faults or fewer."""
BINS = 15


class Cost(NamedTuple):
    """Mean minutes of some jobs."""

    checks: float
    sheets: float
    """In sheets opened in vain."""
    right: float
    """Part of the jobs whose first sheet was the right one."""

    @property
    def whole(self) -> float:
        """Minutes to the right sheet."""
        return self.checks + self.sheets


def cost(player: Player, jobs: Iterable[Job], choose: Choose, *, complaints: bool) -> Cost:
    """Work through jobs."""
    rows = []
    for job in jobs:
        start = complaint(player.model, job) if complaints else {}
        minutes, belief, _ = player.work(job, choose, start)
        vain = player.in_vain(belief, job.fault)
        rows.append((minutes, vain, float(vain == 0)))
    return Cost(*(fmean(column) for column in zip(*rows, strict=True)))


def at_random(seed: int) -> Choose:
    """Choose at random."""
    rng = random.Random(seed)

    def choose(player: Player, answers: Answers) -> str | None:
        left = [one for one in player.model.questions if one not in answers]
        return rng.choice(left) if left else None

    return choose


def compare_orders(models: Mapping[str, Model], jobs: int, *, complaints: bool) -> list[float]:
    """Print narrowing beside a fixed and a random order; give the ratios of the sums."""
    print(f"\nMinutes to the right sheet, {jobs} jobs of each unit drawn from the book's rates,")
    print(f"{'beginning with a complaint' if complaints else 'without a complaint'}"
          " (checks + sheets opened in vain; part whose first sheet was right)")  # fmt: skip
    print(f"{'unit':20}{'narrowing':>22}{'best fixed order':>22}{'random order':>22}{'n/f':>6}")
    rows = []
    for unit, model in models.items():
        shop, player = shop_like(model), Player(model)
        training = [draw_job(shop, 10**6 + at) for at in range(min(jobs, 150))]
        starts = [(job, complaint(model, job) if complaints else {}) for job in training]
        fixed = in_order(best_order(model, starts))
        drawn = [draw_job(shop, at) for at in range(jobs)]
        ways = (by_narrowing, fixed, at_random(1))
        row = [cost(player, drawn, way, complaints=complaints) for way in ways]
        rows.append(row)
        print(f"{unit:20}{''.join(map(_cell, row))}{row[0].whole / row[1].whole:6.2f}", flush=True)
    means = [fmean(row[way].whole for row in rows) for way in range(3)]
    print(
        f"{'mean of the units':20}" + "".join(f"{one:22.1f}" for one in means)
        + f"{means[0] / means[1]:6.2f}"
    )  # fmt: skip
    return [means[0] / means[1], means[0] / means[2]]


def _cell(one: Cost) -> str:
    return f"{one.checks:8.1f} +{one.sheets:5.1f} {one.right * 100:4.0f} %"


def compare_optimum(models: Mapping[str, Model], signs: int) -> float:
    """Print narrowing beside the exact optimum; give the mean ratio."""
    print(
        f"\nExpected minutes against the exact optimum of the same rules, {signs} signs of a unit"
    )
    print("(checks and sheets opened in vain; in brackets the checks alone, which is not its aim)")
    ratios = []
    for unit in SMALL:
        model = cut_down(models[unit], signs)
        exact, checks = Exact(model), Exact(model, sheets=0.0)
        found, best = exact.narrowing(), exact.optimum()
        ratios.append(found / best)
        alone = checks.narrowing() / checks.optimum()
        print(f"{unit:20}{found:8.2f}{best:8.2f}{ratios[-1]:8.3f}   ({alone:.3f})", flush=True)
    print(f"{'mean':36}{fmean(ratios):8.3f}")
    return fmean(ratios)


def taught(model: Model, vocabulary: object, shop: Shop, jobs: int, *, step: int = 25) -> Model:
    """Let a shop work through jobs, each counted, the model made anew after every few."""
    done: list[tuple[Job, Answers]] = []
    now = model
    for begin in range(0, jobs, step):
        player = Player(now)
        for at in range(begin, min(begin + step, jobs)):
            job = draw_job(shop, 5 * 10**6 + at)
            _, _, found = player.work(job, by_narrowing, complaint(model, job))
            done.append((job, found))
        counts: Counts = counts_of(model, done)
        now = build_model(model.unit, model.faults, vocabulary, counts)  # type: ignore[arg-type]
    return now


def compare_taught(
    models: Mapping[str, Model], vocabulary: object, *, jobs: int, shops: int
) -> tuple[float, float]:
    """Print what teaching saves; give the ratios for one kind of unit and for a mixed shop."""
    print("\nA shop whose rates differ (faults by exp(N(0,1)), listed signs' log-odds by N(0,1)),")
    print(
        f"{shops} such shops a unit: minutes to the right sheet with the book untaught, after 200"
    )
    print(
        f"jobs of this unit, and after 200 jobs of a shop that does all {len(models)} units alike"
    )
    sums = [0.0, 0.0, 0.0]
    for unit, model in models.items():
        rows = []
        for seed in range(shops):
            shop = shop_unlike(model, seed)
            drawn = [draw_job(shop, at) for at in range(jobs)]
            learnt = (
                model,
                taught(model, vocabulary, shop, 200),
                taught(model, vocabulary, shop, round(200 / len(models)), step=3),
            )
            rows.append(
                [cost(Player(one), drawn, by_narrowing, complaints=True).whole for one in learnt]
            )
        row = [fmean(column) for column in zip(*rows, strict=True)]
        sums = [a + b for a, b in zip(sums, row, strict=True)]
        print(f"{unit:20}{row[0]:8.1f}{row[1]:8.1f}{row[2]:8.1f}   {row[1] / row[0]:5.2f}"
              f"{row[2] / row[0]:8.2f}", flush=True)  # fmt: skip
    print(f"{'ratio of the sums':47}{sums[1] / sums[0]:5.2f}{sums[2] / sums[0]:8.2f}")
    return sums[1] / sums[0], sums[2] / sums[0]


class Trust(NamedTuple):
    """How far stated chances can be trusted."""

    error: float
    """Expected calibration error of the chance of the likeliest."""
    brier: float
    """Mean squared distance of all chances from what was the case; 0 best, 2 worst."""
    stated: float
    """Mean chance of the likeliest."""
    right: float
    """How often the likeliest was the case."""


def trust(outcomes: Sequence[tuple[Sequence[float], int]]) -> Trust:
    """Judge stated chances by what was the case."""
    bins: list[list[tuple[float, float]]] = [[] for _ in range(BINS)]
    brier = 0.0
    for chances, fault in outcomes:
        best = max(range(len(chances)), key=lambda at: chances[at])
        bins[min(BINS - 1, int(chances[best] * BINS))].append((chances[best], float(best == fault)))
        brier += sum((one - (at == fault)) ** 2 for at, one in enumerate(chances))
    count = len(outcomes)
    error = sum(abs(sum(a - b for a, b in rows)) for rows in bins) / count
    every = [pair for rows in bins for pair in rows]
    return Trust(error, brier / count, fmean(a for a, _ in every), fmean(b for _, b in every))


def played(
    model: Model, shop: Shop, jobs: int, first: int = 0
) -> list[tuple[Sequence[float], int]]:
    """Narrow jobs down; give the last chances of each, and what it was."""
    player = Player(model)
    found = []
    for at in range(first, first + jobs):
        job = draw_job(shop, at, unlisted=True)
        _, belief, _ = player.work(job, by_narrowing, {})
        found.append((belief.chances, job.fault))
    return found


def calibrate(models: Mapping[str, Model], jobs: int) -> Trust:
    """Print calibration on jobs from the model and from wrong ones; give the first."""
    each = -(-jobs // len(models))
    print(f"\nCalibration, {each * len(models):,} jobs narrowed down to their stop")
    print(f"{'jobs drawn from':44}{'error':>8}{'Brier':>8}{'stated':>8}{'right':>8}")
    right = None
    for name, signs, faults in (
        ("the model itself", 0.0, 0.0),
        ("faults' rates off by exp(N(0, 0.5))", 0.0, 0.5),
        ("faults' rates off by exp(N(0, 1))", 0.0, 1.0),
        ("signs' log-odds off by N(0, 0.5)", 0.5, 0.0),
        ("signs' log-odds off by N(0, 1)", 1.0, 0.0),
        ("both off by N(0, 1)", 1.0, 1.0),
    ):
        outcomes = []
        for place, (_, model) in enumerate(models.items()):
            wrong = shop_unlike(model, place, faults=faults, signs=signs)
            shop = wrong if faults or signs else shop_like(model)
            outcomes += played(model, shop, each, first=place * each)
        found = trust(outcomes)
        right = right or found
        print(f"{name:44}" + "".join(f"{one:8.3f}" for one in found), flush=True)
    assert right is not None
    return right


def run(*, quick: bool) -> None:
    """Print all tables, and each goal with what was reached."""
    began = time.perf_counter()
    entries, words = starter_book()
    by_unit = {unit: faults_of(entries, words, unit) for unit in words.units}
    models = {unit: build_model(unit, each, words) for unit, each in by_unit.items() if each}
    fixed, _ = compare_orders(models, 40 if quick else 300, complaints=True)
    bare, _ = compare_orders(models, 40 if quick else 300, complaints=False)
    best = compare_optimum(models, 8 if quick else 10)
    one, mixed = compare_taught(models, words, jobs=40 if quick else 200, shops=1 if quick else 3)
    true = calibrate(models, 1_000 if quick else 20_000)
    print("\ngoal                                             wanted   reached")
    for name, most, got in (
        ("of the fixed order's minutes, with a complaint", 0.7, fixed),
        ("of the fixed order's minutes, without", 0.7, bare),
        ("of the optimum's minutes", 1.1, best),
        ("of the untaught book's, 200 jobs of the unit", 0.9, one),
        ("of the untaught book's, 200 jobs of all units", 0.9, mixed),
        ("calibration error", 0.02, true.error),
    ):
        print(f"{name:47}{most:8.2f}{got:10.3f}  {'reached' if got <= most else 'MISSED'}")
    print(f"{time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    run(quick="--quick" in sys.argv[1:])
