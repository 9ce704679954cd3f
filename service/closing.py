"""Closing a job by a person, and the first guess a mechanic names before seeing the review."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlite_utils import Database

from service import causes
from service.auth import Caller
from service.domain.causes import NONE_OF_THESE
from service.errors import Problem, fault
from service.store import Store, closing, job, shop


def close(store: Store, caller: Caller, job_id: str, body: dict[str, Any], now: datetime) -> dict[str, Any]:
    """Close a job, or correct its closing by naming it; the same id again changes nothing. Raises Problem 404, 409."""
    with store.writing() as db:
        _known_job(db, caller.shop_id, job_id)
        before = closing.get(db, caller.shop_id, job_id)
        if before and before["id"] == body["id"]:
            return _shown(db, caller.shop_id, job_id)
        if (before and before["id"]) != body.get("replaces"):
            detail = "This job is closed already; name its closing to correct it." if before else "Nothing to correct."
            raise Problem(409, detail, kind="closed-already", errors=[fault("/replaces", detail)], current=before)
        if body.get("cause") is not None:
            _check_cause(db, caller.shop_id, body["cause"])
        written = {**body, "closed_at": now.isoformat(), "by": caller.person_id}
        closing.put(db, caller.shop_id, job_id, written, shop.take_seq(db, caller.shop_id), now.isoformat())
        return _shown(db, caller.shop_id, job_id)


def guess_first(store: Store, caller: Caller, job_id: str, cause: str, now: datetime) -> dict[str, Any]:
    """Keep the first guess; another one later is a clash, since the review may have been seen by then."""
    with store.writing() as db:
        _known_job(db, caller.shop_id, job_id)
        _check_cause(db, caller.shop_id, cause)
        closing.add_guess(db, caller.shop_id, job_id, cause, caller.person_id, now.isoformat())
        kept = closing.guess(db, caller.shop_id, job_id)
    if kept["cause"] != cause:
        raise Problem(409, "A first guess is kept already.", kind="guessed-already", current=kept)
    return kept


def _known_job(db: Database, shop_id: str, job_id: str) -> None:
    if job.get(db, shop_id, job_id) is None:
        raise Problem(404, "This job is not in the book.")


def _check_cause(db: Database, shop_id: str, cause: str) -> None:
    known = {row["id"] for row in causes.rows_in_force(db, shop_id)["causes"]} | {NONE_OF_THESE}
    if cause not in known:
        detail = f"The shop's table has no cause {cause}; none_of_these is one, too."
        raise Problem(409, detail, kind="unknown-catalogue-id", errors=[fault("/cause", detail)])


def _shown(db: Database, shop_id: str, job_id: str) -> dict[str, Any]:
    found = job.get(db, shop_id, job_id)
    kept = {"job_id": job_id, "state": found["state"], "seq": found["seq"]}
    return {**kept, "closing": closing.get(db, shop_id, job_id)}
