"""The feed: what changed after a seq, over bikes, jobs and entries."""

from __future__ import annotations

from typing import Any

from sqlite_utils import Database

from . import bike, entry, job
from .connection import rows

_AFTER = "seq > ? ORDER BY seq LIMIT ?"
_SOURCES = (
    ("bike", bike.shown, "SELECT id, seq, family, body, updated_at FROM bikes WHERE shop_id = ? AND " + _AFTER),
    ("job", job.shown, "SELECT id, seq, state, body, updated_at FROM jobs WHERE shop_id = ? AND " + _AFTER),
    (
        "entry",
        entry.shown,
        "SELECT seq, received_at, offset_ms, device_id, body, derived FROM entries WHERE shop_id = ? AND " + _AFTER,
    ),
)


def after(db: Database, shop_id: str, seq: int, limit: int) -> list[dict[str, Any]]:
    """The first `limit` changes after a seq, each noun at its newest."""
    found = []
    for noun, shown, sql in _SOURCES:
        found += [(line["seq"], noun, shown, line) for line in rows(db, sql, (shop_id, seq, limit))]
    found.sort(key=lambda change: change[0])
    return [{"seq": at, "noun": noun, "body": shown(line)} for at, noun, shown, line in found[:limit]]
