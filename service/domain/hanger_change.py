"""Has a hanger changed between two measurements? Compared as vectors, since a bend can turn and keep its size."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from service.domain.hanger_direction import clock_of

CHANGED_BELOW = 0.05
_TILL_EXACT_MM = 1e-9


@dataclass(frozen=True)
class HangerChange:
    """Change of the bend: size in mm peak to peak at the rim, parts as vertical (12 minus 6) and fore-and-aft."""

    changed: bool
    p: float
    chi2: float | None
    size_mm: float
    towards_clock: float | None
    vertical_change_mm: float
    u_vertical_change_mm: float
    fore_aft_change_mm: float
    u_fore_aft_change_mm: float


def compare(
    before: Sequence[float], before_covariance: Sequence, after: Sequence[float], after_covariance: Sequence
) -> HangerChange:
    """Compare two fitted vectors (a, b) in mm with their covariances in mm2.

    chi2 = d' (S1 + S2)^-1 d with two degrees of freedom, p = exp(-chi2 / 2) (Mardia, Kent and Bibby, Multivariate
    Analysis, ch. 3 and 5); changed where p < 0.05. Readings taken as exact (u = 0) have changed if they differ,
    and have no chi2.
    """
    step = np.asarray(after, dtype=float) - np.asarray(before, dtype=float)
    covariance = np.asarray(before_covariance, dtype=float) + np.asarray(after_covariance, dtype=float)
    size = float(np.hypot(*step))
    if np.linalg.eigvalsh(covariance)[0] > 0:
        chi2 = float(step @ np.linalg.solve(covariance, step))
        p = math.exp(-chi2 / 2)
    else:
        p, chi2 = (0.0, None) if size > _TILL_EXACT_MM else (1.0, 0.0)
    changed = p < CHANGED_BELOW
    return HangerChange(
        changed=changed,
        p=p,
        chi2=chi2,
        size_mm=2 * size,
        towards_clock=clock_of(*step) if changed else None,
        vertical_change_mm=2 * float(step[0]),
        u_vertical_change_mm=2 * math.sqrt(covariance[0, 0]),
        fore_aft_change_mm=2 * float(step[1]),
        u_fore_aft_change_mm=2 * math.sqrt(covariance[1, 1]),
    )
