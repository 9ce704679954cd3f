"""Capability: how well do handed-over values fill their band?

Handed-over values are those after adjusting, so that this speaks of the work as it leaves the shop, not of the parts.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import chdtri

from service.domain.conformity import Band
from service.domain.errors import CannotCompute
from service.domain.rank_distributions import normal_quantile

FEWEST_VALUES = 10
CONFIDENCE = 0.95


@dataclass(frozen=True)
class Index:
    """A capability index without unit, and its interval."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Capability:
    """Cp (None for a one-sided band) and Cpk, from the mean and the standard deviation of n values."""

    cp: Index | None
    cpk: Index
    mean: float
    sd: float
    n: int
    confidence: float


def capability(values: Sequence[float], band: Band | None, confidence: float = CONFIDENCE) -> Capability:
    """Cp and Cpk of values in the band's unit, with the overall standard deviation of the sample.

    Raises CannotCompute without a band, below ten values, if all are the same and for numbers that are not finite.
    """
    x = np.asarray(values, dtype=float)
    if x.ndim != 1 or not np.all(np.abs(x) < 1e150):
        raise CannotCompute("A value is missing or is not an ordinary number.")
    if x.size < FEWEST_VALUES:
        raise CannotCompute(f"Capability needs {FEWEST_VALUES} handed-over values; so far there are {x.size}.")
    if np.ptp(x) == 0:
        raise CannotCompute(f"All {x.size} values are the same: there is no spread to compare with the band.")
    return capability_of(float(x.mean()), float(x.std(ddof=1)), x.size, band, confidence)


def capability_of(mean: float, sd: float, n: int, band: Band | None, confidence: float = CONFIDENCE) -> Capability:
    """Cp = width / 6 s and Cpk = distance of the nearer limit / 3 s (NIST/SEMATECH e-Handbook 6.1.6).

    Cp's interval is exact for normal values, from chi-squared. Cpk's is Bissell's approximation as the handbook and
    Montgomery (Introduction to Statistical Quality Control, ch. 8) give it: ± z √(1/(9n) + Cpk²/(2(n−1))).
    Raises CannotCompute without a band, for fewer than two values and a standard deviation that is not positive.
    """
    if band is None or band.is_open:
        raise CannotCompute("There is no band to compare with.")
    if n < 2 or not (np.isfinite(mean) and np.isfinite(sd) and sd > 0):
        raise CannotCompute("There is no spread to compare with the band.")
    sides = []
    if band.upper is not None:
        sides.append((band.upper - mean) / (3 * sd))
    if band.lower is not None:
        sides.append((mean - band.lower) / (3 * sd))
    cp = _cp((band.upper - band.lower) / (6 * sd), n, confidence) if len(sides) == 2 else None
    return Capability(cp, _cpk(min(sides), n, confidence), mean, sd, n, confidence)


def _cp(cp: float, n: int, confidence: float) -> Index:
    tail = (1 - confidence) / 2
    # chdtri takes the probability above.
    low, high = (float(cp * np.sqrt(chdtri(n - 1, above) / (n - 1))) for above in (1 - tail, tail))
    return Index(cp, low, high)


def _cpk(cpk: float, n: int, confidence: float) -> Index:
    half = normal_quantile((1 + confidence) / 2) * np.sqrt(1 / (9 * n) + cpk**2 / (2 * (n - 1)))
    return Index(cpk, float(cpk - half), float(cpk + half))
