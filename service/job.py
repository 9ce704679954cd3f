"""Saving a job."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from service import catalogue, versions
from service.errors import Problem, fault
from service.moments import milliseconds
from service.store import Store, bike, job, shop


def save(store: Store, shop_id: str, job_id: str, body: dict[str, Any], now: datetime) -> dict[str, Any]:
    """Write a job on top of `base_seq`; the job as the book now holds it. Raises Problem 409 on a clash."""
    base_seq = body.pop("base_seq")
    with store.writing() as db:
        current = job.get(db, shop_id, job_id)
        if not versions.changed(current, current and job.body(db, shop_id, job_id), base_seq, body):
            return current
        _check(db, shop_id, job_id, current, body)
        job.put(
            db,
            shop_id,
            {
                "id": job_id,
                "seq": shop.take_seq(db, shop_id),
                "bike_id": body["bike_id"],
                "kind": body["kind"],
                "opened_at": body["opened_at"],
                "opened_ms": milliseconds(body["opened_at"]),
                "comeback_of": body.get("comeback_of"),
                "body": body,
                "updated_at": now.isoformat(),
            },
        )
        return job.get(db, shop_id, job_id)


def _check(db, shop_id: str, job_id: str, current: dict | None, body: dict[str, Any]) -> None:
    """What a job refers to must be in the book: clashes of state, each with its field."""
    if current and current["bike_id"] != body["bike_id"]:
        raise _clash("/bike_id", "A job stays with the bike it was opened for.")
    if not bike.get(db, shop_id, body["bike_id"]):
        raise _clash("/bike_id", "This bike is not in the book yet; send it first.", "unknown-bike")
    original = body.get("comeback_of")
    if original:
        found = job.get(db, shop_id, original)
        if not found:
            raise _clash("/comeback_of", "This job is not in the book yet; send it first.", "unknown-job")
        if original == job_id or found["bike_id"] != body["bike_id"]:
            raise _clash("/comeback_of", "A comeback is of an earlier job of the same bike.")
    known = catalogue.load().items
    named = [
        ("/missing_parts", "parts", body.get("missing_parts", [])),
        ("/since_last", "events", body.get("since_last", [])),
        ("/complaint/symptoms", "symptoms", body.get("complaint", {}).get("symptoms", [])),
    ]
    for pointer, noun, ids in named:
        for place, id in enumerate(ids):
            if id not in known[noun]:
                detail = f"The catalogue has no {id} among its {noun}."
                raise _clash(f"{pointer}/{place}", detail, "unknown-catalogue-id")


def _clash(pointer: str, detail: str, kind: str | None = None) -> Problem:
    return Problem(409, detail, kind=kind, errors=[fault(pointer, detail)])
