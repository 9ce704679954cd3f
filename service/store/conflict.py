"""Clashes of entries, both sides kept."""

from __future__ import annotations

import json
from typing import Any

from sqlite_utils import Database

from . import entry
from .connection import rows


def same_id(db: Database, shop_id: str) -> list[dict[str, Any]]:
    """Stored entries under whose id another body came, with those bodies."""
    found = rows(
        db,
        "SELECT c.id, c.body AS other, c.device_id AS other_device, c.received_at AS other_at, e.job_id, e.seq,"
        " e.received_at, e.offset_ms, e.device_id, e.body, e.derived FROM entry_conflicts c"
        " JOIN entries e ON e.shop_id = c.shop_id AND e.id = c.id WHERE c.shop_id = ? ORDER BY c.id, c.received_at",
        (shop_id,),
    )
    clashes: dict[str, dict[str, Any]] = {}
    for line in found:
        clash = clashes.setdefault(
            line["id"],
            {
                "kind": "same_id",
                "entry_id": line["id"],
                "job_id": line["job_id"],
                "entry": entry.shown(line),
                "others": [],
            },
        )
        other = json.loads(line["other"])
        clash["others"].append({**other, "device_id": line["other_device"], "received_at": line["other_at"]})
        clash["received_at"] = line["other_at"]
    return list(clashes.values())


def jobs_with_two_corrections(db: Database, shop_id: str) -> list[str]:
    """Jobs in which an entry is named by more than one other."""
    found = rows(
        db,
        "SELECT DISTINCT job_id FROM entries WHERE shop_id = ? AND replaces IS NOT NULL"
        " GROUP BY replaces HAVING count(*) > 1 ORDER BY job_id",
        (shop_id,),
    )
    return [line["job_id"] for line in found]
