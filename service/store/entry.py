"""Entries: only ever added. A replaced one stays and is named by what replaces it."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from sqlite_utils import Database

from .connection import row, rows

COLUMNS = (
    "id", "seq", "hash", "job_id", "bike_id", "device_id", "device_seq", "kind", "stage", "taken_ms", "offset_ms",
    "received_at", "by_person", "replaces", "gauge_id", "odometer_km", "quantity", "ring", "cog", "value", "low",
    "high", "unit", "u", "adjuster", "amount", "fastener", "check_id", "outcome", "body", "derived",
)  # fmt: skip
# Columns that only entries of some kinds fill.
OF_SOME_KINDS = COLUMNS[COLUMNS.index("quantity") : COLUMNS.index("body")]
_INSERT = (
    f"INSERT INTO entries (shop_id, {', '.join(COLUMNS)}) VALUES (:shop_id, {', '.join(':' + c for c in COLUMNS)})"
)
_SHOWN = "seq, received_at, offset_ms, device_id, body, derived"


def shown(found: dict[str, Any]) -> dict[str, Any]:
    """A row as the contract shows it: the entry as received, and what the service adds."""
    entry = json.loads(found["body"])
    entry.update(seq=found["seq"], received_at=found["received_at"], device_id=found["device_id"])
    entry["clock_offset_ms"] = found["offset_ms"]
    entry["derived"] = found["derived"] and json.loads(found["derived"])
    return entry


def add_many(db: Database, shop_id: str, entries: Iterable[dict[str, Any]]) -> None:
    """Insert rows with all of COLUMNS."""
    db.conn.executemany(_INSERT, [{"shop_id": shop_id, **entry} for entry in entries])


def known(db: Database, shop_id: str, ids: list[str]) -> dict[str, dict[str, Any]]:
    """Entry id to its seq, hash and job, for those in the book."""
    found = rows(
        db,
        "SELECT id, seq, hash, job_id FROM entries WHERE shop_id = ? AND id IN (SELECT value FROM json_each(?))",
        (shop_id, json.dumps(ids)),
    )
    return {entry["id"]: entry for entry in found}


def add_conflicts(db: Database, shop_id: str, clashes: Iterable[tuple]) -> None:
    """Keep other bodies that came under a stored id: (id, hash, device_id, body, received_at)."""
    db.conn.executemany(
        "INSERT INTO entry_conflicts (shop_id, id, hash, device_id, body, received_at) VALUES (?, ?, ?, ?, ?, ?)"
        " ON CONFLICT (shop_id, id, hash) DO NOTHING",
        [(shop_id, *clash) for clash in clashes],
    )


def of_job(db: Database, shop_id: str, job_id: str) -> list[dict[str, Any]]:
    """The entries of a job in the order they were taken, each with what replaces it."""
    found = rows(
        db,
        f"SELECT id, {_SHOWN}, replaces FROM entries WHERE shop_id = ? AND job_id = ?"
        " ORDER BY taken_ms + offset_ms, device_seq, seq",
        (shop_id, job_id),
    )
    replaced_by: dict[str, list[str]] = {}
    for entry in found:
        if entry["replaces"]:
            replaced_by.setdefault(entry["replaces"], []).append(entry["id"])
    return [{**shown(e), **({"replaced_by": replaced_by[e["id"]]} if e["id"] in replaced_by else {})} for e in found]


def computed_of_job(db: Database, shop_id: str, job_id: str) -> list[dict[str, Any]]:
    """The columns that computing works with, of all entries of a job."""
    return rows(
        db,
        "SELECT id, seq, device_seq, kind, stage, taken_ms + offset_ms AS moment_ms, by_person, replaces, odometer_km,"
        " quantity, ring, cog, value, low, high, unit, u, adjuster, amount, fastener, check_id, outcome, body, derived"
        " FROM entries WHERE shop_id = ? AND job_id = ?",
        (shop_id, job_id),
    )


def readings_of_bike(
    db: Database, shop_id: str, bike_id: str, quantity: str | None = None, stage: str | None = None
) -> list[dict[str, Any]]:
    """Standing readings of a bike, the oldest first: those that no entry replaces."""
    return rows(
        db,
        "SELECT e.id, e.job_id, e.stage, e.quantity, e.ring, e.cog, e.taken_ms + e.offset_ms AS moment_ms,"
        " e.odometer_km, e.value, e.low, e.high, e.unit, e.u, e.derived, e.seq FROM entries e"
        " WHERE e.shop_id = :shop AND e.bike_id = :bike AND e.quantity IS NOT NULL"
        " AND (:quantity IS NULL OR e.quantity = :quantity) AND (:stage IS NULL OR e.stage = :stage)"
        " AND NOT EXISTS (SELECT 1 FROM entries r WHERE r.shop_id = :shop AND r.replaces = e.id)"
        " ORDER BY moment_ms, e.device_seq, e.seq",
        {"shop": shop_id, "bike": bike_id, "quantity": quantity, "stage": stage},
    )


def bodies(db: Database, shop_id: str, ids: list[str]) -> dict[str, dict[str, Any]]:
    """Entry id to its body as received and what the service derived from it, both as JSON."""
    found = rows(
        db,
        "SELECT id, body, derived FROM entries WHERE shop_id = ? AND id IN (SELECT value FROM json_each(?))",
        (shop_id, json.dumps(ids)),
    )
    return {entry["id"]: entry for entry in found}


def newest_moment(db: Database, shop_id: str, job_id: str, seq: int) -> int | None:
    """When the last of a job's entries up to a seq was taken, in milliseconds since 1970."""
    sql = "SELECT max(taken_ms + offset_ms) AS at FROM entries WHERE shop_id = ? AND job_id = ? AND +seq <= ?"
    return row(db, sql, (shop_id, job_id, seq))["at"]


def after_seq(db: Database, shop_id: str, job_id: str, seq: int) -> list[dict[str, Any]]:
    """Entries of a job that came after a seq, in the order they came."""
    found = rows(
        db,
        f"SELECT {_SHOWN} FROM entries WHERE shop_id = ? AND job_id = ? AND seq > ? ORDER BY seq",
        (shop_id, job_id, seq),
    )
    return [shown(entry) for entry in found]


def count_after(db: Database, shop_id: str, job_id: str, seq: int) -> int:
    sql = "SELECT count(*) AS n FROM entries WHERE shop_id = ? AND job_id = ? AND seq > ?"
    return row(db, sql, (shop_id, job_id, seq))["n"]
