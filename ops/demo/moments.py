"""Days of the scenario, told from the reference date, and ids that do not depend on it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone
from random import Random
from uuid import UUID

SHOP_ZONE = timezone(timedelta(hours=1))
SUNDAY = 6
FIRST_ID = datetime(2024, 1, 1, tzinfo=UTC)  # ids count from here, whatever the reference date is
EARLIEST_DAY = 600


@dataclass(frozen=True)
class Calendar:
    """Turns "so many days before the reference date" into moments. The reference date itself is not over yet."""

    reference: date

    def at(self, days_before: int, hour: float) -> datetime:
        """A moment of a working day; on Sundays the shop is shut, so that such a day falls on the Saturday before."""
        day = self.reference - timedelta(days=days_before)
        if day.weekday() == SUNDAY:
            day -= timedelta(days=1)
        return datetime.combine(day, time(0), SHOP_ZONE) + timedelta(hours=hour)

    def day(self, days_before: int) -> date:
        return self.reference - timedelta(days=days_before)


class Ids:
    """UUIDs with the layout of version 7 (RFC 9562, section 5.7), the same for every reference date.

    So a second load on the same day stores nothing new, and one on another day clashes loudly, where ids made from
    the real time would double the shop's work without a word.
    """

    def __init__(self, seed: int):
        self._random = Random(f"ids {seed}")

    def next(self, days_before: int, seconds: float = 0.0) -> str:
        since = timedelta(days=EARLIEST_DAY - days_before, seconds=seconds)
        ms = round((FIRST_ID + since).timestamp() * 1000)
        number = ms << 80 | 7 << 76 | self._random.getrandbits(12) << 64 | 2 << 62 | self._random.getrandbits(62)
        return str(UUID(int=number))
