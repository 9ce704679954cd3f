"""One quantity over all jobs of the shop: what is read from the book, and the charts as the contract shows them."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from dataclasses import asdict
from datetime import UTC, datetime
from typing import Any

from sqlite_utils import Database

from service import bands, catalogue
from service.domain.bands import ResolvedBand
from service.domain.bike import facts
from service.domain.control_chart import EWMA_WEIGHT
from service.domain.workshop_trend import BenchValue, WorkshopTrend, read_workshop_trend
from service.errors import Problem, fault
from service.period import milliseconds_of
from service.store import workshop

Gear = tuple[int | None, int | None]


def over_jobs(db: Database, shop_id: str, query: Mapping[str, Any]) -> dict[str, Any]:
    """Charts of first bench values and capability of handed-over ones. Raises Problem 409 for an unknown quantity."""
    quantity, family = query["quantity"], query.get("family")
    known = catalogue.load().items["quantities"].get(quantity)
    if known is None:
        detail = f"The catalogue has no quantity {quantity}."
        raise Problem(409, detail, kind="unknown-catalogue-id", errors=[fault("/quantity", detail)])
    asked = (shop_id, quantity, family, *milliseconds_of(query))
    readings, gear, note = _of_one_gear(workshop.bench_readings(db, *asked), query)
    handed_over = [v["value"] for v in workshop.handed_over_values(db, *asked) if _gear(v) == gear]
    band, no_band = _band(db, shop_id, quantity, family)
    values = [BenchValue(r["job_id"], n, r["value"]) for n, r in enumerate(readings)]
    trend = read_workshop_trend(values, handed_over, band and band.band, query["zones"] == "yes")
    return {
        "quantity": quantity,
        "unit": known["unit"],
        "family": family,
        "gear": None if None in gear else {"ring": gear[0], "cog": gear[1]},
        "values": [_first(readings[int(value.order)]) for value in trend.first],
        **_charts(trend),
        "band": bands.as_json(band),
        "note": note,
        "why_not": {**trend.why_not, **no_band},
    }


def _gear(line: Mapping[str, Any]) -> Gear:
    return line["ring"], line["cog"]


def _of_one_gear(readings: list[dict], query: Mapping[str, Any]) -> tuple[list[dict], Gear, str | None]:
    """Gears are never mixed: those of the gear asked for, else of the one that most jobs have."""
    asked = [r for r in readings if all(query.get(part) in (None, r[part]) for part in ("ring", "cog"))]
    jobs = Counter(gear for gear, _ in {(_gear(r), r["job_id"]) for r in asked})
    if not jobs:
        return [], (query.get("ring"), query.get("cog")), None
    gear = max(jobs, key=lambda g: (jobs[g], str(g)))
    others = len(jobs) - 1
    note = f"Readings of {others} other gear{'' if others == 1 else 's'} are left out." if others else None
    return [r for r in asked if _gear(r) == gear], gear, note


def _band(db: Database, shop_id: str, quantity: str, family: str | None) -> tuple[ResolvedBand | None, dict[str, str]]:
    """The band in force now, where all bikes meant have the same one; else None and the reason."""
    own = bands.overrides(db, shop_id)
    of = [facts(json.loads(body)) for body in workshop.bikes_of_family(db, shop_id, family)]
    found = [catalogue.load().band_for(quantity, one, own) for one in of]
    if len({(band.lower, band.upper) if band else None for band in found}) > 1:
        return None, dict.fromkeys(("band", "capability"), "The bands of these bikes differ: choose a family.")
    band = found[0] if found else None
    return band, {} if band else {"band": "There is no band for it."}


def _first(line: Mapping[str, Any]) -> dict[str, Any]:
    at = datetime.fromtimestamp(line["moment_ms"] / 1000, UTC).isoformat()
    whose = {"entry_id": line["id"], "job_id": line["job_id"], "bike_id": line["bike_id"]}
    return {**whose, "taken_at": at, "value": line["value"]}


def _charts(trend: WorkshopTrend) -> dict[str, Any]:
    individuals, weighted = trend.individuals, trend.weighted
    zones, fit = trend.zones, trend.capability
    return {
        "individuals": individuals and {**asdict(individuals), "moving_ranges": individuals.moving_ranges.tolist()},
        "weighted": weighted and {"weight": EWMA_WEIGHT, **asdict(weighted), "means": weighted.means.tolist()},
        "zones": None if zones is None else [asdict(alarm) for alarm in zones],
        "capability": fit and {**asdict(fit), "after_adjusting": True},
    }
