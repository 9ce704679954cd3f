"""Which rows of a table are in force: the shop's own or the catalogue's, and what the shop has left out."""

from __future__ import annotations

from typing import Any

from sqlite_utils import Database

from service import catalogue
from service.store import shop_table


def in_force(db: Database, shop_id: str, noun: str) -> dict[str, Any]:
    """The table of steps or causes as the contract shows it; `left_out` are the catalogue's rows that it lacks."""
    start = catalogue.load().items[noun]
    own = shop_table.newest(db, shop_id, noun)
    if own is None:
        return {"own": False, "in_force_from": None, "by": None, noun: list(start.values()), "left_out": []}
    kept = {row["id"] for row in own["rows"]}
    left_out = [row for id, row in start.items() if id not in kept]
    return {
        "own": True, "in_force_from": own["in_force_from"], "by": own["by"], noun: own["rows"], "left_out": left_out,
    }  # fmt: skip
