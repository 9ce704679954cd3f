"""The interval of a noise's period from taps with human jitter, missed taps and a tempo that changes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ops.coverage_checks.section import MOST, Row, coverage, repeat
from service.domain.errors import CannotCompute
from service.domain.noise_tapping import tapped_period

JITTER_MS = 25.0
MISSED = 0.1
DRIFT = 0.04


def heard(random: np.random.Generator, taps: int, period_ms: float, missed: float, drift: float) -> np.ndarray:
    """True times of the noises that are tapped; the tempo changes steadily by `drift` over all of them, either way."""
    skips = random.geometric(1 - missed, taps - 1)
    index = np.concatenate([[0], np.cumsum(skips)])
    share = index / index[-1] - 0.5
    bend = random.choice([-drift, drift]) * index[-1] * (share**2 - 0.25) / 2
    return period_ms * (index + bend), index[-1]


def rows(simulations: int, seed: int) -> Iterator[Row]:
    """The truth is the mean period from the first noise tapped to the last."""
    random = np.random.default_rng(seed)
    for taps in (4, 6, 8, 12, 20, 40):
        for period, missed, drift in ((700, 0, 0), (1500, MISSED, DRIFT), (700, MISSED, 0), (400, MISSED, DRIFT)):
            if taps < 6 and missed:
                continue  # three intervals cannot tell which of them holds a missed tap

            def covers(taps: int = taps, period: float = period, missed: float = missed, drift: float = drift) -> bool:
                times, last = heard(random, taps, period, missed, drift)
                mean = (times[-1] - times[0]) / last
                try:
                    low, high = tapped_period(np.sort(times + random.normal(0, JITTER_MS, taps))).interval_ms
                except CannotCompute:
                    return False  # counts against the interval, though the mechanic is told in words
                return low <= mean <= high

            label = f"period {period} ms, {taps} taps, {missed:.0%} missed, drift {drift:.0%}"
            yield coverage(label, repeat(simulations, covers), MOST if taps >= 12 else None)
