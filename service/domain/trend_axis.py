"""What a trend runs along: kilometres ridden where they are known, else days."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from service.domain.errors import CannotCompute


@dataclass(frozen=True)
class Axis:
    """Positions in `unit` (km or day), how many of them a slope is quoted for, and words where days had to do."""

    unit: str
    per: str
    scale: float
    positions: np.ndarray
    note: str | None


def choose_axis(days: Sequence[float], kilometres: Sequence[float | None]) -> Axis:
    """Kilometres if every reading has them and they do not contradict the dates, else days.

    `days` counts from any fixed moment. Slopes are then quoted per 1000 km or per 30 days.
    Raises CannotCompute if a day is missing or the two do not belong together.
    """
    day = np.asarray(days, dtype=float)
    km = np.asarray([np.nan if k is None else k for k in kilometres], dtype=float)
    if day.ndim != 1 or day.shape != km.shape:
        raise CannotCompute("Every reading needs its time, and its kilometres or none.")
    if not np.all(np.isfinite(day)):
        raise CannotCompute("A reading has no time.")
    if not np.all(np.isfinite(km)):
        missing = "no odometer was given" if np.all(~np.isfinite(km)) else "some readings have no odometer"
        return Axis("day", "30 d", 30.0, day, f"Over days, since {missing}.")
    if _runs_backwards(day, km):
        return Axis("day", "30 d", 30.0, day, "Over days, since the odometer runs backwards between two readings.")
    return Axis("km", "1000 km", 1000.0, km, None)


def _runs_backwards(day: np.ndarray, km: np.ndarray) -> bool:
    """True if a later reading has fewer kilometres; readings of one moment may stand in any order."""
    order = np.lexsort((km, day))
    return bool(np.any(np.diff(km[order]) < 0))
