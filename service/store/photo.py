"""Photos, by the hash of their bytes."""

from __future__ import annotations

import json
from typing import Any

from sqlite_utils import Database

from .connection import row, rows


def add(db: Database, shop_id: str, sha256: str, content_type: str, data: bytes, at: str) -> None:
    db.execute(
        "INSERT INTO photos (shop_id, sha256, content_type, received_at, data) VALUES (?, ?, ?, ?, ?)"
        " ON CONFLICT (shop_id, sha256) DO NOTHING",
        (shop_id, sha256, content_type, at, data),
    )


def exists(db: Database, shop_id: str, sha256: str) -> bool:
    return row(db, "SELECT 1 FROM photos WHERE shop_id = ? AND sha256 = ?", (shop_id, sha256)) is not None


def lacking(db: Database, shop_id: str, hashes: list[str]) -> set[str]:
    """Those of the photos that have not come yet."""
    found = rows(
        db,
        "SELECT sha256 FROM photos WHERE shop_id = ? AND sha256 IN (SELECT value FROM json_each(?))",
        (shop_id, json.dumps(hashes)),
    )
    return set(hashes) - {one["sha256"] for one in found}


def get(db: Database, shop_id: str, sha256: str) -> dict[str, Any] | None:
    return row(db, "SELECT content_type, data FROM photos WHERE shop_id = ? AND sha256 = ?", (shop_id, sha256))
