"""Null distributions against brute force, scipy.stats and published tables."""

from itertools import permutations

import numpy as np
import pytest
from scipy import stats

from service.domain.errors import CannotCompute
from service.domain.rank_distributions import (
    bounding_rank,
    bounding_rank_normal,
    kendall_distribution,
    normal_quantile,
    two_sided_p,
    wilcoxon_distribution,
)


@pytest.mark.parametrize("groups", [(1, 1, 1, 1, 1), (2, 1, 1, 2), (3, 1, 2), (1, 4, 1), (2, 2, 2), (6,)])
def test_kendall_by_every_order(groups):
    """Against counting the discordant pairs of every order of the values."""
    x = np.repeat(np.arange(len(groups)), groups)
    i, j = np.triu_indices(x.size, 1)
    apart = x[j] > x[i]
    orders = np.array(list(permutations(range(x.size))))
    discordant = ((orders[:, j] < orders[:, i]) & apart).sum(axis=1)
    pmf = kendall_distribution(groups)
    assert np.bincount(discordant, minlength=pmf.size) / len(orders) == pytest.approx(pmf, abs=1e-12)


@pytest.mark.parametrize("n", [5, 9, 17, 30])
def test_kendall_against_scipy(n):
    """scipy.stats.kendalltau with method="exact"."""
    rng = np.random.default_rng(n)
    for _ in range(10):
        y = rng.permutation(n)
        i, j = np.triu_indices(n, 1)
        discordant = int((y[j] < y[i]).sum())
        expected = stats.kendalltau(np.arange(n), y, method="exact").pvalue
        assert two_sided_p(kendall_distribution((1,) * n), discordant) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("n", [1, 6, 9, 25, 100])
def test_wilcoxon_against_scipy(n):
    """scipy.stats.wilcoxon with method="exact" on the values 1 … n, some negative."""
    values = np.arange(1, n + 1) * np.where(np.arange(n) % 3 == 0, -1.0, 1.0)
    rank_sum = int(values[values > 0].sum())
    expected = stats.wilcoxon(values, method="exact", alternative="less").pvalue
    assert wilcoxon_distribution(n)[: rank_sum + 1].sum() == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("n", "critical"), [(6, 0), (8, 3), (10, 8), (12, 13), (15, 25), (20, 52), (25, 89), (30, 137)]
)
def test_bounding_ranks_of_wilcoxon(n, critical):
    """The critical sums at 5 % two-sided that any handbook's table of Wilcoxon's test prints (from memory).

    The rank that bounds is one above; what it attains, from scipy.stats.wilcoxon's exact p of a sum that small.
    """
    rank, attained = bounding_rank(wilcoxon_distribution(n), 0.95)
    assert rank == critical + 1
    negative = _ranks_that_sum_to(critical, n)
    values = np.where(np.isin(np.arange(1, n + 1), negative), 1.0, -1.0) * np.arange(1, n + 1)
    assert attained == pytest.approx(1 - stats.wilcoxon(values, method="exact").pvalue, rel=1e-9)


def _ranks_that_sum_to(total: int, n: int) -> list[int]:
    chosen = []
    for rank in range(n, 0, -1):
        if rank <= total:
            chosen.append(rank)
            total -= rank
    return chosen


def test_attained_confidence_where_95_cannot_be_reached():
    """Five signed values attain 1 − 2/2⁵ at most, four ordered ones 1 − 2/4! (closed forms)."""
    assert bounding_rank(wilcoxon_distribution(5), 0.95) == (1, pytest.approx(0.9375))
    assert bounding_rank(kendall_distribution((1,) * 4), 0.95) == (1, pytest.approx(1 - 2 / 24))


@pytest.mark.parametrize("n", [40, 60])
def test_normal_ranks_meet_the_exact_ones(n):
    """The normal approximation chooses the exact rank within one, where both can be had."""
    variance = n * (n - 1) * (2 * n + 5) / 18
    # Kendall's S is twice the count of discordant pairs less a constant: the count has a quarter of its variance.
    near, confidence = bounding_rank_normal(n * (n - 1) // 2, variance / 4, 0.95)
    exact, attained = bounding_rank(kendall_distribution((1,) * n), 0.95)
    assert abs(near - exact) <= 1
    assert confidence == pytest.approx(attained, abs=0.002)


def test_distributions_add_up_and_are_symmetric():
    for pmf in (kendall_distribution((1,) * 60), kendall_distribution((2, 3, 1, 1, 5)), wilcoxon_distribution(100)):
        assert pmf.sum() == pytest.approx(1, abs=1e-12)
        assert pmf == pytest.approx(pmf[::-1], abs=1e-15)


def test_normal_quantile():
    """1.959964 for 97.5 %, 1.644854 for 95 % (any table of the normal distribution)."""
    assert normal_quantile(0.975) == pytest.approx(1.959964, abs=5e-7)
    assert normal_quantile(0.95) == pytest.approx(1.644854, abs=5e-7)


def test_nothing_to_bound():
    with pytest.raises(CannotCompute, match="too few"):
        bounding_rank_normal(0, 0, 0.95)
