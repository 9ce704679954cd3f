"""Gaps in the numbers that a device gives its entries: computed from what arrived, so they close by themselves."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from sqlite_utils import Database

from .connection import rows

_GAPS = (
    "SELECT device_id, before + 1 AS first, device_seq - 1 AS last FROM ("
    "SELECT device_id, device_seq, job_id, lag(job_id) OVER one AS job_before,"
    " lag(device_seq) OVER one AS before FROM entries WHERE shop_id = :shop_id"
    " WINDOW one AS (PARTITION BY device_id ORDER BY device_seq)) WHERE device_seq > before + 1"
)


def of_shop(db: Database, shop_id: str) -> dict[str, list[dict[str, Any]]]:
    """Device id to its gaps."""
    found: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for gap in rows(db, _GAPS, {"shop_id": shop_id}):
        found[gap["device_id"]].append({name: gap[name] for name in ("device_id", "first", "last")})
    return found


def of_job(db: Database, shop_id: str, job_id: str) -> list[dict[str, Any]]:
    """Gaps beside an entry of this job, whose missing entries may belong to it."""
    sql = _GAPS + " AND (job_id = :job_id OR job_before = :job_id) ORDER BY device_id, first"
    found = rows(db, sql, {"shop_id": shop_id, "job_id": job_id})
    return [{name: gap[name] for name in ("device_id", "first", "last")} for gap in found]
