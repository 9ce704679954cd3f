"""Left against right: reach and angle of the levers, bite of the brakes."""

import math
from dataclasses import dataclass

from service.domain.errors import CannotCompute


@dataclass(frozen=True)
class SideDifference:
    """Left minus right in the quantity's unit, with its standard uncertainty."""

    value: float
    u: float


def left_minus_right(left: float, u_left: float, right: float, u_right: float) -> SideDifference:
    """Difference of the two sides, uncertainties combined in quadrature (JCGM 100:2008, 5.1.2).

    Raises CannotCompute for what is no number, or an uncertainty below zero.
    """
    if not all(math.isfinite(x) and abs(x) <= 1e9 for x in (left, u_left, right, u_right)) or min(u_left, u_right) < 0:
        raise CannotCompute("Both sides and their uncertainties must be ordinary numbers.")
    return SideDifference(left - right, math.hypot(u_left, u_right))
