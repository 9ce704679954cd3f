"""Mann–Kendall and tau-b against scipy.stats.kendalltau, brute force and Hollander and Wolfe's tuna."""

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from service.domain.errors import CannotCompute
from service.domain.mann_kendall import mann_kendall, tied_variance

few_values = st.lists(st.integers(0, 4), min_size=3, max_size=12)


def test_published_tuna(published):
    """Hollander and Wolfe 1973, p. 187f: T counts concordant pairs, p one-sided."""
    case = published("ts-kendall-tuna")
    test = mann_kendall(np.array(case.inputs["x"]), np.array(case.inputs["y"]))
    pairs = 9 * 8 // 2
    case.check("T", (test.s + pairs) // 2)
    case.check("tau", test.tau_b)
    case.check("p_exact", test.p / 2)
    case.check("z", test.s / tied_variance((1,) * 9, (1,) * 9) ** 0.5)


@given(st.permutations(range(12)))
def test_exact_against_scipy(order):
    x, y = np.arange(12.0), np.array(order, dtype=float)
    expected = stats.kendalltau(x, y, method="exact")
    test = mann_kendall(x, y)
    assert test.exact
    assert (test.tau_b, test.p) == (pytest.approx(expected.statistic), pytest.approx(expected.pvalue))


@given(few_values, few_values)
def test_tau_b_against_scipy(one, other):
    n = min(len(one), len(other))
    x, y = np.array(one[:n], dtype=float), np.array(other[:n], dtype=float)
    if np.ptp(x) == 0 or np.ptp(y) == 0:
        with pytest.raises(CannotCompute):
            mann_kendall(x, y)
        return
    assert mann_kendall(x, y).tau_b == pytest.approx(stats.kendalltau(x, y).statistic, abs=1e-12)


@pytest.mark.parametrize("y", [[1, 1, 2, 3, 3, 3], [2, 1, 1, 3, 2, 2], [5, 4, 4, 3, 3, 1]])
@pytest.mark.parametrize("ties_in_x", [False, True])
def test_exact_with_ties_by_every_order(y, ties_in_x):
    """With ties in one of the two p is the share of all orders with an |S| as large."""
    x, y = np.arange(6.0), np.array(y, dtype=float)
    if ties_in_x:
        x, y = y, x
    i, j = np.triu_indices(6, 1)
    orders = y[np.array(list(permutations(range(6))))]
    s = (np.sign(x[j] - x[i]) * np.sign(orders[:, j] - orders[:, i])).sum(axis=1)
    test = mann_kendall(x, y)
    assert test.exact
    assert test.p == pytest.approx(np.mean(np.abs(s) >= abs(test.s)))


def test_normal_p_with_ties_in_both():
    """scipy's asymptotic p has the same variance for ties but no continuity correction: z is one pair shorter here."""
    rng = np.random.default_rng(4)
    x, y = np.sort(rng.integers(0, 8, 30)).astype(float), rng.integers(0, 6, 30).astype(float)
    test = mann_kendall(x, y)
    assert not test.exact
    z = stats.norm.isf(stats.kendalltau(x, y, method="asymptotic").pvalue / 2)
    assert stats.norm.isf(test.p / 2) == pytest.approx(z * (abs(test.s) - 1) / abs(test.s))


def test_false_alarms_with_ties_in_both():
    """Seeded: of unrelated coarse readings at most 5 % look like a trend, less simulation error."""
    rng = np.random.default_rng(8)
    alarms = 0
    for _ in range(3000):
        x, y = np.sort(rng.integers(0, 6, 10)).astype(float), rng.integers(0, 4, 10).astype(float)
        alarms += np.ptp(x) > 0 < np.ptp(y) and mann_kendall(x, y).p <= 0.05
    assert alarms / 3000 <= 0.05 + 3 * (0.05 * 0.95 / 3000) ** 0.5


def test_long_series_by_the_normal_approximation():
    """scipy.stats.kendalltau, asymptotic, at 80 readings: apart by the continuity correction only."""
    rng = np.random.default_rng(80)
    x, y = np.arange(80.0), rng.normal(size=80) + np.arange(80) * 0.01
    test = mann_kendall(x, y)
    assert not test.exact
    z = stats.norm.isf(stats.kendalltau(x, y, method="asymptotic").pvalue / 2)
    assert stats.norm.isf(test.p / 2) == pytest.approx(z * (abs(test.s) - 1) / abs(test.s))
