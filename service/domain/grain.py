"""The step that readings come in: tenths of a millimetre, whole steps, quarter turns.

Rounding hides where between two steps the truth is. Rank intervals do not know that: with many ties they shrink onto
one step and miss it, so their limits are moved out by a share of the grain.
"""

from collections.abc import Iterable

import numpy as np

FINEST = 1e-6


def grain_of(values: Iterable[float]) -> float:
    """The largest step of which all differences of the values are whole multiples, in their unit; 0 if there is none.

    Euclid's algorithm to a millionth of the range, so that values without a step have a negligible one. Few values may
    show a coarser step than the gauge has, which errs on the careful side.
    """
    distinct = np.unique(np.asarray(list(values), dtype=float))
    if distinct.size < 2:
        return 0.0
    tolerance = FINEST * float(distinct[-1] - distinct[0])
    step = 0.0
    for difference in np.diff(distinct):
        step = _common(step, float(difference), tolerance)
    return step


def _common(a: float, b: float, tolerance: float) -> float:
    while b > tolerance:
        a, b = b, abs(a - round(a / b) * b)
    return a
