"""A bike's readings as series: points with their verdicts, the band now, the last handover, and what changed since."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from sqlite_utils import Database

from service import bands
from service.domain.bike import facts
from service.store import bike, entry
from service.trend_change import change_of, last_handover
from service.trend_line import line_of

Key = tuple[str, str, int | None, int | None]


def of_bike(db: Database, shop_id: str, bike_id: str, query: Mapping[str, Any]) -> dict[str, Any]:
    """The trend of a bike, narrowed by quantity, stage, ring and cog where given."""
    found = entry.readings_of_bike(db, shop_id, bike_id, query.get("quantity"), query.get("stage"))
    lines: dict[Key, list[dict[str, Any]]] = {}
    for line in found:
        narrowed = all(query.get(part) in (None, line[part]) for part in ("ring", "cog"))
        if narrowed and line["value"] is not None:
            lines.setdefault((line["quantity"], line["stage"], line["ring"], line["cog"]), []).append(line)
    body = bike.body(db, shop_id, bike_id)
    of = facts(body)
    own = bands.overrides(db, shop_id)
    last = last_handover(db, shop_id, bike_id)
    series = []
    for key, readings in lines.items():
        found, no_band = bands.for_bike(key[0], body, of, own)
        baseline = _baseline(last, key)
        changed = change_of(db, shop_id, baseline, last, readings[-1])
        series.append(_series(key, readings, (bands.as_json(found), no_band), baseline, *changed))
    return {"bike_id": bike_id, "series": series}


def _series(
    key: Key,
    readings: list[dict[str, Any]],
    judged_by: tuple[dict[str, Any] | None, str | None],
    baseline: dict[str, Any] | None,
    change: dict[str, Any] | None,
    no_change: str,
) -> dict[str, Any]:
    quantity, stage, ring, cog = key
    band, no_band = judged_by
    points = [point(line) for line in readings]
    computed, why_not = line_of(readings, band)
    if baseline is None:
        why_not["baseline"] = "This bike was not handed over with it yet."
    if change is None:
        why_not["change"] = no_change
    if band is None:
        why_not["band"] = no_band or "There is no band for it on this bike."
    return {
        "quantity": quantity,
        "unit": readings[0]["unit"],
        "stage": stage,
        "gear": None if cog is None else {"ring": ring, "cog": cog},
        "points": points,
        "band": band,
        "baseline": baseline,
        "latest": points[-1],
        "change": change,
        **computed,
        "why_not": why_not,
    }


def point(line: Mapping[str, Any]) -> dict[str, Any]:
    """A stored reading as a point; its verdict is the one it got when it was received."""
    derived = json.loads(line["derived"])
    at = datetime.fromtimestamp(line["moment_ms"] / 1000, UTC)
    shown = {"entry_id": line["id"], "job_id": line["job_id"], "stage": line["stage"], "taken_at": at.isoformat()}
    numbers = {name: line[name] for name in ("odometer_km", "value", "u", "low", "high")}
    return {**shown, **numbers, **{name: derived[name] for name in ("verdict", "p_inside", "band")}}


def _baseline(last: Mapping[str, Any] | None, key: Key) -> dict[str, Any] | None:
    """The handed-over value of the last handover, for the same quantity and gear."""
    quantity, _, ring, cog = key
    for value in last["document"]["values"] if last else ():
        gear = value["gear"] or {"ring": None, "cog": None}
        if (value["quantity"], gear["ring"], gear["cog"]) == (quantity, ring, cog):
            whose = {"record_id": last["id"], "job_id": last["job_id"], "handed_over_at": last["handed_over_at"]}
            numbers = {name: value[name] for name in ("value", "u", "verdict", "why_not")}
            return {**whose, **numbers}
    return None
