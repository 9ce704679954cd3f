"""People of the shop."""

from __future__ import annotations

from typing import Any

from sqlite_utils import Database

from .connection import row, rows


def _shown(person: dict[str, Any]) -> dict[str, Any]:
    return {**person, "active": bool(person["active"])}


def all_of(db: Database, shop_id: str) -> list[dict[str, Any]]:
    found = rows(db, "SELECT id, name, role, active FROM people WHERE shop_id = ? ORDER BY name, id", (shop_id,))
    return [_shown(person) for person in found]


def get(db: Database, shop_id: str, person_id: str) -> dict[str, Any] | None:
    found = row(db, "SELECT id, name, role, active FROM people WHERE shop_id = ? AND id = ?", (shop_id, person_id))
    return found and _shown(found)


def put(db: Database, shop_id: str, person: dict[str, Any]) -> None:
    db.execute(
        "INSERT INTO people (shop_id, id, name, role, active) VALUES (:shop_id, :id, :name, :role, :active)"
        " ON CONFLICT (shop_id, id) DO UPDATE SET name = excluded.name, role = excluded.role, active = excluded.active",
        {"shop_id": shop_id, **person, "active": int(person["active"])},
    )


def active_owners(db: Database, shop_id: str) -> list[str]:
    sql = "SELECT id FROM people WHERE shop_id = ? AND role = 'owner' AND active = 1 ORDER BY id"
    found = rows(db, sql, (shop_id,))
    return [person["id"] for person in found]


def ids(db: Database, shop_id: str) -> set[str]:
    return {person["id"] for person in rows(db, "SELECT id FROM people WHERE shop_id = ?", (shop_id,))}
