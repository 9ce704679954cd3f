"""Comebacks: Newcombe's table, the 6-MP trial, statsmodels and lifelines."""

import math
import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.proportion import proportion_confint

from service.domain.comeback_rate import log_rank, staying_out, wilson
from service.domain.errors import CannotCompute

with warnings.catch_warnings():
    # The reference library warns about its own dependencies.
    warnings.simplefilter("ignore")
    from lifelines import KaplanMeierFitter
    from lifelines.statistics import logrank_test

jobs = st.lists(st.tuples(st.integers(1, 60), st.booleans()), min_size=2, max_size=40)


def columns(rows):
    return [float(r[0]) for r in rows], [bool(r[1]) for r in rows]


def test_published_wilson(published):
    """Newcombe 1998, table I, method 3."""
    case = published("pr-wilson")
    shares = [wilson(count, n) for count, n in case.inputs["cases"]]
    case.check("ci", [[s.low, s.high] for s in shares])


@given(st.integers(0, 300), st.integers(1, 300))
def test_wilson_against_statsmodels(count, n):
    if count > n:
        with pytest.raises(CannotCompute):
            wilson(count, n)
        return
    share = wilson(count, n)
    assert (share.low, share.high) == pytest.approx(proportion_confint(count, n, method="wilson"), abs=1e-12)
    assert 0 <= share.low <= share.share <= share.high <= 1
    # Those that did not come back, seen from the other side.
    rest = wilson(n - count, n)
    assert (1 - rest.high, 1 - rest.low) == pytest.approx((share.low, share.high), abs=1e-12)


@pytest.mark.parametrize(("count", "n"), [(0, 0), (-1, 5), (6, 5)])
def test_no_share(count, n):
    with pytest.raises(CannotCompute):
        wilson(count, n)


def test_published_survival(published):
    """The 6-MP trial (Freireich 1963, Gehan 1965) as the MASS package's reference output prints it."""
    case = published("sv-km")
    curve = staying_out(*columns(case.inputs["six_mp"]))
    for field, answer in (
        ("time", curve.days),
        ("at_risk", curve.at_risk),
        ("S", curve.share),
        ("se", curve.se),
        ("lo", curve.low),
        ("hi", curve.high),
    ):
        case.check(field, list(answer))
    control = staying_out(*columns(case.inputs["control"]))
    case.check("S_control", list(control.share))
    # The case's note: medians 23 and 8 weeks.
    assert (curve.median_days, control.median_days) == (23, 8)
    # All of the control group had their event: the share ends at 0, and the interval with the limit before.
    assert (control.share[-1], control.low[-1], control.high[-1]) == (0, 0, control.high[-2])


def test_published_log_rank(published):
    case = published("sv-logrank")
    test = log_rank(*columns(case.inputs["six_mp"]), *columns(case.inputs["control"]))
    case.check("O", list(test.observed))
    case.check("E", list(test.expected))
    case.check("chi2", test.chi2)
    case.check("p", test.p)
    # Full precision, from the case's note.
    assert test.chi2 == pytest.approx(16.79294, abs=5e-6)


@settings(max_examples=40)
@given(jobs)
def test_survival_against_lifelines(rows):
    days, back = columns(rows)
    if not any(back):
        with pytest.raises(CannotCompute, match="No bike has come back"):
            staying_out(days, back)
        return
    curve = staying_out(days, back)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fitter = KaplanMeierFitter().fit(days, back)
    assert curve.share == pytest.approx(np.atleast_1d(fitter.predict(curve.days)), abs=1e-12)
    open_ = curve.share > 0
    limits = fitter.confidence_interval_.loc[curve.days].to_numpy()
    assert curve.low[open_] == pytest.approx(limits[open_, 0])
    assert curve.high[open_] == pytest.approx(limits[open_, 1])
    assert np.isfinite(np.concatenate([curve.low, curve.high, curve.se])).all()
    median = fitter.median_survival_time_
    # A share of exactly one half counts as reached here; there rounding decides.
    assert np.any(np.abs(curve.share - 0.5) < 1e-9) or curve.median_days == (None if math.isinf(median) else median)


@given(jobs, jobs)
def test_log_rank_against_lifelines(one, other):
    try:
        test = log_rank(*columns(one), *columns(other))
    except CannotCompute as error:
        assert "cannot be compared" in error.reason
        return
    (ta, ea), (tb, eb) = columns(one), columns(other)
    expected = logrank_test(ta, tb, ea, eb)
    assert (test.chi2, test.p) == (pytest.approx(expected.test_statistic, abs=1e-9), pytest.approx(expected.p_value))
    swapped = log_rank(tb, eb, ta, ea)
    assert swapped.chi2 == pytest.approx(test.chi2)
    assert sum(test.expected) == pytest.approx(sum(test.observed))


@given(jobs, st.sampled_from([0.5, 7.0, 30.0]), st.randoms())
def test_days_or_weeks_in_any_order(rows, factor, random):
    days, back = columns(rows)
    if not any(back):
        return
    shuffled = rows[:]
    random.shuffle(shuffled)
    one = staying_out(days, back)
    other = staying_out([factor * d for d, _ in shuffled], [b for _, b in shuffled])
    assert other.share == pytest.approx(one.share)
    assert other.days == pytest.approx(factor * one.days)


@pytest.mark.parametrize(
    ("days", "back", "words"),
    [
        ([], [], "no jobs"),
        ([3], [False], "No bike has come back"),
        ([3, 4], [True], "Every job"),
        ([3, math.nan], [True, False], "missing"),
        ([3, -1], [True, False], "contradict"),
    ],
)
def test_no_survival_in_words(days, back, words):
    with pytest.raises(CannotCompute, match=words):
        staying_out(days, back)


def test_back_on_the_day_of_handover():
    curve = staying_out([0, 5, 9], [True, False, False])
    assert (list(curve.days), list(curve.share)) == ([0], [pytest.approx(2 / 3)])


def test_groups_that_cannot_be_compared():
    with pytest.raises(CannotCompute, match="cannot be compared"):
        log_rank([1, 2], [False, False], [3, 4], [False, False])
    # All of one group were out of sight before the first came back.
    with pytest.raises(CannotCompute, match="cannot be compared"):
        log_rank([1, 2], [False, False], [3, 4], [True, True])
    with pytest.raises(CannotCompute, match="no jobs"):
        log_rank([], [], [1], [True])
