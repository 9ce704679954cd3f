"""Tables of the catalogue that the shop wrote itself: appended, in force from receipt, the newest counts."""

from __future__ import annotations

import json
from typing import Any

from sqlite_utils import Database

from .connection import row


def newest(db: Database, shop_id: str, noun: str) -> dict[str, Any] | None:
    """The table in force: its rows, since when and by whom; None where the catalogue's own is."""
    found = row(
        db,
        "SELECT body, in_force_from, by_person FROM shop_tables WHERE shop_id = ? AND noun = ?"
        " ORDER BY number DESC LIMIT 1",
        (shop_id, noun),
    )
    if found is None or found["body"] == "null":
        return None
    return {"rows": json.loads(found["body"]), "in_force_from": found["in_force_from"], "by": found["by_person"]}


def append(db: Database, shop_id: str, noun: str, table: list[dict[str, Any]] | None, at: str, by: str) -> None:
    """Put a table in force; None goes back to the catalogue's own."""
    last = row(
        db, "SELECT coalesce(max(number), 0) AS n FROM shop_tables WHERE shop_id = ? AND noun = ?", (shop_id, noun)
    )
    db.execute(
        "INSERT INTO shop_tables (shop_id, noun, number, body, in_force_from, by_person) VALUES (?, ?, ?, ?, ?, ?)",
        (shop_id, noun, last["n"] + 1, json.dumps(table, ensure_ascii=False), at, by),
    )
