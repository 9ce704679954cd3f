"""Control charts over the jobs of a shop: does the work stay as it was, or has something changed?

Constants as the NIST/SEMATECH e-Handbook of Statistical Methods rounds them: d2 = 1.128 and D4 = 3.267 for moving
ranges of two (exact 2/√π = 1.128379 would move the limits by 0.03 %).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from service.domain.errors import CannotCompute

D2 = 1.128
D4 = 3.267
WIDTH = 3.0
FEWEST_VALUES = 5
SETTLED_FROM = 20
EWMA_WEIGHT = 0.3


@dataclass(frozen=True)
class IndividualsChart:
    """Centre and limits of single values and of their moving ranges, in the quantity's unit; `beyond` are indices.

    `provisional` below twenty values: limits from few values still move (common practice).
    """

    centre: float
    sigma: float
    lower: float
    upper: float
    beyond: tuple[int, ...]
    moving_ranges: np.ndarray
    mean_moving_range: float
    moving_range_upper: float
    moving_ranges_beyond: tuple[int, ...]
    provisional: bool


@dataclass(frozen=True)
class EwmaChart:
    """Exponentially weighted means with their limits, in the quantity's unit; `beyond` are indices."""

    means: np.ndarray
    lower: float
    upper: float
    beyond: tuple[int, ...]


@dataclass(frozen=True)
class ZoneAlarm:
    """The value at `index` completes the pattern that `rule` says in words."""

    index: int
    rule: str


def individuals_chart(values: Sequence[float]) -> IndividualsChart:
    """Individuals and moving-range chart (NIST/SEMATECH e-Handbook 6.3.2.2): mean ± 3 · mean moving range / 1.128.

    `values` in time order, one a job, in one unit. Values on a limit are not beyond it.
    Raises CannotCompute below five values, if all are the same, and for numbers that are not finite.
    """
    x = _checked(values)
    if x.size < FEWEST_VALUES:
        raise CannotCompute(f"A chart needs {FEWEST_VALUES} jobs with this value; so far there are {x.size}.")
    ranges = np.abs(np.diff(x))
    mean_range, centre = float(ranges.mean()), float(x.mean())
    if mean_range == 0:
        raise CannotCompute(f"All {x.size} values are the same: there is no spread to set limits by.")
    sigma = mean_range / D2
    lower, upper = centre - WIDTH * sigma, centre + WIDTH * sigma
    return IndividualsChart(
        centre=centre,
        sigma=sigma,
        lower=lower,
        upper=upper,
        beyond=_outside(x, lower, upper),
        moving_ranges=ranges,
        mean_moving_range=mean_range,
        moving_range_upper=D4 * mean_range,
        moving_ranges_beyond=tuple(int(i) + 1 for i in np.flatnonzero(ranges > D4 * mean_range)),
        provisional=x.size < SETTLED_FROM,
    )


def ewma_chart(values: Sequence[float], start: float, sigma: float, weight: float = EWMA_WEIGHT) -> EwmaChart:
    """Exponentially weighted means (NIST/SEMATECH e-Handbook 6.3.2.4): z = weight · x + (1 − weight) · z before.

    `start` is the level to compare with, `sigma` the standard deviation of single values, both in their unit. Limits
    are the lasting ones, start ± 3 sigma √(weight / (2 − weight)), as in the handbook, also for the first values.
    Raises CannotCompute for no values, a weight outside (0, 1] and a sigma that is not positive.
    """
    x = _checked(values)
    if x.size == 0:
        raise CannotCompute("There are no values to chart.")
    if not 0 < weight <= 1:
        raise CannotCompute("The weight must be above 0 and at most 1.")
    if not (np.isfinite(start) and np.isfinite(sigma) and sigma > 0):
        raise CannotCompute("There is no spread to set limits by.")
    means, z = np.empty(x.size), start
    for i, value in enumerate(x):
        z = weight * float(value) + (1 - weight) * z
        means[i] = z
    half = WIDTH * sigma * (weight / (2 - weight)) ** 0.5
    return EwmaChart(means, start - half, start + half, _outside(means, start - half, start + half))


ZONE_RULES = (
    # (how many, of how many, beyond so many sigma, in words)
    (2, 3, 2.0, "two of three beyond two sigma on one side"),
    (4, 5, 1.0, "four of five beyond one sigma on one side"),
    (8, 8, 0.0, "eight in a row on one side"),
)


def zone_alarms(values: Sequence[float], centre: float, sigma: float) -> tuple[ZoneAlarm, ...]:
    """The zone rules (Western Electric 1956; NIST/SEMATECH e-Handbook 6.3.2), besides the rule beyond three sigma.

    Only on request: all together alarm on about a third of stable series of fifty. The value that completes a pattern
    must be part of it. Raises CannotCompute for a sigma that is not positive.
    """
    x = _checked(values)
    if not (np.isfinite(centre) and np.isfinite(sigma) and sigma > 0):
        raise CannotCompute("There is no spread to lay zones by.")
    z = (x - centre) / sigma
    alarms = []
    for needed, window, limit, words in ZONE_RULES:
        for side in (z, -z):
            past = side > limit
            counts = np.convolve(past, np.ones(window, dtype=int))[: x.size]
            alarms += [ZoneAlarm(int(i), words) for i in np.flatnonzero(past & (counts >= needed))]
    return tuple(sorted(alarms, key=lambda a: (a.index, a.rule)))


def _checked(values: Sequence[float]) -> np.ndarray:
    x = np.asarray(values, dtype=float)
    if x.ndim != 1 or not np.all(np.abs(x) < 1e150):
        raise CannotCompute("A value is missing or is not an ordinary number.")
    return x


def _outside(x: np.ndarray, lower: float, upper: float) -> tuple[int, ...]:
    return tuple(int(i) for i in np.flatnonzero((x < lower) | (x > upper)))
