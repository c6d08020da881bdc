"""What narrowing saves and how far it can be trusted, in short form; `benefit.py` is the long one."""

from __future__ import annotations

import pytest
from fixbook_plugins.narrowing import ahead

from .benefit import at_random, cost, played, taught, trust
from .optimum import Exact, cut_down
from .simulation import (
    Player,
    best_order,
    by_narrowing,
    complaint,
    draw_job,
    in_order,
    shop_like,
    shop_unlike,
    starter_book,
    starter_models,
)

JOBS = 30


@pytest.fixture(scope="module")
def models():
    """Give the models of the starter book."""
    return starter_models()


def test_it_takes_at_most_seven_tenths_of_the_best_fixed_order(models):
    """On the unit with the most own faults, from a complaint to the right sheet."""
    model = models["power-amplifier"]
    shop, player = shop_like(model), Player(model)
    starts = [
        (job, complaint(model, job)) for job in (draw_job(shop, 10**6 + n) for n in range(50))
    ]
    fixed = in_order(best_order(model, starts))
    jobs = [draw_job(shop, seed) for seed in range(JOBS)]
    ours, theirs = (cost(player, jobs, way, complaints=True) for way in (by_narrowing, fixed))
    assert ours.whole <= 0.7 * theirs.whole


def test_it_takes_less_than_half_of_a_random_order(models):
    """A guess is no plan."""
    model = models["turntable"]
    player, jobs = Player(model), [draw_job(shop_like(model), seed) for seed in range(JOBS)]
    ours, theirs = (
        cost(player, jobs, way, complaints=True) for way in (by_narrowing, at_random(1))
    )
    assert ours.whole <= 0.5 * theirs.whole


@pytest.mark.parametrize("unit", ["appliance", "linear-supply", "switch-mode-supply"])
def test_it_comes_within_a_tenth_of_the_exact_optimum(models, unit):
    """Worked out by following every order of the eight most telling signs."""
    exact = Exact(cut_down(models[unit], 8))
    assert exact.narrowing() <= 1.1 * exact.optimum()


def test_looking_ahead_is_quicker_than_bits_a_minute_alone(models, monkeypatch):
    """Where two checks settle together what the best one leaves open."""
    model = cut_down(models["appliance"], 8)
    ours = Exact(model).narrowing()
    monkeypatch.setattr(ahead, "MOST_WORK", 0)
    assert ours <= 0.95 * Exact(model).narrowing()


def test_two_hundred_jobs_teach_it_a_shop_that_differs(models):
    """Over four such shops at most nine tenths of what the untaught book needs."""
    model, words = models["battery-portable"], starter_book()[1]
    before = after = 0.0
    for seed in range(4):
        shop = shop_unlike(model, seed)
        jobs = [draw_job(shop, number) for number in range(JOBS)]
        learnt = taught(model, words, shop, 200)
        before += cost(Player(model), jobs, by_narrowing, complaints=True).whole
        after += cost(Player(learnt), jobs, by_narrowing, complaints=True).whole
    assert after <= 0.9 * before


def test_what_it_says_is_as_likely_as_it_says(models):
    """Of jobs drawn from the model; six hundred give an error of two in a hundred by chance."""
    found = trust(played(models["radio-receiver"], shop_like(models["radio-receiver"]), 600))
    assert (found.error < 0.03, found.brier < 0.2) == (True, True)
