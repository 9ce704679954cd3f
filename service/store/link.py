"""Links to records: known by the hash of their secret part."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlite_utils import Database

from .connection import row, rows


def _ms(at: datetime) -> int:
    return round(at.timestamp() * 1000)


def add(
    db: Database, shop_id: str, link_id: str, record_id: str, token_hash: str, now: datetime, ends: datetime
) -> None:
    db.execute(
        "INSERT INTO record_links (shop_id, id, record_id, token_hash, created_at, expires_at, expires_ms)"
        " VALUES (?, ?, ?, ?, ?, ?, ?)",
        (shop_id, link_id, record_id, token_hash, now.isoformat(), ends.isoformat(), _ms(ends)),
    )


def of_record(db: Database, shop_id: str, record_id: str) -> list[dict[str, Any]]:
    return rows(
        db,
        "SELECT id, expires_at FROM record_links WHERE shop_id = ? AND record_id = ? ORDER BY created_at, id",
        (shop_id, record_id),
    )


def delete(db: Database, shop_id: str, record_id: str, link_id: str) -> bool:
    """Take a link back; whether it was there."""
    cursor = db.execute(
        "DELETE FROM record_links WHERE shop_id = ? AND record_id = ? AND id = ?", (shop_id, record_id, link_id)
    )
    return cursor.rowcount > 0


def by_token(db: Database, token_hash: str, now: datetime) -> dict[str, Any] | None:
    """Which shop and record an unexpired link leads to. The link finds the shop; the customer has no session."""
    return row(
        db,
        "SELECT shop_id, id, record_id, expires_at FROM record_links WHERE token_hash = ? AND expires_ms > ?",
        (token_hash, _ms(now)),
    )
