"""Intervals and rates beside scipy, statsmodels and numpy, and what must hold for any counts."""

from __future__ import annotations

import pytest
from fixbook_plugins.job_history import statistics as ours
from hypothesis import given, settings
from hypothesis import strategies as st

COUNTS = st.integers(1, 2_000).flatmap(lambda jobs: st.tuples(st.integers(0, jobs), st.just(jobs)))
CONFIDENCES = st.sampled_from([0.5, 0.8, 0.9, 0.95, 0.99, 0.999])


@given(COUNTS, CONFIDENCES)
def test_wilson_limits_lie_around_the_rate_and_within_none_and_all(counts, confidence):
    """No interval leaves the range of rates or misses the rate itself."""
    fixed, jobs = counts
    low, high = ours.wilson(fixed, jobs, confidence)
    assert 0 <= low <= fixed / jobs <= high <= 1


@given(COUNTS, CONFIDENCES)
def test_wilson_limits_are_mirrored_when_success_and_failure_swap(counts, confidence):
    """Counting the failures instead says the same."""
    fixed, jobs = counts
    low, high = ours.wilson(fixed, jobs, confidence)
    other_low, other_high = ours.wilson(jobs - fixed, jobs, confidence)
    assert (other_low, other_high) == pytest.approx((1 - high, 1 - low), abs=1e-12)


@settings(max_examples=20, deadline=None)
@given(COUNTS, CONFIDENCES)
def test_wilson_agrees_with_scipy(counts, confidence):
    """The score interval is the one of scipy.stats.binomtest."""
    stats = pytest.importorskip("scipy.stats")
    theirs = stats.binomtest(*counts).proportion_ci(confidence, method="wilson")
    assert ours.wilson(*counts, confidence) == pytest.approx(tuple(theirs), abs=1e-9)


@settings(max_examples=20, deadline=None)
@given(COUNTS)
def test_jeffreys_agrees_with_scipy(counts):
    """Median and inner limits of the beta posterior are scipy's."""
    stats = pytest.importorskip("scipy.stats")
    fixed, jobs = counts
    beta = stats.beta(fixed + 0.5, jobs - fixed + 0.5)
    low = beta.ppf(0.025) if fixed else 0.0
    high = beta.ppf(0.975) if fixed < jobs else 1.0
    found = ours.jeffreys(fixed, jobs)
    assert (found.mean, found.median, found.low, found.high) == pytest.approx(
        (beta.mean(), beta.median(), low, high), abs=1e-8
    )


@settings(max_examples=20, deadline=None)
@given(COUNTS, COUNTS)
def test_newcombe_agrees_with_statsmodels(a, b):
    """The interval of a difference is the hybrid score interval of statsmodels."""
    proportion = pytest.importorskip("statsmodels.stats.proportion")
    theirs = proportion.confint_proportions_2indep(*a, *b, method="newcomb", compare="diff")
    assert ours.newcombe(*a, *b) == pytest.approx(tuple(theirs), abs=1e-9)


@settings(max_examples=12, deadline=None)
@given(COUNTS, COUNTS)
def test_either_fix_is_better(a, b):
    """The probabilities that A is better and that B is better add up to one."""
    both = ours.probability_better(*a, *b) + ours.probability_better(*b, *a)
    assert both == pytest.approx(1, abs=1e-7)


@pytest.mark.parametrize(
    ("returns", "exposure"), [(0, 100), (1, 3), (3, 240), (10, 1), (400, 7)], ids=str
)
def test_garwood_agrees_with_scipy(returns, exposure):
    """The exact interval of a rate comes from scipy's chi-squared quantiles."""
    chi2 = pytest.importorskip("scipy.stats").chi2
    low = chi2.ppf(0.025, 2 * returns) / 2 / exposure if returns else 0.0
    high = chi2.ppf(0.975, 2 * returns + 2) / 2 / exposure
    assert ours.garwood(returns, exposure) == pytest.approx((low, high), rel=1e-9, abs=1e-12)


@settings(max_examples=20, deadline=None)
@given(st.lists(st.integers(1, 500), min_size=6, max_size=40))
def test_median_interval_agrees_with_scipy(minutes):
    """The order statistics around a median are those of scipy.stats.quantile_test."""
    stats = pytest.importorskip("scipy.stats")
    theirs = stats.quantile_test(minutes, q=0, p=0.5).confidence_interval(0.95)
    found = ours.median_interval(minutes)
    assert (found.low, found.high) == (theirs.low, theirs.high)


@settings(deadline=None)
@given(st.lists(st.floats(0, 1e6, allow_subnormal=False), min_size=1, max_size=50), st.floats(0, 1))
def test_quantiles_agree_with_numpy(values, share):
    """Medians and 80th percentiles are interpolated as numpy does it."""
    numpy = pytest.importorskip("numpy")
    assert ours.quantile(values, share) == pytest.approx(
        float(numpy.quantile(values, share)), rel=1e-9, abs=1e-9
    )


def test_a_tolerance_interval_needs_thirty_eight_readings():
    """At 90 and 90 per cent, 37 readings hold no such interval and 38 do (Wilks 1941)."""
    assert (ours.tolerance_rank(37), ours.tolerance_rank(38)) == (None, 1)


@settings(max_examples=20, deadline=None)
@given(st.integers(38, 2_000))
def test_a_tolerance_interval_is_the_narrowest_that_is_sure_enough(count):
    """The rank holds 90 per cent with 90 per cent by scipy's beta, and the next does not."""
    beta = pytest.importorskip("scipy.stats").beta
    rank = ours.tolerance_rank(count)

    def sure(r):
        return count + 1 - 2 * r >= 1 and beta.sf(0.9, count + 1 - 2 * r, 2 * r) >= 0.9

    assert (sure(rank), sure(rank + 1)) == (True, False)


TIMES = st.lists(st.tuples(st.integers(1, 30), st.booleans()), min_size=1, max_size=40)


@given(TIMES)
def test_survival_never_rises(times):
    """Whatever comes back, the share that stays out only falls, inside its limits."""
    steps = ours.kaplan_meier(times)
    shares = [1.0, *(one.survival for one in steps)]
    assert shares == sorted(shares, reverse=True)
    assert all(one.low <= one.survival <= one.high for one in steps)


@settings(max_examples=20, deadline=None)
@given(TIMES.filter(lambda times: any(returned for _, returned in times)))
def test_survival_agrees_with_statsmodels(times):
    """Times, shares and standard errors are those of statsmodels' SurvfuncRight."""
    survfunc = pytest.importorskip("statsmodels.duration.survfunc")
    numpy = pytest.importorskip("numpy")
    with numpy.errstate(all="ignore"):
        theirs = survfunc.SurvfuncRight([t for t, _ in times], [int(r) for _, r in times])
    steps = ours.kaplan_meier(times)
    assert [one.time for one in steps] == list(theirs.surv_times)
    assert [one.survival for one in steps] == pytest.approx(list(theirs.surv_prob), abs=1e-12)
    errors = [
        (one.error, its) for one, its in zip(steps, theirs.surv_prob_se, strict=True) if one.error
    ]
    assert [one for one, _ in errors] == pytest.approx([its for _, its in errors], abs=1e-12)


@pytest.mark.parametrize(("fixed", "jobs"), [(1, 0), (-1, 3), (4, 3)], ids=str)
def test_impossible_counts_are_refused(fixed, jobs):
    """Nobody fixes more than was tried, or less than nothing."""
    with pytest.raises(ValueError, match="from none to all"):
        ours.wilson(fixed, jobs)
