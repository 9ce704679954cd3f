"""Times as numbers: milliseconds since 1970, UTC."""

from __future__ import annotations

from datetime import datetime


def milliseconds(text: str) -> int:
    """An RFC 3339 time as milliseconds since 1970.

    >>> milliseconds("1970-01-01T01:00:00.250+01:00")
    250
    """
    return round(datetime.fromisoformat(text).timestamp() * 1000)
