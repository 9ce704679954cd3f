"""Gauges, and the uncertainties that a gauge study gave a quantity."""

from __future__ import annotations

import json
from typing import Any

from sqlite_utils import Database

from .connection import rows


def all_of(db: Database, shop_id: str) -> list[dict[str, Any]]:
    found = rows(db, "SELECT id, body FROM gauges WHERE shop_id = ? ORDER BY id", (shop_id,))
    return [{"id": gauge["id"], **json.loads(gauge["body"])} for gauge in found]


def put(db: Database, shop_id: str, gauge_id: str, body: dict[str, Any]) -> None:
    db.execute(
        "INSERT INTO gauges (shop_id, id, body) VALUES (?, ?, ?)"
        " ON CONFLICT (shop_id, id) DO UPDATE SET body = excluded.body",
        (shop_id, gauge_id, json.dumps(body, ensure_ascii=False)),
    )


def studied(db: Database, shop_id: str) -> dict[str, float]:
    """Quantity to the standard uncertainty that its newest adopted study gave it, in the quantity's unit."""
    sql = "SELECT quantity, u FROM quantity_u WHERE shop_id = ? ORDER BY quantity, number"
    return {line["quantity"]: line["u"] for line in rows(db, sql, (shop_id,))}


def adopt(db: Database, shop_id: str, quantity: str, u: float, study: dict[str, Any], at: str) -> None:
    """Make a study's uncertainty the quantity's own, from now on."""
    db.execute(
        "INSERT INTO quantity_u (shop_id, quantity, number, u, in_force_from, study)"
        " SELECT ?1, ?2, coalesce(max(number), 0) + 1, ?3, ?4, ?5 FROM quantity_u WHERE shop_id = ?1 AND quantity = ?2",
        (shop_id, quantity, u, at, json.dumps(study, ensure_ascii=False)),
    )
