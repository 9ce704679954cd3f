"""The interval of a bike's slope, as its trend answers: jump or drift decided first, readings rounded or not."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from ops.coverage_checks.section import MOST, Row, coverage
from service.domain.bike_trend import read_trend

Draw = Callable[[np.random.Generator, int], np.ndarray]
SHAPES: dict[str, Draw] = {
    "": lambda random, n: random.normal(size=n),
    ", heavy-tailed errors": lambda random, n: random.standard_t(3, n),
    ", lopsided errors": lambda random, n: random.exponential(size=n),
}
READINGS = (5, 6, 8, 12, 20, 40)
ROUNDED = ((6, 1.0), (12, 0.25), (12, 1.0), (30, 0.5))  # number of readings, gauge's step in multiples of the scatter


def rows(simulations: int, seed: int) -> Iterator[Row]:
    """Positions anywhere along 5000 km, drifts from −3 to 3 times the scatter. Rounding has no exact level."""
    random = np.random.default_rng(seed)
    for n in READINGS:
        for name, draw in SHAPES.items():
            if not name or n in (8, 20):
                most = MOST if n >= 12 else None
                yield coverage(f"slope from {n} readings{name}", _each(simulations, random, n, draw), most)
    for n, step in ROUNDED:
        covered = _each(simulations, random, n, SHAPES[""], step)
        yield coverage(f"slope from {n} readings, rounded to {step:g} of the scatter", covered)


def _each(simulations: int, random: np.random.Generator, n: int, draw: Draw, step: float = 0.0) -> Iterator[bool]:
    """Whether each interval holds the drift; where all read the same no slope is claimed, and nothing is counted."""
    for _ in range(simulations):
        km, drift = np.sort(random.uniform(0, 5000, n)), random.uniform(-3, 3) / 5000
        values = drift * km + draw(random, n) + random.random()
        if step:
            values = np.round(values / step) * step
        slope = read_trend(km / 20, km, values, None).slope
        if slope:
            yield slope.low <= drift <= slope.high
