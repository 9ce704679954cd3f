"""What the stand gets systematically wrong: the net correction that test rides needed, over many jobs.

One number a job: the sum of what was turned on the road, zero where "nothing needed" was logged; rides without a
correction belong in, or the offset is overstated.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from service.domain.errors import CannotCompute
from service.domain.grain import grain_of
from service.domain.rank_distributions import (
    WILCOXON_EXACT_UP_TO,
    bounding_rank,
    bounding_rank_normal,
    wilcoxon_distribution,
)

FEWEST_JOBS = 6
CONFIDENCE = 0.95
MOST_JOBS = 500
HIDDEN = 0.25  # of a step, between two Walsh averages
HIDDEN_IF_CLOSE = 0.45  # less than the half that lies between two Walsh averages: what the test tells stays told


@dataclass(frozen=True)
class StandOffset:
    """Typical correction with its interval, in the adjuster's unit; `certain` if the interval excludes zero."""

    value: float
    low: float
    high: float
    confidence: float
    n: int
    certain: bool
    step: float


def stand_offset(
    corrections: Sequence[float], step: float | None = None, confidence: float = CONFIDENCE
) -> StandOffset:
    """Hodges–Lehmann estimate with the interval of Wilcoxon's signed-rank test (Hollander, Wolfe and Chicken 2014,
    3.2 and 3.3): the median and two order statistics of all Walsh averages, the exact ranks up to 100 jobs.

    `corrections`: one a job, in the adjuster's unit, newest last; `step` the smallest amount that is turned at a time.
    `confidence` is the least asked for, the answer holds the one attained. Corrections come in whole steps, so that a
    Walsh average is only known to a quarter of a step: the limits are moved out by that, and by 0.45 where all
    corrections lie within a step or so, for rounding then hides where between two steps the truth is. Neither moves a
    limit to zero, so that the offset is certain where the exact test says so. Zeros and ties are kept, which is
    conservative.
    Raises CannotCompute below six jobs and for numbers that are not finite.
    """
    d = np.asarray(corrections, dtype=float)[-MOST_JOBS:]
    if d.size < FEWEST_JOBS:
        more = rides_to_start(d.size)
        raise CannotCompute(f"{_rides(d.size)} so far, {more} more {'is' if more == 1 else 'are'} needed.")
    if not np.all(np.abs(d) < 1e6):
        raise CannotCompute("A correction is missing or is not an ordinary number.")
    i, j = np.triu_indices(d.size)
    walsh = np.sort((d[i] + d[j]) / 2)
    k, attained = _rank(d.size, walsh.size, confidence)
    low, high = float(walsh[k - 1]), float(walsh[-k])
    grain = grain_of([0.0, step or 0.0, *d])
    hidden = grain * (HIDDEN_IF_CLOSE if np.std(d, ddof=1) < 0.55 * grain else HIDDEN)
    low, high = low - hidden, high + hidden
    return StandOffset(float(np.median(walsh)), low, high, attained, d.size, low > 0 or high < 0, grain)


def advice(offset: StandOffset, unit: str, positive: str, negative: str) -> str:
    """What to do about it, in words; `positive` and `negative` name the directions, as "inboard" and "outboard"."""
    if not offset.certain:
        return f"No advice: the interval holds zero. {_more_rides(offset)}"
    amount = abs(offset.value)
    if offset.step > 0:
        amount = math.floor(amount / offset.step + 0.5) * offset.step
    if amount == 0:
        return f"The offset is real, but less than half a {unit}: nothing to start differently."
    units = unit if amount <= 1 or unit in ("mm", "°", "%") else f"{unit}s"
    return f"On the stand, start {amount:.4g} {units} {positive if offset.value > 0 else negative}."


def rides_to_start(n: int) -> int:
    """How many more rides the first estimate needs after n."""
    return max(0, FEWEST_JOBS - n)


def rides_needed(offset: StandOffset) -> int | None:
    """How many more rides should tell the offset from zero, if it is as large as it looks; None if it looks like zero.

    An interval narrows with the square root of the number of rides.
    """
    if offset.certain:
        return 0
    half_width = (offset.high - offset.low) / 2
    if abs(offset.value) <= 0.1 * half_width:
        return None
    return max(1, math.ceil(offset.n * (half_width / offset.value) ** 2) - offset.n)


def _more_rides(offset: StandOffset) -> str:
    more = rides_needed(offset)
    if more is None:
        return f"After {_rides(offset.n)} the stand looks right."
    return f"If it is as large as it looks, about {_rides(more, 'more ')} will show it."


def _rides(n: int, more: str = "") -> str:
    return f"{n} {more}ride{'' if n == 1 else 's'}"


def _rank(n: int, averages: int, confidence: float) -> tuple[int, float]:
    if n <= WILCOXON_EXACT_UP_TO:
        return bounding_rank(wilcoxon_distribution(n), confidence)
    return bounding_rank_normal(averages, n * (n + 1) * (2 * n + 1) / 24, confidence)
