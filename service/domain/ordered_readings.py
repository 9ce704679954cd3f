"""Readings of one quantity put in order along a trend's axis."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from service.domain.errors import CannotCompute

MOST = 500  # All pairs are compared: more than this is no reading of one quantity on one bike.


@dataclass(frozen=True)
class OrderedReadings:
    """Positions (km or days), never falling, and the values that belong to them."""

    positions: np.ndarray
    values: np.ndarray

    @property
    def n(self) -> int:
        return self.positions.size

    @property
    def distinct(self) -> int:
        """How many different positions there are."""
        return np.unique(self.positions).size

    @property
    def span(self) -> float:
        return float(self.positions[-1] - self.positions[0])

    def since(self, index: int) -> "OrderedReadings":
        """Those from this index on."""
        return OrderedReadings(self.positions[index:], self.values[index:])


@lru_cache(maxsize=128)
def pairs_of(n: int) -> tuple[np.ndarray, np.ndarray]:
    """Indices of the earlier and the later of each pair of n readings."""
    return np.triu_indices(n, 1)


def in_order(positions: Sequence[float | None], values: Sequence[float | None]) -> OrderedReadings:
    """Sort by position, then value; leave out readings whose position or value is missing; keep the newest 500.

    Raises CannotCompute if the two do not belong together, nothing is left or a number is infinite.
    """
    x, y = (np.asarray([np.nan if v is None else v for v in side], dtype=float) for side in (positions, values))
    if x.shape != y.shape:
        raise CannotCompute("Every reading needs one position and one value.")
    known = ~(np.isnan(x) | np.isnan(y))
    x, y = x[known], y[known]
    if x.size == 0:
        raise CannotCompute("There are no readings yet.")
    if not (np.all(np.abs(x) < 1e150) and np.all(np.abs(y) < 1e150)):
        raise CannotCompute("A reading is not an ordinary number.")
    order = np.lexsort((y, x))[-MOST:]
    return OrderedReadings(x[order], y[order])
