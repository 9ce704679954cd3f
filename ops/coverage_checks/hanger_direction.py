"""The direction of a bent hanger: where one is claimed, its interval holds the true one. "Undetermined" covers."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ops.coverage_checks.hanger_deviation import BENDS_MM, CLOCKS, measured
from ops.coverage_checks.section import Row, coverage, repeat


def rows(simulations: int, seed: int) -> Iterator[Row]:
    """One row for each set of clock positions and each bend that has a direction."""
    random = np.random.default_rng(seed)
    for name, clocks in CLOCKS.items():
        for bend in BENDS_MM[1:]:

            def covers(clocks: tuple = clocks, bend: float = bend) -> bool:
                toward = random.uniform(0, 12)
                interval = measured(random, clocks, bend, toward).steepest_clock_interval
                return interval is None or (toward - interval[0]) % 12 <= (interval[1] - interval[0]) % 12

            yield coverage(f"hanger direction at {bend:g} mm, {name}", repeat(simulations, covers))
