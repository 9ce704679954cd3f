"""A batch of entries: each is judged by itself, all that are good are committed together."""

from __future__ import annotations

import hashlib
import json
import logging
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import rfc8785
from marshmallow import ValidationError
from sqlite_utils import Database

from schemas.entry import is_known, load_entry
from schemas.fields import is_uuid, shown
from service import bands, catalogue, clock_offset
from service.auth import Caller
from service.entry_asked import BikeAsked, Surroundings
from service.entry_fault import NotTaken, rejected, retry
from service.entry_judging import judge
from service.errors import Problem, fault, faults_of
from service.moments import milliseconds
from service.store import Store, device, entry, gauge, job, person, shop

log = logging.getLogger(__name__)

OLDEST_CONTRACT = 1
CONTRACT = 1  # the newest that this service knows
ENTRY_LIMIT = 16 * 1024  # bytes of an entry's RFC 8785 form


@dataclass
class Item:
    """One entry of a batch on its way: what came, what it says, and what became of it."""

    raw: dict[str, Any]
    entry: dict[str, Any] | None = None
    text: bytes = b""
    digest: bytes = b""
    columns: dict[str, Any] | None = None
    status: str = ""
    seq: int | None = None
    problem: dict[str, Any] | None = None

    def refuse(self, why: NotTaken) -> None:
        self.status, self.problem = why.status, why.problem

    def result(self) -> dict[str, Any]:
        id = self.raw.get("id")
        answer = {"id": id if is_uuid(id) else None, "status": self.status}
        if self.seq is not None:
            answer["seq"] = self.seq
        return answer | ({"problem": self.problem} if self.problem else {})


def take_in(store: Store, caller: Caller, batch: dict[str, Any], now: datetime) -> dict[str, Any]:
    """Store what is good, and answer each entry in the batch's order. A fault of the store rolls back all of it."""
    if batch["device_id"] != caller.device_id:
        detail = "This token belongs to another device."
        raise Problem(403, detail, errors=[fault("/device_id", detail)])
    items = [read(raw, batch["contract"]) for raw in batch["entries"]]
    with store.writing() as db:
        good = [item for item in items if not item.status]
        _settle(db, caller, good, batch["sent_at"], now)
        found = shop.get(db, caller.shop_id)
    answer = {"epoch": found["epoch"], "server_time": now.isoformat(), "backed_up_to": found["backed_up_to"]}
    return answer | {"results": [item.result() for item in items]}


def read(raw: dict[str, Any], contract: int) -> Item:
    """What an entry says by itself, before the book is asked: its form, its size, its hash.

    A newer phone may write what this service cannot read yet: that is asked for again, never rejected.
    """
    item = Item(raw)
    kind = raw.get("kind")
    try:
        if isinstance(kind, str) and not is_known(kind):
            raise retry("/kind", f"This service does not know the kind {shown(kind)}.", "unknown-kind")
        try:
            item.entry = load_entry(raw)
        except ValidationError as error:
            newer = contract > CONTRACT
            kind_of_problem = "newer-contract" if newer else "breaks-the-contract"
            raise NotTaken("retry" if newer else "rejected", kind_of_problem, *faults_of(error.messages)) from error
        item.text = rfc8785.dumps(raw)
        if len(item.text) > ENTRY_LIMIT:
            raise rejected("", f"An entry has {ENTRY_LIMIT} bytes at most, this one {len(item.text)}.", "too-large")
        item.digest = hashlib.sha256(item.text).digest()
    except NotTaken as why:
        item.refuse(why)
    return item


