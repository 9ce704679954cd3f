"""What a bike was like when it was last handed over, and how it was found: the two sides of a review."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from service import bands, catalogue
from service.domain.bike import facts
from service.domain.handed_over import Entry, Key, standing
from service.domain.hanger import HangerFit, Tip, fit
from service.domain.review import Measured
from service.job_entries import as_computed
from service.record.values import values_of
from service.store import entry, job, record, review

Rows = dict[str, dict[str, Any]]


@dataclass(frozen=True)
class Visit:
    """A job's entries and the rows behind them, by id."""

    entries: list[Entry]
    rows: Rows

    @property
    def found(self) -> list[Entry]:
        """Standing entries of the arrival, before anything was touched."""
        return [e for e in standing(self.entries) if e.stage == "found"]

    def body(self, entry_id: str) -> dict[str, Any]:
        """An entry as it came."""
        return json.loads(self.rows[entry_id]["body"])


@dataclass(frozen=True)
class Baseline:
    """The last handover: its job, its record where there is one, its values and its visit."""

    job_id: str
    record_id: str | None
    handed_over_at: str | None
    values: dict[Key, Measured]
    visit: Visit
    shown: dict[Key, dict[str, Any]] = field(default_factory=dict)


def visit(db: Database, shop_id: str, job_id: str) -> Visit:
    rows = {row["id"]: row for row in entry.computed_of_job(db, shop_id, job_id)}
    return Visit(as_computed(rows.values()), rows)


def baseline(db: Database, shop_id: str, found: Mapping[str, Any], own_bike: Mapping[str, Any]) -> Baseline | None:
    """The job named as the one that came back, else the bike's last one handed over before; None without any.

    The values are those of its record; where it has none, what its entries come to.
    """
    before = found.get("comeback_of") or review.handed_over_before(db, shop_id, found["id"])
    if before is None or job.get(db, shop_id, before) is None:
        return None
    seen, last = visit(db, shop_id, before), record.last_of_job(db, shop_id, before)
    values = last["document"]["values"] if last else worked_out(db, shop_id, seen.entries, seen, own_bike)
    by_key = {key_of(value): value for value in values}
    return Baseline(
        before, last and last["id"], last and last["handed_over_at"],
        {key: measured(value, seen) for key, value in by_key.items()}, seen, by_key,
    )  # fmt: skip


def worked_out(
    db: Database, shop_id: str, entries: list[Entry], seen: Visit, own_bike: Mapping[str, Any]
) -> list[dict[str, Any]]:
    """Values that entries come to, judged by the bands in force."""
    return values_of(entries, seen.rows, catalogue.load(), own_bike, facts(own_bike), bands.overrides(db, shop_id))


def as_found(db: Database, shop_id: str, seen: Visit, own_bike: Mapping[str, Any]) -> dict[Key, dict[str, Any]]:
    """The readings of the arrival."""
    readings = [e for e in seen.found if e.kind == "reading"]
    return {key_of(value): value for value in worked_out(db, shop_id, readings, seen, own_bike)}


def key_of(value: Mapping[str, Any]) -> Key:
    gear = value["gear"]
    return value["quantity"], gear and (gear["ring"], gear["cog"])


def measured(value: Mapping[str, Any], seen: Visit) -> Measured:
    """A value as the comparison needs it."""
    at = value["measured_at"] and datetime.fromisoformat(value["measured_at"]).timestamp()
    known = value["value"] is not None
    hanger = hanger_of(seen.rows.get(value["reading_id"])) if known and value["form"] == "hanger" else None
    kept = [value[name] for name in ("value", "u", "verdict", "p_inside", "reading_id")]
    return Measured(*kept, at, hanger, value["why_not"])


def hanger_of(row: Mapping[str, Any] | None) -> HangerFit | None:
    """The fit behind a hanger's reading, with the radius and uncertainty that it was taken with."""
    if row is None or not row["derived"]:
        return None
    tips = [Tip(tip["clock"], tip["gap_mm"]) for tip in json.loads(row["body"])["data"]["tips"]]
    derived = json.loads(row["derived"])["hanger"]
    return fit(tips, derived["radius_mm"], derived["u_mm"])
