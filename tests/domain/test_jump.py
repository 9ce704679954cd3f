"""Knock or wear: the Nile, Pettitt's formula, exact small cases, and simulations with known truth."""

import math
from itertools import permutations

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from service.domain.errors import CannotCompute
from service.domain.jump import LEVEL, compare_step_and_line, find_jump, pettitt
from service.domain.ordered_readings import in_order

series = st.lists(st.integers(-50, 50), min_size=8, max_size=20)


def jump(x, y):
    return find_jump(in_order(x, y))


def claimed(x, y):
    try:
        return find_jump(in_order(x, y))
    except CannotCompute:
        return None


@pytest.fixture(scope="module")
def nile():
    data = sm.datasets.nile.load_pandas().data
    return in_order(data.year, data.volume)


def test_published_nile(published, nile):
    """strucchange's breakpoints(Nile ~ 1): place of the break, and BIC without and with it."""
    case = published("cp-nile")
    fits = compare_step_and_line(nile)
    case.check("break_obs", fits.index)
    case.check("bic", [fits.level, fits.step])
    found = find_jump(nile)
    case.check("last_year_before", found.before)
    assert found.after == found.before + 1


def test_residual_sums_of_the_nile(published, nile):
    """The published residual sums give the same BIC: n ln(RSS/n) + n (1 + ln 2π) + k ln n with k = 2 and 4."""
    rss, n = np.array(published("cp-nile").expected["rss"]), nile.n
    bic = n * np.log(rss / n) + n * (1 + np.log(2 * np.pi)) + np.array([2, 4]) * np.log(n)
    fits = compare_step_and_line(nile)
    assert [fits.level, fits.step] == pytest.approx(bic, abs=1e-3)


def test_line_against_statsmodels(nile):
    """statsmodels' OLS counts the two coefficients; the variance makes three here."""
    fit = sm.OLS(nile.values, sm.add_constant(nile.positions)).fit()
    assert compare_step_and_line(nile).line == pytest.approx(fit.bic + np.log(nile.n))


def test_pettitt_of_the_nile(nile):
    """Pettitt 1979: K from Mann–Whitney statistics by scipy, p from the paper's formula."""
    y, n = nile.values, nile.n
    # U of t against the rest is 2 · (Mann–Whitney − its mean).
    u = [2 * (stats.mannwhitneyu(y[:t], y[t:]).statistic - t * (n - t) / 2) for t in range(1, n)]
    k, p = pettitt(nile)
    assert k == pytest.approx(np.max(np.abs(u)))
    assert p == pytest.approx(2 * math.exp(-6 * k**2 / (n**3 + n**2)))


def test_pettitt_small_by_every_order():
    """Eight readings: the share of all 40,320 orders with a K as large, within simulation error."""
    orders = np.array(list(permutations(range(1, 9))))
    u = 2 * np.cumsum(orders, axis=1)[:, :-1] - np.arange(1, 8) * 9
    ks = np.abs(u).max(axis=1)
    for y in ([1, 2, 3, 4, 5, 6, 7, 8], [1, 3, 2, 8, 5, 7, 4, 6], [5, 1, 8, 2, 7, 3, 6, 4], [4, 3, 2, 1, 5, 6, 8, 7]):
        k, p = pettitt(in_order(range(8), y))
        exact = np.mean(ks >= k)
        assert p == pytest.approx(exact, abs=4 * (exact * (1 - exact) / 10_000) ** 0.5 + 2e-4)
    # The rarest K can be found from eight readings on, as two closed forms say: 2 · 4! · 4! / 8! and, for seven, 0.1.
    assert np.mean(ks == 16) == pytest.approx(2 * math.factorial(4) ** 2 / math.factorial(8))


def test_a_knock_is_found():
    found = jump([0, 100, 250, 420, 500, 610, 700, 820], [1.0, 1.2, 0.9, 1.1, 3.1, 2.9, 3.0, 3.2])
    assert (found.before, found.after, found.at, found.index) == (420, 500, 460, 4)
    assert found.size == pytest.approx(2.0)
    assert found.p <= LEVEL


def test_wear_is_not_a_jump():
    with pytest.raises(CannotCompute, match="straight line"):
        jump(range(10), [0.1 * i for i in range(10)])


@pytest.mark.parametrize(
    ("x", "y", "words"),
    [
        ([], [], "no readings"),
        (range(7), range(7), "so far there are 7"),
        (range(9), [2] * 9, "are the same"),
        ([3] * 9, range(9), "no place"),
        ([0, 0, 0, 0, 0, 0, 0, 0, 1], range(9), "no place"),
        (range(9), [0, 0, 0, 0, 5, 0, 0, 0, 0], "No jump"),
        (range(8), [0, 0, 0, 0, 0, 0, 9, 9], "do not differ enough"),
    ],
)
def test_no_jump_in_words(x, y, words):
    with pytest.raises(CannotCompute, match=words):
        jump(x, y)


def test_readings_of_one_place_are_not_split():
    """The values of 500 km belong together, wherever the best step would be."""
    values = [1, 1.1, 1, 1.1, 1.2, 3, 3.1, 3, 3.1, 3]
    assert compare_step_and_line(in_order(range(10), values)).index == 5
    assert compare_step_and_line(in_order([0, 1, 2, 3, 5, 5, 5, 7, 8, 9], values)).index == 4


@given(series, st.integers(-1000, 1000), st.sampled_from([-4.0, -1.0, 0.5, 8.0]))
def test_shift_scale_and_mirror(values, shift, factor):
    x = range(len(values))
    one, other = claimed(x, values), claimed(x, [factor * v + shift for v in values])
    assert (one is None) == (other is None)
    if one:
        assert (other.index, other.p, other.size) == (one.index, one.p, pytest.approx(factor * one.size))


@given(series)
def test_axis_does_not_bend_the_answer(values):
    """Kilometres or thousands of them, counted from anywhere."""
    x = np.arange(len(values)) ** 1.5
    one, other = claimed(x, values), claimed(7e4 + 1000 * x, values)
    assert (one is None) == (other is None)
    assert one is None or one.index == other.index


RUNS = 1500


def share_claimed(n, signal, seed, noise=None):
    """Share of seeded series in which a jump is claimed, and the share of claims at the right place ± 1."""
    rng = np.random.default_rng(seed)
    x = np.sort(rng.random(n))
    draw = noise or (lambda: rng.normal(size=n))
    found = [claimed(x, signal(x) + draw()) for _ in range(RUNS)]
    indices = [f.index for f in found if f]
    return len(indices) / RUNS, np.mean([abs(i - n // 2) <= 1 for i in indices]) if indices else 0.0


@pytest.mark.parametrize("n", [8, 12, 20, 30])
def test_false_claims(n):
    """Pure noise, and drifts of one to ten times the noise over the series: at most a few per cent are a jump."""
    for drift in (0, 1, 2, 3, 4, 6, 10):
        share, _ = share_claimed(n, lambda x, d=drift: d * x, seed=100 * n + drift)
        assert share <= 0.035, f"drift {drift}"


@pytest.mark.parametrize(
    ("n", "size", "at_least"), [(8, 8, 0.9), (12, 5, 0.75), (12, 6, 0.88), (20, 4, 0.88), (30, 3, 0.75), (30, 4, 0.92)]
)
def test_real_jumps_are_found(n, size, at_least):
    """A knock in the middle, in multiples of the noise."""
    share, right = share_claimed(n, lambda x: size * (np.arange(n) >= n // 2), seed=n)
    assert share >= at_least
    assert right >= 0.97
