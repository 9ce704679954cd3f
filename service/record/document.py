"""The set-up record as a document: what a job handed over, frozen. Of persons it names the staff only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from service.catalogue import Catalogue
from service.domain.bands import BandOverride
from service.domain.handed_over import Entry, standing
from service.domain.plan import Step
from service.record import felt, outcome
from service.record.open_points import Open, open_points
from service.record.values import pairs_of, values_of

FORMAT = 1
COME_BACK_DAYS = 42  # common practice: bolts are tightened again after the first rides
COME_BACK_KM = 300


@dataclass(frozen=True)
class Handover:
    """All that a record is made from. `stored` are the job's rows by entry id, `accepted` what a person let pass."""

    record_id: str
    shop: str
    bike: Mapping[str, Any]
    facts: Mapping[str, Any]
    job: Mapping[str, Any]
    entries: list[Entry]
    stored: Mapping[str, Mapping[str, Any]]
    people: Mapping[str, str]
    by: str
    accepted: Mapping[str, str | None]
    overrides: list[BandOverride]
    steps: list[Step]
    amends: str | None
    at: datetime
    signed_at: datetime


def build(given: Handover, catalogue: Catalogue) -> tuple[dict[str, Any], list[Open]]:
    """The document, and the open points that nobody accepted: with one of those it must not be signed."""
    stand = standing(given.entries)
    values = values_of(given.entries, given.stored, catalogue, given.bike, given.facts, given.overrides)
    riders = {entry.by for entry in stand if entry.stage == "road" and entry.by}
    bike = {name: given.bike.get(name) for name in ("id", "label", "frame_number", "serials", "drivetrain", "wheel")}
    document = {
        "format": FORMAT,
        "record_id": given.record_id,
        "amends": given.amends,
        "shop": given.shop,
        "bike": bike | {name: given.bike[name] for name in ("brakes", "tyres", "family")},
        "job": {name: given.job[name] for name in ("id", "kind", "opened_at")},
        "handed_over_at": given.at.isoformat(),
        "signed_at": given.signed_at.isoformat(),
        "handed_over_by": given.people.get(given.by),
        "ridden_by": sorted(given.people[id] for id in riders if id in given.people),
        "ride": outcome.ride(stand, given.stored, catalogue),
        "values": values,
        "pairs": pairs_of(values, catalogue),
        "torques": outcome.torques(stand, given.stored, catalogue),
        "noises": felt.noises(stand, given.stored, catalogue),
        "symptoms": felt.symptoms(stand, given.stored, catalogue),
        "checks": outcome.checks(stand, catalogue),
        "shifts": outcome.shifts(stand, given.stored, catalogue),
        "declined": outcome.declined(stand, given.stored),
        "photos": outcome.photos(stand, given.stored, catalogue),
        "come_back": {"by": (given.at + timedelta(days=COME_BACK_DAYS)).date().isoformat(), "km": COME_BACK_KM},
        "cautions": [row["text"] for row in catalogue.items["cautions"].values() if "record" in row["where"]],
        "entries": sorted(entry.id for entry in given.entries),
    }
    points = open_points(document, stand, given.steps, given.job.get("missing_parts", ()), given.facts, catalogue)
    document["not_done"] = [
        point.as_json() | {"reason": given.accepted[point.what]} for point in points if point.what in given.accepted
    ]
    return document, [point for point in points if point.what not in given.accepted]
