"""Handing a bike over: what was seen is checked, what is missing is accepted by a person, the record is frozen."""

from __future__ import annotations

import json
from datetime import datetime, timedelta, timezone
from typing import Any

from sqlite_utils import Database

from service import bands, catalogue, plan
from service.auth import Caller
from service.domain.bike import facts
from service.domain.handed_over import Entry, in_order, standing
from service.errors import Problem, fault
from service.job_entries import as_computed
from service.moments import milliseconds
from service.record import outcome
from service.record.document import Handover, build
from service.record.signing import SigningKey, number_of
from service.records import shown
from service.store import Store, bike, entry, job, person, record, shop


def hand_over(
    store: Store, caller: Caller, job_id: str, asked: dict[str, Any], key: SigningKey, now: datetime
) -> dict[str, Any]:
    """The record of this handover; the same id gives the same record. Raises Problem 404 or 409."""
    with store.writing() as db:
        before = record.get(db, caller.shop_id, asked["id"])
        if before:
            return _again(db, caller, job_id, before)
        found = job.get(db, caller.shop_id, job_id)
        if found is None:
            raise Problem(404, "This job is not in the book.")
        _check_seen(db, caller, job_id, asked["seen_seq"])
        amends = _amended(db, caller, job_id)
        document, left = build(_gather(db, caller, found, asked, amends, now), catalogue.load())
        if left:
            names = ", ".join(point.label for point in left[:5]) + (" and more" if len(left) > 5 else "")
            detail = f"Not accepted by anybody yet: {names}."
            raise Problem(409, detail, kind="not-accepted", missing=[point.as_json() for point in left])
        return _freeze(db, caller, found, document, amends, key, now)


def _again(db: Database, caller: Caller, job_id: str, before: dict[str, Any]) -> dict[str, Any]:
    if before["job_id"] != job_id:
        detail = "This id belongs to the record of another job."
        raise Problem(409, detail, errors=[fault("/id", detail)])
    return shown(db, caller.shop_id, before)


def _check_seen(db: Database, caller: Caller, job_id: str, seen_seq: int) -> None:
    newer = entry.after_seq(db, caller.shop_id, job_id, seen_seq)
    if newer:
        detail = f"{len(newer)} entries of this job are newer than what was seen."
        raise Problem(409, detail, kind="newer-entries", newer=newer)


def _amended(db: Database, caller: Caller, job_id: str) -> str | None:
    """The record that this one amends, None for the first. Nothing new to amend is a clash."""
    last = record.last_of_job(db, caller.shop_id, job_id)
    if last is None:
        return None
    if not entry.count_after(db, caller.shop_id, job_id, last["seq"]):
        current = shown(db, caller.shop_id, last)
        raise Problem(409, "This job is handed over, and nothing came since.", kind="handed-over", current=current)
    return last["id"]


def _gather(
    db: Database, caller: Caller, found: dict[str, Any], asked: dict[str, Any], amends: str | None, now: datetime
) -> Handover:
    people = {one["id"]: one["name"] for one in person.all_of(db, caller.shop_id)}
    if asked["by"] not in people:
        raise Problem(409, "This person is not in the book.", errors=[fault("/by", "Not in the book.")])
    stored = {row["id"]: row for row in entry.computed_of_job(db, caller.shop_id, found["id"])}
    entries = as_computed(stored.values())
    failed = outcome.failed_stop_ride(standing(entries), catalogue.load())
    if failed:
        detail = f"The bike stays until this is passed: {', '.join(one['label'] for one in failed)}."
        raise Problem(409, detail, kind="stop-ride-failed", missing=failed)
    own = bike.get(db, caller.shop_id, found["bike_id"])
    zone = _zone(found, entries, stored)
    return Handover(
        record_id=asked["id"],
        shop=shop.get(db, caller.shop_id)["name"],
        bike=own,
        facts=facts(own),
        job=found,
        entries=entries,
        stored=stored,
        people=people,
        by=asked["by"],
        accepted={one["what"]: one.get("reason") or None for one in asked["accepted"]},
        overrides=bands.overrides(db, caller.shop_id),
        steps=plan.steps_for(db, caller.shop_id, facts(own), found["kind"])[0],
        amends=amends,
        at=_left_at(asked, found, now).astimezone(zone),
        signed_at=now.astimezone(zone),
    )


def _left_at(asked: dict[str, Any], found: dict[str, Any], now: datetime) -> datetime:
    """When the bike left: now, or the earlier moment that a phone without a signal, or an older book, tells."""
    if "handed_over_at" not in asked:
        return now
    left = datetime.fromisoformat(asked["handed_over_at"])
    if left > now or left < datetime.fromisoformat(found["opened_at"]):
        detail = "A bike leaves after its job was opened, and not later than now."
        raise Problem(409, detail, errors=[fault("/handed_over_at", detail)])
    return left


def _zone(found: dict[str, Any], entries: list[Entry], stored: dict[str, Any]) -> timezone:
    """The offset of the shop's clocks, by the last entry: the service itself may run anywhere."""
    last = in_order(entries)[-1:]
    text = json.loads(stored[last[0].id]["body"])["taken_at"] if last else found["opened_at"]
    return timezone(datetime.fromisoformat(text).utcoffset() or timedelta())


def _freeze(
    db: Database, caller: Caller, found: dict, document: dict, amends: str | None, key: SigningKey, now: datetime
) -> dict[str, Any]:
    """Sign the document and write it down; the job is handed over with the same seq."""
    seq = shop.take_seq(db, caller.shop_id)
    state = "closed" if found["state"] == "closed" else "handed_over"
    job.set_state(db, caller.shop_id, found["id"], state, seq, now.isoformat())
    record.add_key(db, caller.shop_id, key.id, key.public_key, now.isoformat())
    owner = bike.body(db, caller.shop_id, found["bike_id"]).get("customer_id")
    record.add(
        db,
        caller.shop_id,
        {
            "id": document["record_id"],
            "job_id": found["id"],
            "bike_id": found["bike_id"],
            "number": number_of(document),
            "seq": seq,
            "handed_over_at": document["handed_over_at"],
            "handed_over_ms": milliseconds(document["handed_over_at"]),
            "amends": amends,
            "customer_id": owner,
            "document": document,
            "signature": key.sign(document),
            "key_id": key.id,
        },
    )
    return shown(db, caller.shop_id, record.get(db, caller.shop_id, document["record_id"]))
