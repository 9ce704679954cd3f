"""Set-up records: frozen when written; nothing here changes one."""

from __future__ import annotations

import json
from typing import Any

from sqlite_utils import Database

from .connection import row, rows

_COLUMNS = (
    "id, job_id, bike_id, number, seq, handed_over_at, handed_over_ms, amends, customer_id, document, signature, key_id"
)


def _shown(found: dict[str, Any]) -> dict[str, Any]:
    return {**found, "document": json.loads(found["document"])}


def get(db: Database, shop_id: str, record_id: str) -> dict[str, Any] | None:
    found = row(db, f"SELECT {_COLUMNS} FROM records WHERE shop_id = ? AND id = ?", (shop_id, record_id))
    return found and _shown(found)


def last_of_job(db: Database, shop_id: str, job_id: str) -> dict[str, Any] | None:
    sql = f"SELECT {_COLUMNS} FROM records WHERE shop_id = ? AND job_id = ? ORDER BY seq DESC LIMIT 1"
    found = row(db, sql, (shop_id, job_id))
    return found and _shown(found)


def last_of_bike(db: Database, shop_id: str, bike_id: str) -> dict[str, Any] | None:
    sql = f"SELECT {_COLUMNS} FROM records WHERE shop_id = ? AND bike_id = ? ORDER BY seq DESC LIMIT 1"
    found = row(db, sql, (shop_id, bike_id))
    return found and _shown(found)


def of_job(db: Database, shop_id: str, job_id: str) -> list[dict[str, Any]]:
    """Number and times of a job's records, the oldest first; a later one amends the one before."""
    sql = "SELECT id, number, seq, handed_over_at, amends FROM records WHERE shop_id = ? AND job_id = ? ORDER BY seq"
    return rows(db, sql, (shop_id, job_id))


def amended_by(db: Database, shop_id: str, record_id: str) -> str | None:
    found = row(db, "SELECT id FROM records WHERE shop_id = ? AND amends = ? ORDER BY seq", (shop_id, record_id))
    return found and found["id"]


def add(db: Database, shop_id: str, record: dict[str, Any]) -> None:
    db.execute(
        "INSERT INTO records (shop_id, id, job_id, bike_id, number, seq, handed_over_at, handed_over_ms, amends,"
        " customer_id, document, signature, key_id) VALUES (:shop_id, :id, :job_id, :bike_id, :number, :seq,"
        " :handed_over_at, :handed_over_ms, :amends, :customer_id, :document, :signature, :key_id)",
        {"shop_id": shop_id, **record, "document": json.dumps(record["document"], ensure_ascii=False)},
    )


def add_key(db: Database, shop_id: str, key_id: str, public_key: str, at: str) -> None:
    """Note a key's public half, so that old records can be checked after the key was replaced."""
    db.execute(
        "INSERT INTO signing_keys (shop_id, key_id, public_key, first_used_at) VALUES (?, ?, ?, ?)"
        " ON CONFLICT (shop_id, key_id) DO NOTHING",
        (shop_id, key_id, public_key, at),
    )


def public_key(db: Database, shop_id: str, key_id: str) -> str | None:
    found = row(db, "SELECT public_key FROM signing_keys WHERE shop_id = ? AND key_id = ?", (shop_id, key_id))
    return found and found["public_key"]


def documents_for(db: Database, shop_id: str, customer_id: str) -> list[dict[str, Any]]:
    """Documents handed over while the bike was this customer's, the oldest first."""
    sql = "SELECT document FROM records WHERE shop_id = ? AND customer_id = ? ORDER BY seq"
    return [json.loads(found["document"]) for found in rows(db, sql, (shop_id, customer_id))]
