"""The interval of a stand offset, with corrections of any size and with whole steps, many ties and zeros."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ops.coverage_checks.section import MOST, Row, coverage, repeat
from service.domain.stand_offset import stand_offset

JOBS = (6, 8, 12, 20, 40)
WHOLE = ((6, 0.4), (12, 0.4), (12, 1.0), (30, 1.0))  # jobs, scatter in steps


def rows(simulations: int, seed: int) -> Iterator[Row]:
    """Truths anywhere between two steps. Whole steps have no exact level."""
    random = np.random.default_rng(seed)

    def covers(n: int, scatter: float, step: float = 0.0) -> bool:
        truth = random.uniform(-1.5, 1.5)
        corrections = truth + random.normal(0, scatter, n)
        offset = stand_offset(np.round(corrections / step) * step if step else corrections, step)
        return offset.low <= truth <= offset.high

    for n in JOBS:
        covered = repeat(simulations, lambda n=n: covers(n, 1.0))
        yield coverage(f"stand offset from {n} jobs", covered, MOST if n >= 12 else None)
    for n, scatter in WHOLE:
        covered = repeat(simulations, lambda n=n, scatter=scatter: covers(n, scatter, 1.0))
        yield coverage(f"stand offset from {n} jobs, whole steps, scatter {scatter:g}", covered)
