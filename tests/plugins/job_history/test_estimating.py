"""Minutes and parts for a quote, from past jobs."""

from __future__ import annotations

import itertools
import math

import pytest
from fixbook_plugins.job_history.estimating import SURE, estimate
from fixbook_plugins.job_history.job import Job, PartUsed
from fixbook_plugins.job_history.parts import read_part
from hypothesis import given, settings
from hypothesis import strategies as st


def jobs_of(minutes, **more) -> list[Job]:
    """Make fixed jobs that took so many minutes."""
    return [
        Job(str(number), stage="handed-over", outcome="fixed", minutes=one, **more)
        for number, one in enumerate(minutes)
    ]


def test_the_quote_is_enough_for_four_of_five_next_jobs():
    """Left out one by one, the job that was left out took at most the quote as often as said."""
    taken = [10, 20, 30, 40, 50, 60, 70, 80, 90, 100]
    enough = 0
    for left_out in range(len(taken)):
        others = taken[:left_out] + taken[left_out + 1 :]
        quote = estimate(jobs_of(others), 0).minutes.quote
        enough += taken[left_out] <= quote
    assert enough / len(taken) >= SURE


@settings(max_examples=40)
@given(st.lists(st.integers(0, 1000), min_size=4, max_size=30, unique=True))
def test_the_quote_is_the_smallest_time_that_is_enough(taken):
    """Its rank among n times is the first k with k/(n + 1) of at least four fifths."""
    quote = estimate(jobs_of(taken), 0).minutes.quote
    rank = sorted(taken).index(quote) + 1
    ranks = range(1, len(taken) + 1)
    assert rank == next(k for k in ranks if 5 * k >= 4 * (len(taken) + 1))


@pytest.mark.parametrize("count", [1, 2, 3])
def test_too_few_jobs_give_no_quote(count):
    """Of three jobs no time is enough for four of five."""
    assert estimate(jobs_of(range(count)), 0).minutes.quote is None


def test_the_median_of_order_statistics_holds_its_interval():
    """Eight times: the second and the second highest hold the median with 93 %, so the ends do."""
    minutes = estimate(jobs_of([10, 20, 30, 40, 50, 60, 70, 80]), 0).minutes
    below = sum(math.comb(8, k) for k in range(2))  # fewer than two of eight below the median
    assert (1 - 2 * below / 2**8 < 0.95, minutes.low, minutes.high) == (True, 10, 80)


def test_jobs_in_which_nothing_was_done_lend_no_minutes():
    """A quote that was refused says nothing about the time of the work."""
    declined = Job("9", stage="handed-over", outcome="declined", minutes=5)
    assert estimate([*jobs_of([40] * 5), declined], 0).minutes.lowest == 40


def test_parts_are_counted_over_the_jobs_that_name_parts():
    """Two of three jobs took the relay, one of them two."""
    relay, fuse = PartUsed("relay", "24 V"), PartUsed("Fuse")
    listed = [(relay,), (PartUsed("Relay", "24V", 2), fuse), (fuse,), ()]
    jobs = [
        Job(str(number), stage="handed-over", outcome="fixed", parts=parts)
        for number, parts in enumerate(listed)
    ]
    told = {one.what.lower(): one for one in estimate(jobs, 0).parts}
    one = told["relay 24 v"]
    assert (one.jobs, one.of, one.fewest, one.most) == (2, 3, 1, 2)


@pytest.fixture
def filled(kept, store, ended):
    """Give a book with a write-up and six ended jobs of it, one of which came back."""
    kept.add("amp-hum")
    for number, minutes in enumerate((30, 35, 40, 45, 50, 90), 1):
        store.add(ended(str(number), "fixed", minutes=minutes, model=f"QX-{100 + number % 2}"))
    store.add(ended("7", "fixed", days_ago=380, return_of="1", minutes=20, faults=()))
    return kept


def test_the_command_gives_times_and_returns(filled, asked):
    """`job estimate ENTRY --json` gives the times, the quote, and how many came back."""
    found = asked("job", "estimate", "amp-hum")
    assert (found["jobs"], found["returned"], found["minutes"]["quote"]) == (6, 1, 90)


def test_a_model_is_known_by_a_part_of_its_name(filled, asked):
    """`--model 101` finds the QX-101."""
    assert asked("job", "estimate", "amp-hum", "--model", "101")["jobs"] == 3


def test_a_unit_names_its_faults(filled, asked):
    """Where the fault is not known yet, the unit's faults come with their times."""
    assert asked("job", "estimate", "--unit", "amp")["faults"] == [["amp-hum", 6, 42.5]]


def test_without_jobs_the_answer_is_no(kept, store, fixbook):
    """Nothing ended: exit status 1, and the write-up's own time is what is known."""
    kept.add("amp-hum")
    ran = fixbook("job", "estimate", "amp-hum")
    assert (ran.status, "30 min" in ran.out) == (1, True)


@pytest.mark.parametrize("words", [(), ("amp-hum", "--unit", "amp")])
def test_an_estimate_is_for_one_thing(kept, store, fixbook, words):
    """Neither, or both: the message shows the two ways."""
    kept.add("amp-hum")
    ran = fixbook("job", "estimate", *words)
    assert (ran.status, "--unit UNIT" in ran.err) == (2, True)


@pytest.mark.parametrize(
    ("text", "what", "count"),
    [("2x fuse", "fuse", 2), ("relay x3", "relay", 3), ("Q11 TX 2214", "Q11 TX 2214", 1),
     ("ring 13 x 9 x 2 mm", "ring 13 x 9 x 2 mm", 1), ("4 × key bush", "key bush", 4),
     ("10x 1 ohm", "1 ohm", 10), ("10 × 470 uF", "470 uF", 10), ("5 x 20 ohm", "20 ohm", 5),
     ("5 x 20 mm fuse", "5 x 20 mm fuse", 1), ("5 x 20 fuse", "5 x 20 fuse", 1),
     ("13 x 9 x 2 mm ring", "13 x 9 x 2 mm ring", 1), ("1x relay 24 V", "relay 24 V", 1)],
)  # fmt: skip
def test_a_count_is_no_type_number_and_no_size(text, what, count):
    """A part's own letters and sizes are not read as so many pieces."""
    found = read_part(text)
    assert (found.what, found.count) == (what, count)


def test_no_two_parts_are_one_because_of_their_order():
    """Parts are told apart by their names, whatever order jobs list them in."""
    parts = [PartUsed("C1 10 uF"), PartUsed("C2 10 uF")]
    orders = [tuple(one) for one in itertools.permutations(parts)]
    jobs = [
        Job(str(number), stage="handed-over", outcome="fixed", parts=one)
        for number, one in enumerate(orders)
    ]
    assert [one.jobs for one in estimate(jobs, 0).parts] == [2, 2]
