"""Slope of one bike's quantity along its axis, and when it will leave its band.

Conventions, where sources differ: the slope's limits are ordered pairwise slopes, outward and never interpolated
between two of them (Gilbert 1987 interpolates); ties are counted as in Kendall's tau-b; the line runs through the
median of y − slope · x over the readings (Conover; others take the medians of x and y apart).
"""

from collections import Counter
from dataclasses import dataclass

import numpy as np

from service.domain.conformity import Band
from service.domain.errors import CannotCompute
from service.domain.mann_kendall import mann_kendall, tied_variance
from service.domain.ordered_readings import OrderedReadings, pairs_of
from service.domain.rank_distributions import (
    KENDALL_EXACT_UP_TO,
    bounding_rank,
    bounding_rank_normal,
    kendall_distribution,
)

FEWEST_POSITIONS = 5
CONFIDENCE = 0.95
FARTHEST_SPANS = 10


@dataclass(frozen=True)
class Line:
    """value = at_zero + slope · position."""

    slope: float
    at_zero: float

    def crosses(self, limit: float) -> float:
        return (limit - self.at_zero) / self.slope


@dataclass(frozen=True)
class Slope:
    """Median slope in the quantity's unit per unit of position, with its interval and the confidence attained.

    p is that of Mann and Kendall for no trend at all, tau_b its strength; `lines` are those of value, low and high.
    """

    value: float
    low: float
    high: float
    confidence: float
    p: float
    tau_b: float
    lines: tuple[Line, Line, Line]
    n: int


@dataclass(frozen=True)
class Forecast:
    """Position at which the line leaves the band, between low and high; high is None if no end can be foreseen."""

    leaves_at: float
    low: float
    high: float | None


def slope_of(readings: OrderedReadings, confidence: float = CONFIDENCE, step: float = 0.0) -> Slope:
    """Theil–Sen slope with Sen's interval (Theil 1950; Sen 1968, JASA 63:1379) over all pairs of distinct positions.

    The interval's ranks come from the exact null distribution of Kendall's count, also where positions tie, up to 60
    readings; beyond, from the normal approximation. `confidence` is the least asked for; what the chosen ranks attain
    is in the answer (98.3 % for five readings, which cannot do 95). `step` is the one that values are rounded to, in
    their unit: each difference is then given the room that rounding takes, up to a quarter of a step, or the interval
    would cover too seldom (85 % of 30 readings scattering by one step, by simulation). With 0 it is Sen's own.
    Raises CannotCompute below five distinct positions and where all values are the same.
    """
    x, y = readings.positions, readings.values
    if readings.distinct < FEWEST_POSITIONS:
        raise CannotCompute(
            f"A slope needs readings at {FEWEST_POSITIONS} different positions; so far there are {readings.distinct}."
        )
    if np.ptp(y) == 0:
        raise CannotCompute(f"All {readings.n} readings are the same: no slope that they could show.")
    rise, run = _pairs(x, y)
    k, attained = _rank(x, run.size, confidence)
    # Positions too close together overflow here; that is looked for once, below.
    with np.errstate(all="ignore"):
        value = float(_middle(np.sort(rise / run)))
        room = _room_of_rounding(y - value * x, step)
        low, high = float(np.sort((rise - room) / run)[k - 1]), float(np.sort((rise + room) / run)[-k])
        levels = _middle(np.sort(y - np.outer((value, low, high), x)))
    lines = tuple(Line(b, float(level)) for b, level in zip((value, low, high), levels, strict=True))
    if not all(np.isfinite((line.slope, line.at_zero)).all() for line in lines):
        raise CannotCompute("The readings are too close together along the axis for a slope.")
    test = mann_kendall(x, y)
    return Slope(value, low, high, attained, test.p, test.tau_b, lines, readings.n)


def _pairs(x: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Differences of values and of positions over all pairs that stand apart."""
    i, j = pairs_of(x.size)
    apart = x[j] > x[i]
    return (y[j] - y[i])[apart], (x[j] - x[i])[apart]


def _middle(ordered: np.ndarray) -> np.ndarray:
    """The median along the last axis of what is in order already."""
    n = ordered.shape[-1]
    return (ordered[..., (n - 1) // 2] + ordered[..., n // 2]) / 2


def _room_of_rounding(residuals: np.ndarray, step: float) -> float:
    """0.15 step² / scatter, at most step / 4: found by simulation, steps of a tenth to ten times the scatter."""
    scatter = float(np.std(residuals, ddof=2)) if step > 0 else 0.0
    return step / 4 if scatter <= 0.6 * step else 0.15 * step * (step / scatter)


def _rank(x: np.ndarray, pairs: int, confidence: float) -> tuple[int, float]:
    groups = tuple(sorted(Counter(x.tolist()).values()))
    if x.size <= KENDALL_EXACT_UP_TO:
        return bounding_rank(kendall_distribution(groups), confidence)
    # S is twice the count of discordant pairs less a constant, so the count has a quarter of its variance.
    return bounding_rank_normal(pairs, tied_variance(groups, (1,) * x.size) / 4, confidence)


def forecast_of(slope: Slope, readings: OrderedReadings, band: Band | None) -> Forecast:
    """Where the line leaves the band, in the axis' unit; low and high are where the lines of the slope's limits do.

    Only the slope's own uncertainty is in the interval. Raises CannotCompute without a band, if the slope could be
    zero, if the line runs to an open side, if it has left the band already, and beyond ten times the span measured.
    """
    if band is None or band.is_open:
        raise CannotCompute("There is no band to leave.")
    if slope.low <= 0 <= slope.high:
        raise CannotCompute("The slope could be zero: no forecast.")
    rising = slope.value > 0
    limit, behind = (band.upper, band.lower) if rising else (band.lower, band.upper)
    latest = float(readings.positions[-1])
    if limit is None:
        raise CannotCompute("It moves away from the only limit that its band has.")
    now = slope.lines[0].at_zero + slope.value * latest
    if (now - limit) * (1 if rising else -1) >= 0:
        raise CannotCompute("By its line it has left the band already.")
    if behind is not None and (now - behind) * (1 if rising else -1) < 0:
        raise CannotCompute("It stands outside its band and moves toward it.")
    horizon = latest + FARTHEST_SPANS * readings.span
    crossings = [line.crosses(limit) for line in slope.lines]
    if not crossings[0] <= horizon:
        raise CannotCompute("Its band lasts longer than can be foreseen: over ten times the span measured so far.")
    low, high = max(latest, min(crossings)), max(crossings)
    return Forecast(crossings[0], low, high if high <= horizon else None)
