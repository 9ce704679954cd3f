"""How jobs were closed, what a mechanic guessed first, and what both teach."""

from __future__ import annotations

import json
from typing import Any

from sqlite_utils import Database

from .connection import row, rows


def get(db: Database, shop_id: str, job_id: str) -> dict[str, Any] | None:
    found = row(db, "SELECT closed FROM jobs WHERE shop_id = ? AND id = ?", (shop_id, job_id))
    return json.loads(found["closed"]) if found and found["closed"] else None


def put(db: Database, shop_id: str, job_id: str, closing: dict[str, Any], seq: int, at: str) -> None:
    """Close a job, or correct how it was closed."""
    db.execute(
        "UPDATE jobs SET closed = ?, state = 'closed', seq = ?, updated_at = ? WHERE shop_id = ? AND id = ?",
        (json.dumps(closing, ensure_ascii=False), seq, at, shop_id, job_id),
    )


def guess(db: Database, shop_id: str, job_id: str) -> dict[str, Any] | None:
    sql = "SELECT cause, by_person AS by, at FROM first_guesses WHERE shop_id = ? AND job_id = ?"
    return row(db, sql, (shop_id, job_id))


def add_guess(db: Database, shop_id: str, job_id: str, cause: str, by: str, at: str) -> None:
    """Keep a first guess; a second one is not the first and changes nothing."""
    db.execute(
        "INSERT INTO first_guesses (shop_id, job_id, cause, by_person, at) VALUES (?, ?, ?, ?, ?)"
        " ON CONFLICT (shop_id, job_id) DO NOTHING",
        (shop_id, job_id, cause, by, at),
    )


def closed_comebacks(db: Database, shop_id: str) -> list[dict[str, Any]]:
    """Comebacks that were closed with a cause: the job, the cause, and the bike's family and body."""
    found = rows(
        db,
        "SELECT j.id, json_extract(j.closed, '$.cause') AS cause, b.family, b.body AS bike FROM jobs j"
        " JOIN bikes b ON b.shop_id = j.shop_id AND b.id = j.bike_id"
        " WHERE j.shop_id = ? AND j.kind = 'comeback' AND json_extract(j.closed, '$.cause') IS NOT NULL",
        (shop_id,),
    )
    return [{**one, "bike": json.loads(one["bike"])} for one in found]


def counts_by_family(db: Database, shop_id: str) -> dict[str, dict[str, int]]:
    """Of each family: builds and services handed over or closed, and comebacks opened."""
    found = rows(
        db,
        "SELECT b.family, sum(j.kind <> 'comeback' AND j.state <> 'open') AS jobs,"
        " sum(j.kind = 'comeback') AS comebacks FROM jobs j JOIN bikes b ON b.shop_id = j.shop_id AND b.id = j.bike_id"
        " WHERE j.shop_id = ? GROUP BY b.family",
        (shop_id,),
    )
    return {one["family"]: {"jobs": one["jobs"], "comebacks": one["comebacks"]} for one in found}
