"""The sums of narrowing, against worked values and against what they must always hold."""

from __future__ import annotations

import doctest
import math

import pytest
from fixbook_plugins.narrowing import arithmetic, reasons
from fixbook_plugins.narrowing.arithmetic import (
    entropy,
    expected_minutes,
    expected_rates,
    information,
    posterior,
    quickest_order,
    shares,
)
from hypothesis import given
from hypothesis import strategies as st

# Three causes with 12, 6 and 2 jobs; "no spin" in 10, 1 and 0 of them, "clicks" in 2, 5 and 1.
# Worked by hand with Laplace's rule, one added to every count.
CAUSES = (12, 6, 2)
NO_SPIN = (10, 1, 0)
CLICKS = (2, 5, 1)


def smoothed(counts: tuple[int, ...], added: float = 1.0) -> tuple[float, ...]:
    """Give causes' rates with the same number added to each count."""
    names = [str(at) for at in range(len(counts))]
    even = {name: 1 / len(names) for name in names}
    counted = dict(zip(names, counts, strict=True))
    return tuple(expected_rates(even, counted, added * len(names)).values())


def likelihood(shown: tuple[int, ...], answer: str = "yes") -> list[float]:
    """Give the chance of an answer under each cause, one job of each answer added."""
    even = {"yes": 0.5, "no": 0.5}
    return [
        expected_rates(even, {"yes": yes, "no": all_ - yes}, 2)[answer]
        for yes, all_ in zip(shown, CAUSES, strict=True)
    ]


@pytest.mark.parametrize(
    ("added", "expected"),
    [(1, (0.56522, 0.30435, 0.13043)), (0.5, (0.58140, 0.30233, 0.11628))],
    ids=["Laplace", "Jeffreys"],
)
def test_a_prior_from_counts_is_the_worked_one(added, expected):
    """Counting starts from the same number for every cause."""
    assert smoothed(CAUSES, added) == pytest.approx(expected, abs=5e-6)


@pytest.mark.parametrize(
    ("shown", "expected"),
    [(NO_SPIN, (0.785714, 0.25, 0.25)), (CLICKS, (0.214286, 0.75, 0.5))],
    ids=["no spin", "clicks"],
)
def test_likelihoods_from_counts_are_the_worked_ones(shown, expected):
    """A sign never seen is not held to be impossible."""
    assert likelihood(shown) == pytest.approx(expected, abs=5e-7)


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ([(NO_SPIN, "yes")], (0.803371, 0.137640, 0.058989)),
        ([(NO_SPIN, "yes"), (CLICKS, "no")], (0.908068, 0.049502, 0.042430)),
        ([(CLICKS, "yes")], (0.292135, 0.550562, 0.157303)),
        ([(NO_SPIN, "yes"), (CLICKS, "yes")], (0.564659, 0.338598, 0.096742)),
    ],
    ids=["no spin", "no spin, no clicks", "clicks", "both"],
)
def test_a_posterior_is_the_worked_one(answers, expected):
    """Answers multiply."""
    rows = [likelihood(shown, answer) for shown, answer in answers]
    assert posterior(smoothed(CAUSES), rows) == pytest.approx(expected, abs=5e-7)


def test_trying_by_chance_per_minute_is_the_quickest_of_all_orders():
    """The worked order takes 16 minutes; by chance alone it would be 22.9."""
    chances, minutes = (0.5, 0.3, 0.2), (20, 5, 2)
    order = quickest_order(chances, minutes)
    expected = [expected_minutes(one, chances, minutes) for one in (order, (0, 1, 2))]
    assert (order, expected) == ([2, 1, 0], pytest.approx([16.0, 22.9]))


@pytest.mark.parametrize(
    ("chances", "bits"),
    [((1 / 2, 1 / 4, 1 / 8, 1 / 8), 1.75), ((0.25,) * 4, 2.0), ((1.0, 0.0), 0.0)],
    ids=["1.75, Cover and Thomas, Elements of Information Theory, chapter 2", "four equal", "sure"],
)
def test_entropy_is_the_worked_one(chances, bits):
    """What is not known is measured in bits."""
    assert entropy(chances) == bits


