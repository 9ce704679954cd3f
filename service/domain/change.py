"""Has a quantity changed since it was handed over, and which of many have?"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from service.domain.errors import CannotCompute

REAL_FROM = 1.96
LEVEL = 0.05


@dataclass(frozen=True)
class Change:
    """Difference now minus then and its standard uncertainty u, in the quantity's unit; p of it being measuring."""

    delta: float
    u: float
    real: bool
    p: float


def change_since(then: float, u_then: float, now: float, u_now: float) -> Change:
    """Change between two readings of one quantity, all four numbers in its unit.

    u = √(u₁² + u₂²) for independent readings (JCGM 100:2008, 5.1.2); real if |Δ| > 1.96 u, the two-sided 5 % point
    of the normal distribution. A setting that is read out (u = 0) has changed if it differs.
    Raises CannotCompute for numbers that are not finite and for a negative uncertainty.
    """
    if not all(math.isfinite(x) for x in (then, u_then, now, u_now)):
        raise CannotCompute("A reading is missing or is not an ordinary number.")
    if u_then < 0 or u_now < 0:
        raise CannotCompute("An uncertainty cannot be negative.")
    delta, u = now - then, math.hypot(u_then, u_now)
    if not (math.isfinite(delta) and math.isfinite(u)):
        raise CannotCompute("The two readings are too far apart to subtract.")
    if u == 0:
        # Sums of quarter turns leave dust in the last digits, which is no change.
        same = math.isclose(now, then, rel_tol=1e-9, abs_tol=1e-9)
        return Change(0.0 if same else delta, 0.0, not same, 1.0 if same else 0.0)
    return Change(delta, u, abs(delta) > REAL_FROM * u, math.erfc(abs(delta) / u / math.sqrt(2)))


def holm(p_values: Sequence[float]) -> np.ndarray:
    """P-values of several tests made together, adjusted by Holm's step-down method, in the order given.

    Each is to be compared with the level for the whole family: the chance of even one false finding stays below it,
    whatever the tests have to do with each other (Holm 1979, Scandinavian Journal of Statistics 6:65).
    Raises CannotCompute if a value is missing or not between 0 and 1.
    """
    p = np.asarray(p_values, dtype=float)
    if p.ndim != 1 or not np.all((p >= 0) & (p <= 1)):
        raise CannotCompute("Every comparison needs a probability between 0 and 1.")
    order = np.argsort(p, kind="stable")
    adjusted = np.empty(p.size)
    adjusted[order] = np.minimum(1.0, np.maximum.accumulate(p[order] * np.arange(p.size, 0, -1)))
    return adjusted


def real_together(p_values: Sequence[float], level: float = LEVEL) -> tuple[bool, ...]:
    """Which of several changes are real when all are looked at together, by Holm's method at the family's level."""
    return tuple(bool(p <= level) for p in holm(p_values))
