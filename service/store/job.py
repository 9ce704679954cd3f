"""Jobs, each at its newest seq."""

from __future__ import annotations

import json
from typing import Any

from sqlite_utils import Database

from .connection import row, rows

_COLUMNS = "id, seq, state, body, updated_at"


def shown(found: dict[str, Any]) -> dict[str, Any]:
    """A row as the contract shows it."""
    extra = {"id": found["id"], "seq": found["seq"], "state": found["state"], "updated_at": found["updated_at"]}
    return {**extra, **json.loads(found["body"])}


def get(db: Database, shop_id: str, job_id: str) -> dict[str, Any] | None:
    found = row(db, f"SELECT {_COLUMNS} FROM jobs WHERE shop_id = ? AND id = ?", (shop_id, job_id))
    return found and shown(found)


def body(db: Database, shop_id: str, job_id: str) -> dict[str, Any] | None:
    """The body as it was written last."""
    found = row(db, "SELECT body FROM jobs WHERE shop_id = ? AND id = ?", (shop_id, job_id))
    return found and json.loads(found["body"])


def put(db: Database, shop_id: str, job: dict[str, Any]) -> None:
    """Write a job: id, seq, bike_id, kind, opened_at, opened_ms, comeback_of, body, updated_at; a new one is open."""
    db.execute(
        "INSERT INTO jobs (shop_id, id, seq, bike_id, kind, state, opened_at, opened_ms, comeback_of, body, updated_at)"
        " VALUES (:shop_id, :id, :seq, :bike_id, :kind, 'open', :opened_at, :opened_ms, :comeback_of, :body,"
        " :updated_at)"
        " ON CONFLICT (shop_id, id) DO UPDATE SET seq = excluded.seq, kind = excluded.kind,"
        " opened_at = excluded.opened_at, opened_ms = excluded.opened_ms, comeback_of = excluded.comeback_of,"
        " body = excluded.body, updated_at = excluded.updated_at",
        {"shop_id": shop_id, **job, "body": json.dumps(job["body"], ensure_ascii=False)},
    )


def set_state(db: Database, shop_id: str, job_id: str, state: str, seq: int, at: str) -> None:
    db.execute(
        "UPDATE jobs SET state = ?, seq = ?, updated_at = ? WHERE shop_id = ? AND id = ?",
        (state, seq, at, shop_id, job_id),
    )


def of_bike(db: Database, shop_id: str, bike_id: str) -> list[dict[str, Any]]:
    found = rows(
        db,
        f"SELECT {_COLUMNS} FROM jobs WHERE shop_id = ? AND bike_id = ? ORDER BY opened_ms, seq",
        (shop_id, bike_id),
    )
    return [shown(job) for job in found]


def by_ids(db: Database, shop_id: str, ids: list[str]) -> dict[str, dict[str, Any]]:
    """Job id to its bike and state, for the jobs that exist."""
    found = rows(
        db,
        "SELECT j.id, j.bike_id, j.state, b.body AS bike FROM jobs j"
        " JOIN bikes b ON b.shop_id = j.shop_id AND b.id = j.bike_id"
        " WHERE j.shop_id = ? AND j.id IN (SELECT value FROM json_each(?))",
        (shop_id, json.dumps(ids)),
    )
    return {job["id"]: {**job, "bike": json.loads(job["bike"])} for job in found}