@pytest.mark.parametrize(
    ("prior", "positive", "bits"),
    [
        ((0.25,) * 4, (1, 1, 0, 0), 1.0),
        ((1 / 2, 1 / 4, 1 / 8, 1 / 8), (1, 0, 0, 0), 1.0),
        ((0.5, 0.3, 0.2), (0.9, 0.2, 0.2), 0.397313),
        ((0.5, 0.3, 0.2), (0.5, 0.95, 0.05), 0.350951),
        ((0.5, 0.3, 0.2), (0.4, 0.4, 0.4), 0.0),
    ],
    ids=["halves", "isolates one", "0.9 0.2 0.2", "0.5 0.95 0.05", "tells nothing"],
)
def test_information_is_the_worked_one(prior, positive, bits):
    """A check is worth what it is expected to tell."""
    rows = [positive, [1 - one for one in positive]]
    assert information(prior, rows) == pytest.approx(bits, abs=5e-7)


def test_the_beliefs_after_a_check_are_the_worked_ones():
    """Both answers of a check leave what they should."""
    prior, positive = (0.5, 0.3, 0.2), (0.9, 0.2, 0.2)
    after = [posterior(prior, [row]) for row in (positive, [1 - one for one in positive])]
    assert after == [
        pytest.approx((0.818182, 0.109091, 0.072727), abs=5e-7),
        pytest.approx((0.111111, 0.533333, 0.355556), abs=5e-7),
    ]


@pytest.mark.parametrize("weights", [[0, 0], [1, -1], [math.nan], [math.inf, 1]])
def test_weights_that_are_none_are_refused(weights):
    """Nothing can be shared out by them."""
    with pytest.raises(ValueError, match="weights must be"):
        shares(weights)


def test_answers_that_nothing_allows_are_refused():
    """A belief that adds up to nothing is no belief."""
    with pytest.raises(ValueError, match="no hypothesis"):
        posterior([0.5, 0.5], [[0.0, 0.0]])


def test_a_thousand_answers_do_not_run_out_of_digits():
    """Chances are added up in logarithms."""
    assert posterior([0.5, 0.5], [[0.001, 0.0011]] * 1000)[1] == pytest.approx(1.0)


@pytest.mark.parametrize(("module", "count"), [(arithmetic, 7), (reasons, 1)])
def test_examples_in_the_docstrings_run(module, count):
    """An example that is wrong misleads whoever reads it."""
    done = doctest.testmod(module)
    assert (done.failed, done.attempted) == (0, count)


chances = st.floats(0.001, 1.0)


@st.composite
def tables(draw: st.DrawFn) -> tuple[list[float], list[list[list[float]]]]:
    """Draw a prior, and checks of two to four answers."""
    count = draw(st.integers(1, 6))
    prior = list(shares(draw(st.lists(chances, min_size=count, max_size=count))))
    checks = []
    for _ in range(draw(st.integers(1, 5))):
        answers = draw(st.integers(2, 4))
        columns = [
            shares(draw(st.lists(chances, min_size=answers, max_size=answers)))
            for _ in range(count)
        ]
        checks.append([list(row) for row in zip(*columns, strict=True)])
    return prior, checks


@given(tables())
def test_beliefs_add_up_to_one(drawn):
    """Whatever is answered, something is the case."""
    prior, checks = drawn
    assert math.fsum(posterior(prior, [rows[0] for rows in checks])) == pytest.approx(1, abs=1e-12)


@given(tables(), st.randoms())
def test_the_order_of_answers_does_not_matter(drawn, rng):
    """It does not matter what was looked at first."""
    prior, checks = drawn
    rows = [rows[0] for rows in checks]
    mixed = rng.sample(rows, len(rows))
    assert posterior(prior, mixed) == pytest.approx(posterior(prior, rows), abs=1e-12)


@given(tables())
def test_information_is_what_entropy_is_expected_to_lose(drawn):
    """The short way to it equals the definition, is never below 0 nor above what is open."""
    prior, checks = drawn
    for rows in checks:
        likely = [sum(a * b for a, b in zip(prior, row, strict=True)) for row in rows]
        after = sum(
            p * entropy(posterior(prior, [row])) for p, row in zip(likely, rows, strict=True)
        )
        told = information(prior, rows)
        assert told == pytest.approx(entropy(prior) - after, abs=1e-9)
        assert 0 <= told <= entropy(prior) + 1e-9
