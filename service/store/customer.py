"""Customers: the only table with personal data. Bikes refer to them by a random id; records never do."""

from __future__ import annotations

import json
from typing import Any

from sqlite_utils import Database

from .connection import row, rows


def _shown(found: dict[str, Any]) -> dict[str, Any]:
    return {"id": found["id"], **json.loads(found["body"])}


def exists(db: Database, shop_id: str, customer_id: str) -> bool:
    sql = "SELECT 1 FROM customers WHERE shop_id = ? AND id = ? AND erased_at IS NULL"
    return row(db, sql, (shop_id, customer_id)) is not None


def get(db: Database, shop_id: str, customer_id: str) -> dict[str, Any] | None:
    found = row(
        db,
        "SELECT id, body FROM customers WHERE shop_id = ? AND id = ? AND erased_at IS NULL",
        (shop_id, customer_id),
    )
    return found and _shown(found)


def all_of(db: Database, shop_id: str) -> list[dict[str, Any]]:
    found = rows(db, "SELECT id, body FROM customers WHERE shop_id = ? AND erased_at IS NULL ORDER BY id", (shop_id,))
    return [_shown(customer) for customer in found]


def is_erased(db: Database, shop_id: str, customer_id: str) -> bool:
    sql = "SELECT 1 FROM customers WHERE shop_id = ? AND id = ? AND erased_at IS NOT NULL"
    return row(db, sql, (shop_id, customer_id)) is not None


def put(db: Database, shop_id: str, customer_id: str, body: dict[str, Any]) -> None:
    db.execute(
        "INSERT INTO customers (shop_id, id, body) VALUES (?, ?, ?)"
        " ON CONFLICT (shop_id, id) DO UPDATE SET body = excluded.body",
        (shop_id, customer_id, json.dumps(body, ensure_ascii=False)),
    )


def erase(db: Database, shop_id: str, customer_id: str, at: str) -> None:
    """Delete the personal data; the bare id stays, so that bikes keep pointing at someone who is gone."""
    db.execute(
        "UPDATE customers SET body = NULL, erased_at = ? WHERE shop_id = ? AND id = ?", (at, shop_id, customer_id)
    )


def bikes_of(db: Database, shop_id: str, customer_id: str) -> list[dict[str, Any]]:
    found = rows(
        db,
        "SELECT id, body FROM bikes WHERE shop_id = ? AND customer_id = ? ORDER BY id",
        (shop_id, customer_id),
    )
    return [{"id": bike["id"], **json.loads(bike["body"])} for bike in found]
