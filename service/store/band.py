"""Bands that the shop set itself: appended, in force from receipt, never changed afterwards."""

from __future__ import annotations

import json
from typing import Any

from sqlite_utils import Database

from .connection import row, rows


def all_of(db: Database, shop_id: str) -> list[dict[str, Any]]:
    """Every band ever set, the oldest first."""
    found = rows(
        db,
        "SELECT quantity, body, in_force_from, by_person FROM bands WHERE shop_id = ? ORDER BY number",
        (shop_id,),
    )
    return [
        {
            "quantity": band["quantity"],
            **json.loads(band["body"]),
            "in_force_from": band["in_force_from"],
            "by": band["by_person"],
        }
        for band in found
    ]


def append(db: Database, shop_id: str, quantity: str, body: dict[str, Any], at: str, by: str) -> None:
    last = row(db, "SELECT coalesce(max(number), 0) AS n FROM bands WHERE shop_id = ?", (shop_id,))
    db.execute(
        "INSERT INTO bands (shop_id, number, quantity, body, in_force_from, by_person) VALUES (?, ?, ?, ?, ?, ?)",
        (shop_id, last["n"] + 1, quantity, json.dumps(body, ensure_ascii=False), at, by),
    )
