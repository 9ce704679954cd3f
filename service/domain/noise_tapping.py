"""The period of a noise from the times at which somebody tapped along with it. Times and periods in milliseconds."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from service.domain.errors import CannotCompute

FEWEST_TAPS = 4
MOST_TAPS = 500
LONGEST_MS = 600_000.0
SHORTEST_PERIOD_MS = 250.0  # from memory: nobody taps along faster than this
_DRIFT_FROM = 8  # taps from which a steady change of tempo is fitted too
_LONG = 20  # taps over which no tempo is steady
_DOUBLE = 0.35  # a tap that follows within this share of the usual interval is the finger bouncing
_HUMAN_MS = 25.0  # scatter of a person's taps; from memory
_FLOOR_MS = 1.0  # a phone's clock is no better


@dataclass(frozen=True)
class Tapping:
    """Mean period over the tapping, its standard uncertainty, degrees of freedom and 95 % interval."""

    period_ms: float
    u_period_ms: float
    freedom: int
    interval_ms: tuple[float, float]
    start_ms: float
    end_ms: float
    taps: int


def tapped_period(taps_ms: Sequence[float]) -> Tapping:
    """Period by least squares of time on index, where the index skips taps that were missed.

    For n taps without a gap its standard error is s root(12 / (n (n2 - 1))), s from the residuals (variance of a
    regression slope, Draper and Smith, ch. 1), the interval by Student's t. From eight taps on a steady change of tempo
    is fitted beside it, which leaves that error as it is and takes the change out of s. Where the tempo wanders (the
    residuals of neighbours go together), and over twenty taps or more, only the first and the last tap count: that is
    wider, and no wandering can bias it.
    Raises CannotCompute for fewer than four taps, times out of order, and periods under 250 ms.
    """
    taps = _checked(taps_ms)
    times = taps - taps[0]
    index = _indices(times)
    middle = (index[0] + index[-1]) / 2
    span = float(index[-1] - index[0])
    x = (index - middle) / span
    columns = [np.ones(len(x)), x] + ([x**2] if len(x) >= _DRIFT_FROM else [])
    design = np.column_stack(columns)
    coefficients = np.linalg.lstsq(design, times, rcond=None)[0]
    left = times - design @ coefficients
    if len(times) >= _LONG or _wanders(left):
        period, u, freedom = _end_to_end(times, index)
    else:
        freedom = len(times) - design.shape[1]
        scatter = max(float(left @ left) / freedom, _FLOOR_MS**2)
        inverse = np.linalg.inv(design.T @ design)
        period, u = float(coefficients[1]) / span, math.sqrt(scatter * float(inverse[1, 1])) / span
    if period < SHORTEST_PERIOD_MS:
        raise CannotCompute("Too fast to tap along: count the noises in ten pedal turns instead.")
    half = float(stdtrit(freedom, 0.975)) * u
    return Tapping(
        period, u, freedom, (max(0.0, period - half), period + half), float(taps[0]), float(taps[-1]), len(taps)
    )


def _checked(taps_ms: Sequence[float]) -> np.ndarray:
    """The times without bounces, refused where they are too few or make no sense."""
    times = np.asarray(taps_ms, dtype=float)
    if not np.all(np.isfinite(times)) or np.any(np.abs(times) > 1e13):
        raise CannotCompute("Tap times must be ordinary numbers of milliseconds.")
    if len(times) > MOST_TAPS or (len(times) and np.ptp(times) > LONGEST_MS):
        raise CannotCompute(f"More than {MOST_TAPS} taps or ten minutes: start again.")
    steps = np.diff(times)
    if np.any(steps < 0):
        raise CannotCompute("The taps are not in the order of time.")
    usual = _usual_interval(steps[steps > 0])
    kept = [0]
    for n in range(1, len(times)):
        if usual and times[n] - times[kept[-1]] > _DOUBLE * usual:
            kept.append(n)
    if len(kept) < FEWEST_TAPS:
        raise CannotCompute("Tap along four times at least; twelve tell much more.")
    return times[kept]


def _usual_interval(steps: np.ndarray) -> float | None:
    """A typical interval between taps, to know a bounce by."""
    return float(np.percentile(steps, 35)) if len(steps) else None


def _indices(times: np.ndarray) -> np.ndarray:
    """Which noise each tap belongs to, counted from 0: each interval is so many periods, one at least.

    Tried from several intervals as the first guess; the one that leaves the least scatter for its period is kept, so
    that neither a tap that came early nor one that was missed decides, and half the period never wins.
    """
    steps = np.diff(times)
    tried = [_counted(times, steps, float(guess)) for guess in np.percentile(steps, (0, 15, 35, 50))]
    return min(tried, key=lambda index: _scatter_for_period(times, index))


def _counted(times: np.ndarray, steps: np.ndarray, period: float) -> np.ndarray:
    index = np.array([])
    for _ in range(5):
        found = np.concatenate([[0.0], np.cumsum(np.maximum(1.0, np.round(steps / period)))])
        if np.array_equal(found, index):
            break
        index = found
        period = float(np.polyfit(index, times, 1)[0])
    return index


def _scatter_for_period(times: np.ndarray, index: np.ndarray) -> float:
    line = np.polyfit(index, times, 1)
    left = times - np.polyval(line, index)
    return (float(left @ left) / (len(times) - 2) + _HUMAN_MS**2) / float(line[0]) ** 2


def _wanders(left: np.ndarray) -> bool:
    """Whether neighbouring residuals go together more than chance lets them (lag-one correlation over its
    standard error above 1)."""
    total = float(left @ left)
    if len(left) < _DRIFT_FROM or total <= len(left) * _FLOOR_MS**2:
        return False
    return float(left[1:] @ left[:-1]) / total * math.sqrt(len(left)) > 1.0


def _end_to_end(times: np.ndarray, index: np.ndarray) -> tuple[float, float, float]:
    """Period from the first to the last tap, which no wandering in between can bias, with its error and freedom.

    The taps' scatter comes from each tap against the line through its two neighbours; those overlap, which leaves
    about half as many degrees of freedom.
    """
    share = (index[1:-1] - index[:-2]) / (index[2:] - index[:-2])
    off = times[1:-1] - (1 - share) * times[:-2] - share * times[2:]
    scatter = max(float(np.mean(off**2 / (1 + (1 - share) ** 2 + share**2))), _FLOOR_MS**2)
    span = float(index[-1] - index[0])
    return float(times[-1] - times[0]) / span, math.sqrt(2 * scatter) / span, len(off) / 1.944
