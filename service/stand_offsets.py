"""What the stand gets wrong, by adjuster: all families together and each by itself."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from sqlite_utils import Database

from service import catalogue
from service.domain.bike import applies, facts
from service.domain.errors import CannotCompute
from service.domain.stand_offset import advice, rides_needed, rides_to_start, stand_offset
from service.store import workshop

Corrections = dict[tuple[str, str | None], list[float]]


def over_jobs(db: Database, shop_id: str, family: str | None) -> dict[str, Any]:
    """One offset for each adjuster that was turned on a ride, and for each of its families where there are several."""
    adjusters = {id: row for id, row in catalogue.load().items["adjusters"].items() if id != "none" and row["road"]}
    found = _corrections(workshop.road_corrections(db, shop_id, family), adjusters)
    families = defaultdict(list)
    for adjuster, of in found:
        families[adjuster].append(of)
    offsets = []
    for id, row in adjusters.items():
        of = families.get(id, [])
        # One family needs no row for all of them.
        shown = [one for one in of if one is not None] if len(of) == 2 else of
        offsets += [_offset(row, one, found[id, one]) for one in shown]
    return {"offsets": offsets}


def _corrections(lines: list[Mapping[str, Any]], adjusters: Mapping[str, Mapping]) -> Corrections:
    """One number a job and adjuster that its bike has: the net amount, 0 where the ride left it alone.

    Adjusters that no ride ever touched are left out: nobody asks what the stand gets wrong there.
    """
    jobs: dict[str, dict[str, Any]] = {}
    for line in lines:
        job = jobs.setdefault(line["job_id"], {"family": line["family"], "bike": line["bike"], "net": {}})
        job["net"][line["adjuster"]] = line["net"]
    touched = {id for job in jobs.values() for id, net in job["net"].items() if net}
    found: Corrections = {}
    for job in jobs.values():
        of = facts(json.loads(job["bike"]))
        for id, row in adjusters.items():
            if id in touched and applies(row["applies"], of):
                for family in (None, job["family"]):
                    found.setdefault((id, family), []).append(job["net"].get(id, 0.0))
    return found


def _offset(adjuster: Mapping[str, Any], family: str | None, corrections: list[float]) -> dict[str, Any]:
    words = {name: adjuster[name] for name in ("unit", "positive", "negative")}
    shown = {"adjuster": adjuster["id"], "label": adjuster["label"], **words, "family": family, "n": len(corrections)}
    try:
        offset = stand_offset(corrections, adjuster["step"])
    except CannotCompute as error:
        numbers = dict.fromkeys(("value", "low", "high", "confidence"))
        needed = rides_to_start(len(corrections))
        return {**shown, **numbers, "certain": False, "rides_needed": needed, "advice": error.reason}
    return {
        **shown,
        "value": offset.value,
        "low": offset.low,
        "high": offset.high,
        "confidence": offset.confidence,
        "certain": offset.certain,
        "rides_needed": rides_needed(offset),
        "advice": advice(offset, **words),
    }
