"""Bikes, each at its newest seq."""

from __future__ import annotations

import json
from typing import Any

from sqlite_utils import Database

from .connection import row, rows

_COLUMNS = "id, seq, family, body, updated_at"


def shown(found: dict[str, Any]) -> dict[str, Any]:
    """A row as the contract shows it."""
    extra = {"id": found["id"], "seq": found["seq"], "family": found["family"], "updated_at": found["updated_at"]}
    return {**extra, **json.loads(found["body"])}


def get(db: Database, shop_id: str, bike_id: str) -> dict[str, Any] | None:
    found = row(db, f"SELECT {_COLUMNS} FROM bikes WHERE shop_id = ? AND id = ?", (shop_id, bike_id))
    return found and shown(found)


def body(db: Database, shop_id: str, bike_id: str) -> dict[str, Any] | None:
    """The body as it was written last."""
    found = row(db, "SELECT body FROM bikes WHERE shop_id = ? AND id = ?", (shop_id, bike_id))
    return found and json.loads(found["body"])


def put(db: Database, shop_id: str, bike: dict[str, Any]) -> None:
    """Write a bike: id, seq, customer_id, family, body, search, updated_at."""
    db.execute(
        "INSERT INTO bikes (shop_id, id, seq, customer_id, family, body, search, updated_at)"
        " VALUES (:shop_id, :id, :seq, :customer_id, :family, :body, :search, :updated_at)"
        " ON CONFLICT (shop_id, id) DO UPDATE SET seq = excluded.seq, customer_id = excluded.customer_id,"
        " family = excluded.family, body = excluded.body, search = excluded.search, updated_at = excluded.updated_at",
        {"shop_id": shop_id, **bike, "body": json.dumps(bike["body"], ensure_ascii=False)},
    )


def page(db: Database, shop_id: str, words: list[str], after: int | None, limit: int) -> list[dict[str, Any]]:
    """Bikes that hold every word, the newest change first, from below seq `after`."""
    like = [f"%{word.replace('!', '!!').replace('%', '!%').replace('_', '!_')}%" for word in words]
    found = rows(
        db,
        f"SELECT {_COLUMNS} FROM bikes WHERE shop_id = ? AND seq < ?"
        + " AND search LIKE ? ESCAPE '!'" * len(like)
        + " ORDER BY seq DESC LIMIT ?",
        (shop_id, 2**63 - 1 if after is None else after, *like, limit),
    )
    return [shown(bike) for bike in found]
