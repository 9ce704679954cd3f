"""Where the gauge tip stands farthest out, as a clock position with its 95 % interval."""

import math

import numpy as np

_Z2 = 1.959963984540054**2


def clock_of(a: float, b: float) -> float:
    """Clock position in (0, 12] of the direction with components a (toward 12) and b (toward 3)."""
    clock = math.degrees(math.atan2(b, a)) / 30
    return clock if clock > 0 else clock + 12


def direction_interval(a: float, b: float, covariance: np.ndarray) -> tuple[float, float]:
    """The 95 % interval of the direction of (a, b), as two clock positions, going round from the first to the second.

    All directions from which the fitted vector's sideways part differs by less than 1.96 of its standard uncertainty
    (Fieller 1954, Journal of the Royal Statistical Society B 16, 175-185). Only meaningful where a direction is
    claimed at all, the vector being 2.45 of its standard uncertainty long.
    """
    found = np.array([a, b])
    m = np.outer(found, found) - _Z2 * np.asarray(covariance)
    # The sideways part squared less its bound is mean + swing cos(2 phi + turn) over the direction phi.
    mean, half_difference = (m[0, 0] + m[1, 1]) / 2, (m[1, 1] - m[0, 0]) / 2
    swing, turn = math.hypot(half_difference, m[0, 1]), math.atan2(m[0, 1], half_difference)
    middle = (math.pi - turn) / 2
    width = math.acos(max(-1.0, min(1.0, mean / swing))) / 2
    if a * math.cos(middle) + b * math.sin(middle) < 0:
        middle += math.pi
    return tuple(clock_of(math.cos(angle), math.sin(angle)) for angle in (middle - width, middle + width))
