"""Which part makes the noise: how often the right one is named, and how often a wrong one with confidence.

Ordinary gears and cadences, human jitter, missed taps, a cadence that drifts; cases whose expected periods or counts
differ by more than four standard errors from those of every other part.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from ops.coverage_checks.noise_period import DRIFT, JITTER_MS, MISSED
from ops.coverage_checks.section import Row
from service.domain.errors import CannotCompute
from service.domain.gears import rotations
from service.domain.noise import Candidate, Noise, Sounding, candidates_by_count, candidates_by_taps

RINGS = (30, 32, 34, 36, 38, 40, 46, 48, 50)
COGS = (10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 32, 36, 42, 51)
TAPS = 12
U_CADENCE = 0.03
LISTENED_MISSED = 0.02
UNDECIDED = Noise(None, None, (Candidate("other", None, None, 1.0),), False, (), "")  # too few taps came through
Heard = tuple[str, bool, Noise]


def bike(random: np.random.Generator) -> tuple[Sounding, float]:
    """A gear, and a crank period in ms that nobody knows exactly."""
    ring, cog = int(random.choice(RINGS)), int(random.choice(COGS))
    known = Sounding(ring, cog, chain_links=int(random.integers(104, 120)), pulley_teeth=int(random.integers(11, 15)))
    return known, 60_000 / random.uniform(50, 100)


def tapped_along(random: np.random.Generator, period: float, seconds: float) -> np.ndarray:
    """Taps along a noise for so long, some missed; the tempo drifts over the whole time, as `drifting` says."""
    last = int(seconds * 1000 / period)
    index = np.array([0, *(n for n in range(1, last) if random.random() >= MISSED), last])
    return index * period


def drifting(times: np.ndarray, span: float, way: float) -> np.ndarray:
    """The same noises under a cadence that changes by `way` from start to end."""
    share = times / span - 0.5
    return times + way * span * (share**2 - 0.25) / 2


def by_taps(random: np.random.Generator, with_crank: bool) -> Heard | None:
    """One noise tapped along, beside the crank or with the cadence within 3 %; None where it is too fast to tap."""
    known, crank_ms = bike(random)
    turns = rotations(known.ring, known.cog, known.chain_links, known.pulley_teeth)
    part = str(random.choice(list(turns)))
    period = crank_ms / turns[part]
    if period < 300:
        return None
    span = period * (TAPS - 1) / (1 - MISSED)
    way = random.choice([-DRIFT, DRIFT])

    def taps(of_period: float) -> np.ndarray:
        times = drifting(tapped_along(random, of_period, span / 1000), span, way)
        return np.sort(times + random.normal(0, JITTER_MS, len(times)))

    def error(of_period: float) -> float:
        n = max(4.0, span / of_period)
        return JITTER_MS * math.sqrt(12 / (n * (n * n - 1))) / of_period

    if with_crank and span / crank_ms < 5:
        return None
    said = 60_000 / crank_ms * (1 + random.normal(0, U_CADENCE))
    relative = math.hypot(error(period), error(crank_ms) if with_crank else U_CADENCE)
    others = [turn for other, turn in turns.items() if other != part and crank_ms / turn >= 250]
    apart = all(abs(math.log(turns[part] / turn)) > 4 * relative for turn in others)
    try:
        if with_crank:
            return part, apart, candidates_by_taps(taps(period), known, taps(crank_ms))
        return part, apart, candidates_by_taps(taps(period), replace(known, cadence_rpm=said))
    except CannotCompute:
        return part, apart, UNDECIDED


def by_count(random: np.random.Generator) -> Heard | None:
    """One noise counted over ten turns, begun anywhere and stopped within a twentieth of a turn."""
    known, _ = bike(random)
    turns = rotations(known.ring, known.cog, known.chain_links, known.pulley_teeth)
    part = str(random.choice(list(turns)))
    sounded = (10 + random.normal(0, 0.05)) * turns[part]
    count = random.binomial(int(sounded + random.uniform(0, 1)), 1 - LISTENED_MISSED)
    if count < 1:
        return None
    expected = 10 * turns[part]
    error = math.hypot(0.5, 0.03 * expected)
    apart = all(abs(expected - 10 * turn) > 4 * error for other, turn in turns.items() if other != part)
    return part, apart, candidates_by_count(count, known)


def rows(simulations: int, seed: int) -> Iterator[Row]:
    """Three rows for each way of listening, over the cases that can be told apart, and wrong ones over all cases."""
    ways: dict[str, Callable[[np.random.Generator], Heard | None]] = {
        "tapped beside the crank": lambda random: by_taps(random, True),
        "tapped, cadence within 3 %": lambda random: by_taps(random, False),
        "counted over ten turns": by_count,
    }
    for name, way in ways.items():
        random = np.random.default_rng(seed)
        heard = [case for case in (way(random) for _ in range(simulations)) if case is not None]
        clear = [(part, found) for part, apart, found in heard if apart]
        right = [found.candidates[0].part == part for part, found in clear]
        sure_and_wrong = [f.candidates[0].part not in (part, "other") and f.told_apart for part, _, f in heard]
        undecided = [not found.told_apart for _, found in clear]
        yield Row(f"{name}: right part", sum(right) / len(right), len(right), 0.90)
        share = sum(sure_and_wrong) / len(sure_and_wrong)
        yield Row(f"{name}: wrong and sure, of all cases", share, len(heard), None, 0.01)
        yield Row(f"{name}: undecided", sum(undecided) / len(undecided), len(undecided), None, 0.10)
