"""What a section of the simulations gives: rows of one counted share each, and how they are judged."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

LEVEL = 0.95
MOST = 0.97  # from twelve readings on an interval may not be wider than this says
STANDARD_ERRORS = 3.0  # of the simulation itself, allowed below the level


@dataclass(frozen=True)
class Row:
    """One counted share and the limits it must keep to."""

    label: str
    share: float
    simulations: int
    least: float | None
    most: float | None = None

    @property
    def holds(self) -> bool:
        """Whether the share keeps to its limits."""
        above = self.least is None or self.share >= self.least
        return above and (self.most is None or self.share <= self.most)


def coverage(label: str, covered: Iterable[bool], at_most: float | None = None, level: float = LEVEL) -> Row:
    """A row for an interval: covered in at least `level`, 95 % as a rule, less the simulation's own error."""
    hits = list(covered)
    error = STANDARD_ERRORS * math.sqrt(level * (1 - level) / len(hits))
    return Row(label, sum(hits) / len(hits), len(hits), level - error, at_most)


def repeat(simulations: int, once: Callable[[], bool]) -> list[bool]:
    """The outcomes of one simulated measurement, repeated."""
    return [bool(once()) for _ in range(simulations)]
