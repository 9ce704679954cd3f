"""Phones: paired by a one-time code, known by the hash of their token."""

from __future__ import annotations

from typing import Any

from sqlite_utils import Database

from .connection import row, rows

_SHOWN = "id, name, person_id, paired_at, last_seen_at, revoked_at, clock_offset_ms"


def add_code(db: Database, shop_id: str, code_hash: str, person_id: str, expires_at: int) -> None:
    """Keep a one-time code; expires_at in seconds since 1970."""
    db.execute(
        "INSERT INTO pairing_codes (shop_id, code_hash, person_id, expires_at) VALUES (?, ?, ?, ?)",
        (shop_id, code_hash, person_id, expires_at),
    )


def use_code(db: Database, code_hash: str, now: int) -> dict[str, Any] | None:
    """Take a code out of the book: its shop and person, or None if unknown, used or past its time."""
    # Before pairing there is no shop to look in: the code itself finds it.
    db.execute("DELETE FROM pairing_codes WHERE shop_id IS NOT NULL AND expires_at <= ?", (now,))
    found = db.conn.execute(
        "DELETE FROM pairing_codes WHERE code_hash = ? RETURNING shop_id, person_id", (code_hash,)
    ).fetchone()
    return found and {"shop_id": found[0], "person_id": found[1]}


def pair(db: Database, shop_id: str, device: dict[str, Any]) -> None:
    """A new phone, or a known one with a new token; its id, name of old entries and clock stay."""
    db.execute(
        "INSERT INTO devices (shop_id, id, name, person_id, token_hash, paired_at)"
        " VALUES (:shop_id, :id, :name, :person_id, :token_hash, :paired_at)"
        " ON CONFLICT (shop_id, id) DO UPDATE SET name = excluded.name, person_id = excluded.person_id,"
        " token_hash = excluded.token_hash, paired_at = excluded.paired_at, revoked_at = NULL",
        {"shop_id": shop_id, **device},
    )


def by_token(db: Database, token_hash: str) -> dict[str, Any] | None:
    """Whose token this is. The one query that finds the shop instead of being told it."""
    return row(
        db,
        "SELECT d.shop_id, d.id, d.person_id, d.revoked_at, p.name AS person, p.role, p.active FROM devices d"
        " JOIN people p ON p.shop_id = d.shop_id AND p.id = d.person_id WHERE d.token_hash = ?",
        (token_hash,),
    )


def all_of(db: Database, shop_id: str) -> list[dict[str, Any]]:
    return rows(db, f"SELECT {_SHOWN} FROM devices WHERE shop_id = ? ORDER BY name, id", (shop_id,))


def get(db: Database, shop_id: str, device_id: str) -> dict[str, Any] | None:
    return row(db, f"SELECT {_SHOWN} FROM devices WHERE shop_id = ? AND id = ?", (shop_id, device_id))


def revoke(db: Database, shop_id: str, device_id: str, at: str) -> None:
    db.execute(
        "UPDATE devices SET revoked_at = coalesce(revoked_at, ?) WHERE shop_id = ? AND id = ?", (at, shop_id, device_id)
    )


def seen(db: Database, shop_id: str, device_id: str, at: str, offset_ms: int) -> None:
    """Note a sync and how far the phone's clock was off (server minus phone, milliseconds)."""
    db.execute(
        "UPDATE devices SET last_seen_at = ?, clock_offset_ms = ? WHERE shop_id = ? AND id = ?",
        (at, offset_ms, shop_id, device_id),
    )
    db.execute(
        "INSERT INTO clock_offsets (shop_id, device_id, received_at, offset_ms) VALUES (?, ?, ?, ?)"
        " ON CONFLICT (shop_id, device_id, received_at) DO UPDATE SET offset_ms = excluded.offset_ms",
        (shop_id, device_id, at, offset_ms),
    )
