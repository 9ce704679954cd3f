"""The interval of the tilt that the rub windows tell, with normal errors and with steps counted whole."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import numpy as np

from ops.coverage_checks.section import LEVEL, MOST, Row, coverage, repeat
from service.domain.chain import pitch_radius
from service.domain.rub_window import CogWindow, rub_window

STEP_MM = 0.2
U_STEPS = 0.3
RADIUS_MM = 311.0
LEVEL_OF_WHOLE_STEPS = 0.92  # rounding is no normal error, so no level is exact
COGS = {3: (10, 21, 36), 6: (10, 13, 17, 21, 28, 36), 12: (10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 36)}
TILTS_DEG = (0.0, 0.2, 1.0)
Count = Callable[[float], float]


def counted(cogs: tuple, edges: np.ndarray, tilt_deg: float, shift: float, count: Count) -> list[CogWindow]:
    """Windows between these edges (steps, inboard and outboard), moved outboard by the tilt and inboard by `shift`."""
    moves = [shift - pitch_radius(cog) * math.tan(math.radians(tilt_deg)) / STEP_MM for cog in cogs]
    return [
        CogWindow(cog, count(edge[0] + move), count(edge[1] - move))
        for cog, edge, move in zip(cogs, edges, moves, strict=True)
    ]


def rows(simulations: int, seed: int) -> Iterator[Row]:
    """One row for each number of cogs and tilt; counting whole steps makes an error of 0.29 steps."""
    random = np.random.default_rng(seed)

    def normal(steps: float) -> float:
        return steps + float(random.normal(0, U_STEPS))

    def whole(steps: float) -> float:
        return float(math.ceil(steps))

    for number, cogs in COGS.items():
        for tilt in TILTS_DEG:
            for name, count in (("", normal), (", whole steps", whole)):

                def covers(cogs: tuple = cogs, tilt: float = tilt, count: Count = count) -> bool:
                    edges = random.uniform(4, 8, (len(cogs), 2))
                    then = counted(cogs, edges, 0, 0, count)
                    now = counted(cogs, edges, tilt, random.uniform(-1, 1), count)
                    found = rub_window(now, then, STEP_MM, RADIUS_MM, U_STEPS)
                    return found.tilt_interval_deg[0] <= tilt <= found.tilt_interval_deg[1]

                most = MOST if number >= 12 and count is normal else None
                level = LEVEL if count is normal else LEVEL_OF_WHOLE_STEPS
                yield coverage(f"tilt {tilt:g}° from {number} cogs{name}", repeat(simulations, covers), most, level)
