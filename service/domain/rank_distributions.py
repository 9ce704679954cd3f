"""Exact distributions of rank statistics when nothing is going on, and the ranks that bound an interval.

Counts have no unit. Each is built from sums of probabilities only, so that no digits are lost to subtraction.
"""

from functools import lru_cache

import numpy as np
from scipy.special import ndtr, ndtri

from service.domain.errors import CannotCompute

KENDALL_EXACT_UP_TO = 60
WILCOXON_EXACT_UP_TO = 100


@lru_cache(maxsize=1024)
def kendall_distribution(groups: tuple[int, ...]) -> np.ndarray:
    """Probabilities of 0, 1, 2, … discordant pairs, where one of two unrelated rankings is tied in these groups.

    Without ties every group is 1 (Kendall 1938). With ties it is the null distribution of Jonckheere and Terpstra: a
    sum of independent Mann–Whitney counts, each group against all before it (Hollander, Wolfe and Chicken 2014, 6.2).
    """
    total, pmf = 0, np.ones(1)
    for size in sorted(groups):
        pmf = np.convolve(pmf, _mann_whitney(total, size))
        total += size
    pmf.setflags(write=False)
    return pmf


@lru_cache(maxsize=4096)
def _mann_whitney(m: int, n: int) -> np.ndarray:
    """Probabilities of U = 0 … mn for two samples of m and n (Mann and Whitney 1947, their recursion)."""
    if m == 0 or n == 0:
        return np.ones(1)
    if n == 1:
        return np.full(m + 1, 1.0 / (m + 1))
    pmf = np.zeros(m * n + 1)
    # The largest of all belongs to the first sample, and then beats all n of the second, or to the second.
    pmf[n:] += _mann_whitney(m - 1, n) * (m / (m + n))
    pmf[: m * (n - 1) + 1] += _mann_whitney(m, n - 1) * (n / (m + n))
    return pmf


@lru_cache(maxsize=256)
def wilcoxon_distribution(n: int) -> np.ndarray:
    """Probabilities of the signed-rank sum 0 … n(n+1)/2 of n values without ties or zeros (Wilcoxon 1945)."""
    pmf = np.ones(1)
    for rank in range(1, n + 1):
        longer = np.zeros(pmf.size + rank)
        longer[: pmf.size] += pmf / 2
        longer[rank:] += pmf / 2
        pmf = longer
    pmf.setflags(write=False)
    return pmf


def bounding_rank(pmf: np.ndarray, confidence: float) -> tuple[int, float]:
    """The rank k for which the k-th smallest and k-th largest of the ordered differences bound the true value.

    `pmf` is that of how many of them lie below the true value. Returns the narrowest k that attains the confidence
    and the confidence attained; limits are order statistics, never interpolated. Where even the outermost pair
    falls short, k is 1 and the attained confidence says so.
    """
    below = np.cumsum(pmf)
    k = max(1, int(np.searchsorted(below, (1 - confidence) / 2 + 1e-12, side="right")))
    return k, float(1 - 2 * below[k - 1])


def bounding_rank_normal(count: int, variance: float, confidence: float) -> tuple[int, float]:
    """As `bounding_rank`, by the normal approximation with continuity correction, for `count` ordered differences."""
    if count < 1 or variance <= 0:
        raise CannotCompute("There are too few differences to bound the value.")
    middle, sd = count / 2, float(np.sqrt(variance))
    k = max(1, int(np.floor(middle - normal_quantile((1 + confidence) / 2) * sd + 0.5)))
    return k, float(1 - 2 * ndtr((k - 0.5 - middle) / sd))


def normal_quantile(p: float) -> float:
    """The standard normal deviate below which a share p lies, 0 < p < 1 (1.959964 for 0.975)."""
    return float(ndtri(p))


def two_sided_p(pmf: np.ndarray, extreme: int) -> float:
    """Probability of a count at least as far from the middle as `extreme`, either way, for a symmetric pmf."""
    nearer = min(extreme, pmf.size - 1 - extreme)
    return float(min(1.0, 2 * pmf[: nearer + 1].sum()))