def _settle(db: Database, caller: Caller, items: list[Item], sent_at: str, now: datetime) -> None:
    """Judge what fits the schema against the book and insert what is good, inside the open transaction."""
    ids = [item.entry["id"] for item in items] + [item.entry.get("replaces", "") for item in items]
    known = entry.known(db, caller.shop_id, ids)
    jobs = job.by_ids(db, caller.shop_id, list({item.entry["job_id"] for item in items}))
    bikes = {found["bike_id"]: BikeAsked(found["bike"]) for found in jobs.values()}
    around = surroundings(db, caller.shop_id, now)
    at = now.isoformat()
    fresh: list[Item] = []
    clashes = []
    for item in items:
        before = known.get(item.entry["id"])
        if before:
            same = before["hash"] == item.digest
            item.status, item.seq = ("duplicate" if same else "conflict"), before["seq"]
            if not same:
                clashes.append((item.entry["id"], item.digest, caller.device_id, item.text.decode(), at))
            continue
        try:
            item.columns = _placed(item, jobs, bikes, known, around)
        except NotTaken as why:
            item.refuse(why)
            continue
        except Exception:
            # A fault of ours in one entry must not hold up the others, and the phone must keep the entry.
            log.exception("entry %s could not be judged", item.entry["id"])
            item.refuse(retry("", "The service could not judge this entry; it is in its log.", "fault"))
            continue
        item.status = "stored"
        # Later entries of the batch may repeat or replace this one; its seq follows below.
        known[item.entry["id"]] = {"hash": item.digest, "seq": None, "job_id": item.entry["job_id"], "item": item}
        fresh.append(item)
    _insert(db, caller, fresh, _offset(db, caller, sent_at, now), at)
    for item in items:
        if item.seq is None and item.status in ("duplicate", "conflict"):
            item.seq = known[item.entry["id"]]["item"].seq
    entry.add_conflicts(db, caller.shop_id, clashes)


def surroundings(db: Database, shop_id: str, now: datetime) -> Surroundings:
    """What entries of this shop are judged by at this moment."""
    return Surroundings(
        catalogue.load(),
        now,
        bands.overrides(db, shop_id),
        {one["id"]: one for one in gauge.all_of(db, shop_id)},
        gauge.studied(db, shop_id),
        person.ids(db, shop_id),
    )


def _placed(item: Item, jobs: dict, bikes: dict, known: dict, around: Surroundings) -> dict[str, Any]:
    """All columns of an entry that is good. Raises NotTaken."""
    made = item.entry
    found = jobs.get(made["job_id"])
    if found is None:
        raise retry("/job_id", "This job is not in the book yet; send it first.", "unknown-job")
    replaced = made.get("replaces")
    if replaced == made["id"]:
        raise rejected("/replaces", "An entry cannot replace itself.")
    if replaced and replaced not in known:
        raise retry("/replaces", "The entry it replaces is not in the book yet.", "unknown-entry")
    if replaced and known[replaced]["job_id"] != made["job_id"]:
        raise rejected("/replaces", "An entry replaces one of the same job.")
    columns, derived = judge(made, bikes[found["bike_id"]], around)
    columns = {**dict.fromkeys(entry.OF_SOME_KINDS), **columns}
    return {**columns, "bike_id": found["bike_id"], "derived": derived and _compact(derived)}


def _compact(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def _offset(db: Database, caller: Caller, sent_at: str, now: datetime) -> int:
    """The offset of this batch in milliseconds; the sync and the phone's clock are noted."""
    estimate = round(now.timestamp() * 1000) - milliseconds(sent_at)
    before = device.get(db, caller.shop_id, caller.device_id)["clock_offset_ms"]
    offset = clock_offset.settled(estimate, before)
    device.seen(db, caller.shop_id, caller.device_id, now.isoformat(), offset)
    return offset


def _insert(db: Database, caller: Caller, items: list[Item], offset: int, at: str) -> None:
    if not items:
        return
    first = shop.take_seq(db, caller.shop_id, len(items))
    for place, item in enumerate(items):
        item.seq = first + place
    entry.add_many(db, caller.shop_id, [_row(item, caller, offset, at) for item in items])


def _row(item: Item, caller: Caller, offset: int, at: str) -> dict[str, Any]:
    made = item.entry
    return {
        **item.columns,
        "id": made["id"],
        "seq": item.seq,
        "hash": item.digest,
        "job_id": made["job_id"],
        "device_id": caller.device_id,
        "device_seq": made["device_seq"],
        "kind": made["kind"],
        "stage": made["stage"],
        "taken_ms": milliseconds(made["taken_at"]),
        "offset_ms": offset,
        "received_at": at,
        "by_person": made.get("by", caller.person_id),
        "replaces": made.get("replaces"),
        "gauge_id": made.get("gauge_id"),
        "odometer_km": made.get("odometer_km"),
        "body": item.text.decode(),
    }
