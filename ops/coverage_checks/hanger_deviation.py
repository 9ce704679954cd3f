"""The interval of a hanger's deviation, from a straight hanger to a badly bent one, bent in any direction."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from ops.coverage_checks.section import MOST, Row, coverage, repeat
from service.domain.hanger import HangerFit, Tip, fit

U_MM = 0.3
RADIUS_MM = 311.0
CLOCKS = {
    "3 uneven tips": (12, 3, 6),
    "4 tips": (12, 3, 6, 9),
    "8 tips": (12, 1.5, 3, 4.5, 6, 7.5, 9, 10.5),
    "12 tips": tuple(range(1, 13)),
}
BENDS_MM = (0.0, 0.2, 0.5, 1.0, 3.0, 10.0)


def measured(random: np.random.Generator, clocks: tuple, bend_mm: float, toward: float) -> HangerFit:
    """One measurement of a hanger with this deviation, its tip farthest out at the clock position `toward`."""
    gaps = [9 + bend_mm / 2 * math.cos(math.radians((clock - toward) * 30)) for clock in clocks]
    noisy = np.array(gaps) + random.normal(0, U_MM, len(clocks))
    return fit([Tip(clock, float(gap)) for clock, gap in zip(clocks, noisy, strict=True)], RADIUS_MM, U_MM)


def rows(simulations: int, seed: int) -> Iterator[Row]:
    """One row for each set of clock positions and each bend."""
    random = np.random.default_rng(seed)
    for name, clocks in CLOCKS.items():
        for bend in BENDS_MM:

            def covers(clocks: tuple = clocks, bend: float = bend) -> bool:
                low, high = measured(random, clocks, bend, random.uniform(0, 12)).deviation_interval_mm
                return low <= bend <= high

            most = MOST if len(clocks) >= 12 else None
            yield coverage(f"hanger deviation {bend:g} mm, {name}", repeat(simulations, covers), most)
