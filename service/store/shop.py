"""The shop: one row, which also holds its counter, its epoch and how far it is backed up."""

from __future__ import annotations

from typing import Any

from sqlite_utils import Database

from .connection import row


def first(db: Database) -> dict[str, Any] | None:
    """The only shop of an embedded book, None before the first start."""
    return row(db, "SELECT shop_id, name FROM shops ORDER BY created_at, shop_id LIMIT 1")


def get(db: Database, shop_id: str) -> dict[str, Any]:
    return row(db, "SELECT shop_id, name, seq, epoch, backed_up_to FROM shops WHERE shop_id = ?", (shop_id,))


def add(db: Database, shop_id: str, name: str, epoch: str, created_at: str) -> None:
    db.execute(
        "INSERT INTO shops (shop_id, name, epoch, created_at) VALUES (?, ?, ?, ?)", (shop_id, name, epoch, created_at)
    )


def take_seq(db: Database, shop_id: str, count: int = 1) -> int:
    """Reserve `count` numbers inside the open write transaction; the first of them."""
    cursor = db.conn.execute("UPDATE shops SET seq = seq + ? WHERE shop_id = ? RETURNING seq", (count, shop_id))
    return cursor.fetchone()[0] - count + 1
