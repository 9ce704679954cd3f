"""A knock or wear: did the readings jump at one place, or drift along?

A jump is claimed only where Pettitt's test is significant and one step explains the readings better than one straight
line, by six or more in BIC ("strong evidence", Raftery 1995, Sociological Methodology 25:111). Without that margin the
step's free choice of place would call up to 29 % of steady drifts a jump; with it simulations find under 3 %. What
settles quickly and then stays is, to a few readings, a jump too. A knock on top of strong wear can go unclaimed.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from service.domain.errors import CannotCompute
from service.domain.ordered_readings import OrderedReadings

FEWEST_READINGS = 8  # With seven, no order of readings at all is rarer than 5 % in Pettitt's test.
FEWEST_EACH_SIDE = 2
LEVEL = 0.05
STRONG_EVIDENCE = 6.0
SIMULATED_UP_TO = 60
SIMULATED_ORDERS = 10_000


@dataclass(frozen=True)
class Jump:
    """A step between the positions `before` and `after`, its size in the quantity's unit; `index` that of `after`."""

    index: int
    before: float
    after: float
    size: float
    p: float

    @property
    def at(self) -> float:
        """Halfway between the last reading before the jump and the first one after it."""
        return (self.before + self.after) / 2


@dataclass(frozen=True)
class Comparison:
    """BIC of one level, a straight line and one step with its best place; lower explains the readings better."""

    level: float
    line: float
    step: float
    index: int


def find_jump(readings: OrderedReadings) -> Jump:
    """The one jump in the readings; its size is the median of all differences after minus before (Hodges–Lehmann).

    Raises CannotCompute, with the reason in words, below eight readings and where no jump can be claimed.
    """
    if readings.n < FEWEST_READINGS:
        raise CannotCompute(f"To tell a jump takes {FEWEST_READINGS} readings; so far there are {readings.n}.")
    if np.ptp(readings.values) == 0:
        raise CannotCompute("No jump: all readings are the same.")
    fits = compare_step_and_line(readings)
    if fits.step > fits.line - STRONG_EVIDENCE:
        raise CannotCompute("No jump: a straight line explains the readings about as well as a step.")
    _, p = pettitt(readings)
    if p > LEVEL:
        raise CannotCompute("No jump: the readings before and after do not differ enough.")
    x, y, k = readings.positions, readings.values, fits.index
    size = float(np.median(np.subtract.outer(y[k:], y[:k])))
    return Jump(k, float(x[k - 1]), float(x[k]), size, p)


def compare_step_and_line(readings: OrderedReadings) -> Comparison:
    """BIC = n ln(RSS/n) + n (1 + ln 2π) + k ln n, k = 2 for a level, 3 for a line, 4 for a step (its place counted).

    Least squares throughout (Bai and Perron 2003, Journal of Applied Econometrics 18:1, for the step). A step stands
    between two different positions, with two readings or more on each side.
    Raises CannotCompute if there is no such place or all values are the same.
    """
    n, scale = readings.n, float(np.ptp(readings.values))
    places = _places(readings.positions, FEWEST_EACH_SIDE)
    if places.size == 0 or scale == 0:
        raise CannotCompute("No jump: the readings leave no place for one.")
    y = readings.values / scale
    y = y - y.mean()
    x = (readings.positions - readings.positions[0]) / readings.span
    x = x - x.mean()
    level = float(y @ y)
    sums = np.cumsum(y)[places - 1]
    gains = sums**2 / places + sums**2 / (n - places)
    best = int(np.argmax(gains))
    line, step = level - float(x @ y) ** 2 / float(x @ x), level - float(gains[best])

    def bic(rss: float, k: int) -> float:
        # Readings that fit exactly would give minus infinity; a floor far below any reading's digits does not.
        log_variance = np.log(max(rss, 1e-12 * level) / n) + 2 * np.log(scale)
        return float(n * (log_variance + 1 + np.log(2 * np.pi)) + k * np.log(n))

    return Comparison(bic(level, 2), bic(line, 3), bic(step, 4), int(places[best]))


def pettitt(readings: OrderedReadings) -> tuple[int, float]:
    """Pettitt's K and its p (Pettitt 1979, Applied Statistics 28:126): K = max |2 Σ_{i≤t} rank_i − t (n + 1)|.

    Up to 60 readings p comes from 10,000 random orders with a fixed seed, since the paper's 2 exp(−6K²/(n³ + n²)),
    used beyond, is two to five times too large there. Tied values share their mean rank, and readings of one position
    are never split: both make K smaller, p larger.
    """
    n = readings.n
    ranks_twice = _twice_mean_ranks(readings.values)
    places = _places(readings.positions, 1)
    if places.size == 0:
        raise CannotCompute("No jump: all readings have one position.")
    k = int(np.max(np.abs(np.cumsum(ranks_twice)[places - 1] - places * (n + 1))))
    if n <= SIMULATED_UP_TO:
        as_far = SIMULATED_ORDERS - int(np.searchsorted(_random_orders(n), k))
        return k, (1 + as_far) / (1 + SIMULATED_ORDERS)
    return k, float(min(1.0, 2 * np.exp(-6.0 * k**2 / (n**3 + n**2))))


def _places(x: np.ndarray, each_side: int) -> np.ndarray:
    """Numbers of readings before each possible jump."""
    places = np.flatnonzero(np.diff(x) > 0) + 1
    return places[(places >= each_side) & (places <= x.size - each_side)]


def _twice_mean_ranks(values: np.ndarray) -> np.ndarray:
    """Twice the ranks from 1 on, ties sharing their mean: whole numbers."""
    ordered = np.sort(values)
    return np.searchsorted(ordered, values, "left") + np.searchsorted(ordered, values, "right") + 1


@lru_cache(maxsize=SIMULATED_UP_TO)
def _random_orders(n: int) -> np.ndarray:
    """K of random orders of n untied readings, ascending."""
    ranks = np.random.default_rng(n).random((SIMULATED_ORDERS, n), dtype=np.float32).argsort(axis=1) + 1
    u = 2 * np.cumsum(ranks, axis=1)[:, :-1] - np.arange(1, n) * (n + 1)
    return np.sort(np.abs(u).max(axis=1))
