"""Which job a comeback is compared with."""

from __future__ import annotations

from typing import Any

from sqlite_utils import Database

from .connection import row


def handed_over_before(db: Database, shop_id: str, job_id: str) -> str | None:
    """The job of the same bike that was handed over last before this one was opened."""
    found: dict[str, Any] | None = row(
        db,
        "SELECT r.job_id FROM jobs j JOIN records r ON r.shop_id = j.shop_id AND r.bike_id = j.bike_id"
        " WHERE j.shop_id = ? AND j.id = ? AND r.job_id <> j.id AND r.handed_over_ms <= j.opened_ms"
        " ORDER BY r.handed_over_ms DESC, r.seq DESC LIMIT 1",
        (shop_id, job_id),
    )
    return found and found["job_id"]
