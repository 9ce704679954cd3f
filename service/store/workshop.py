"""Reading across all jobs of a shop. Times are milliseconds since 1970; where `family` is None all are meant."""

from __future__ import annotations

from typing import Any

from sqlite_utils import Database

from .connection import rows

_STANDING = "NOT EXISTS (SELECT 1 FROM entries r WHERE r.shop_id = :shop AND r.replaces = e.id)"
_MOMENT = "e.taken_ms + e.offset_ms"
# A bike leaves with the last entry that its record holds; the record itself may be made, or loaded, much later.
# The plus keeps SQLite from searching by seq, which would read the entries of all jobs before.
_LEFT_MS = (
    "coalesce((SELECT max(e.taken_ms + e.offset_ms) FROM entries e"
    " WHERE e.shop_id = :shop AND e.job_id = r.job_id AND +e.seq <= r.seq), r.handed_over_ms)"
)


def bench_readings(
    db: Database, shop_id: str, quantity: str, family: str | None, from_ms: int, to_ms: int
) -> list[dict[str, Any]]:
    """Standing bench readings of a quantity, the oldest first."""
    return rows(
        db,
        f"SELECT e.id, e.job_id, e.bike_id, e.ring, e.cog, e.value, {_MOMENT} AS moment_ms FROM entries e"
        " JOIN bikes b ON b.shop_id = :shop AND b.id = e.bike_id"
        " WHERE e.shop_id = :shop AND e.quantity = :quantity AND e.stage = 'bench' AND e.value IS NOT NULL"
        f" AND (:family IS NULL OR b.family = :family) AND {_MOMENT} >= :from_ms AND {_MOMENT} < :to_ms AND {_STANDING}"
        " ORDER BY moment_ms, e.device_seq, e.seq",
        {"shop": shop_id, "quantity": quantity, "family": family, "from_ms": from_ms, "to_ms": to_ms},
    )


def handed_over_values(
    db: Database, shop_id: str, quantity: str, family: str | None, from_ms: int, to_ms: int
) -> list[dict[str, Any]]:
    """What the newest record of each job says of a quantity, where it has a value."""
    return rows(
        db,
        "SELECT r.job_id, json_extract(v.value, '$.value') AS value, json_extract(v.value, '$.gear.ring') AS ring,"
        " json_extract(v.value, '$.gear.cog') AS cog FROM records r"
        " JOIN bikes b ON b.shop_id = :shop AND b.id = r.bike_id, json_each(r.document, '$.values') v"
        " WHERE r.shop_id = :shop AND (:family IS NULL OR b.family = :family)"
        f" AND {_LEFT_MS} >= :from_ms AND {_LEFT_MS} < :to_ms"
        " AND r.seq = (SELECT max(n.seq) FROM records n WHERE n.shop_id = :shop AND n.job_id = r.job_id)"
        " AND json_extract(v.value, '$.quantity') = :quantity AND json_extract(v.value, '$.value') IS NOT NULL"
        " ORDER BY r.seq",
        {"shop": shop_id, "quantity": quantity, "family": family, "from_ms": from_ms, "to_ms": to_ms},
    )


def bikes_of_family(db: Database, shop_id: str, family: str | None) -> list[str]:
    """One bike's body as JSON for each family there is, or for the one asked for."""
    found = rows(
        db,
        "SELECT body, max(seq) FROM bikes WHERE shop_id = :shop AND (:family IS NULL OR family = :family)"
        " GROUP BY family ORDER BY family",
        {"shop": shop_id, "family": family},
    )
    return [bike["body"] for bike in found]


def road_corrections(db: Database, shop_id: str, family: str | None) -> list[dict[str, Any]]:
    """Net road adjustment of each job and adjuster, in the adjuster's unit; jobs by their first one, the oldest first.

    A job that is still open is left out: its ride may not be over, and its net amount would still move. "Nothing
    needed" comes as the adjuster none with 0, so that every job with a ride that was judged is there.
    """
    return rows(
        db,
        "SELECT e.job_id, b.family, b.body AS bike, e.adjuster, sum(e.amount) AS net,"
        f" min(min({_MOMENT})) OVER (PARTITION BY e.job_id) AS first_ms FROM entries e"
        " JOIN bikes b ON b.shop_id = :shop AND b.id = e.bike_id"
        " JOIN jobs j ON j.shop_id = :shop AND j.id = e.job_id AND j.state <> 'open'"
        " WHERE e.shop_id = :shop AND e.kind = 'adjustment' AND e.stage = 'road'"
        f" AND (:family IS NULL OR b.family = :family) AND {_STANDING}"
        " GROUP BY e.job_id, e.adjuster ORDER BY first_ms, e.job_id, e.adjuster",
        {"shop": shop_id, "family": family},
    )


def handed_over_jobs(db: Database, shop_id: str, family: str | None, from_ms: int, to_ms: int) -> list[dict[str, Any]]:
    """Builds and services by the moment the bike left, with the last entry of the first record."""
    return rows(
        db,
        "SELECT j.id, j.bike_id, b.family, json_extract(b.body, '$.drivetrain.shifting') AS shifting,"
        f" min({_LEFT_MS}) AS left_ms FROM jobs j"
        " JOIN records r ON r.shop_id = :shop AND r.job_id = j.id"
        " JOIN bikes b ON b.shop_id = :shop AND b.id = j.bike_id"
        " WHERE j.shop_id = :shop AND j.kind <> 'comeback' AND (:family IS NULL OR b.family = :family)"
        " GROUP BY j.id HAVING left_ms >= :from_ms AND left_ms < :to_ms ORDER BY left_ms, j.id",
        {"shop": shop_id, "family": family, "from_ms": from_ms, "to_ms": to_ms},
    )


def comebacks(db: Database, shop_id: str) -> list[dict[str, Any]]:
    """Comebacks with the job they are of where it was named, and the cause where a person has closed them."""
    return rows(
        db,
        "SELECT id, bike_id, opened_ms, comeback_of, json_extract(closed, '$.cause') AS cause"
        " FROM jobs WHERE shop_id = ? AND kind = 'comeback' ORDER BY opened_ms",
        (shop_id,),
    )
