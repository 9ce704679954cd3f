"""A period of days as the book counts time."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta

EVER = (-(2**62), 2**62)
DAY_MS = 86_400_000


def milliseconds_of(query: Mapping[str, str]) -> tuple[int, int]:
    """From the start of the first day to the end of the last, in UTC, as milliseconds since 1970."""
    start, end = query.get("from_"), query.get("to")
    return (_start_of(start) if start else EVER[0], _start_of(end, after=1) if end else EVER[1])


def _start_of(day: str, after: int = 0) -> int:
    at = datetime.combine(date.fromisoformat(day), datetime.min.time(), UTC) + timedelta(days=after)
    return int(at.timestamp()) * 1000
