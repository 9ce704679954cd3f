"""Mann–Kendall: do the values rise or fall along the axis at all?"""

from collections import Counter
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from service.domain.errors import CannotCompute
from service.domain.ordered_readings import pairs_of
from service.domain.rank_distributions import KENDALL_EXACT_UP_TO, kendall_distribution, two_sided_p


@dataclass(frozen=True)
class TrendTest:
    """Kendall's S (concordant minus discordant pairs), tau-b and the two-sided p; exact tells how p was found."""

    s: int
    tau_b: float
    p: float
    exact: bool


def mann_kendall(x: np.ndarray, y: np.ndarray) -> TrendTest:
    """Test of no trend of y along x (Mann 1945, Kendall 1975); ties in either are legal.

    p is exact up to 60 readings as long as only one of the two has ties, else from the normal approximation with the
    variance for ties and a continuity correction. tau-b = S / √((N − ties in x)(N − ties in y)).
    Raises CannotCompute if all x or all y are the same.
    """
    i, j = pairs_of(x.size)
    s = int(np.sum(np.sign(x[j] - x[i]) * np.sign(y[j] - y[i])))
    x_groups, y_groups = _group_sizes(x), _group_sizes(y)
    pairs = x.size * (x.size - 1) // 2
    comparable = (pairs - _tied_pairs(x_groups)) * (pairs - _tied_pairs(y_groups))
    if comparable == 0:
        raise CannotCompute("All readings are the same: there is no order to test.")
    tau_b = s / comparable**0.5
    one_sided_ties = len(y_groups) == x.size or len(x_groups) == x.size
    if one_sided_ties and x.size <= KENDALL_EXACT_UP_TO:
        groups = x_groups if len(y_groups) == x.size else y_groups
        pmf = kendall_distribution(groups)
        return TrendTest(s, tau_b, two_sided_p(pmf, (pmf.size - 1 - s) // 2), True)
    z = max(0, abs(s) - 1) / tied_variance(x_groups, y_groups) ** 0.5
    return TrendTest(s, tau_b, float(min(1.0, 2 * ndtr(-z))), False)


def tied_variance(x_groups: tuple[int, ...], y_groups: tuple[int, ...]) -> float:
    """Variance of S when nothing is going on, for groups of ties in both (Kendall 1970, Rank Correlation, 4.9)."""
    n = sum(x_groups)
    t, u = np.asarray(x_groups, dtype=float), np.asarray(y_groups, dtype=float)

    def first(g: np.ndarray) -> float:
        return float(np.sum(g * (g - 1) * (2 * g + 5)))

    def pairs(g: np.ndarray) -> float:
        return float(np.sum(g * (g - 1)))

    def triples(g: np.ndarray) -> float:
        return float(np.sum(g * (g - 1) * (g - 2)))

    variance = (n * (n - 1) * (2 * n + 5) - first(t) - first(u)) / 18 + pairs(t) * pairs(u) / (2 * n * (n - 1))
    if n > 2:
        variance += triples(t) * triples(u) / (9 * n * (n - 1) * (n - 2))
    return variance


def _group_sizes(values: np.ndarray) -> tuple[int, ...]:
    return tuple(sorted(Counter(values.tolist()).values()))


def _tied_pairs(groups: tuple[int, ...]) -> int:
    return sum(g * (g - 1) // 2 for g in groups)
