"""Ten minutes left: which open check prevents most expected comebacks on this bike."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

from sqlite_utils import Database

from service import catalogue, causes, plan
from service.baseline import visit
from service.domain.as_found import HANGER, RESIDUAL, VERTICAL
from service.domain.bike import applies, facts
from service.domain.handed_over import standing
from service.domain.plan import check_outcomes
from service.domain.ten_minutes import History, OpenCheck, comeback_rate, ten_minutes
from service.store import closing, job

KIND_OF = {"quantities": "reading", "fasteners": "torque", "checks": "check"}
NOTHING_OPEN = "Nothing is open that would tell a cause of comebacks."


def of_bike(db: Database, shop_id: str, own_bike: Mapping[str, Any]) -> dict[str, Any]:
    """The advice for the bike's open job; without one, for a new service of it."""
    of = facts(own_bike)
    jobs = [one for one in job.of_bike(db, shop_id, own_bike["id"]) if one["state"] == "open"]
    at = jobs[-1] if jobs else None
    rows = causes.rows_in_force(db, shop_id)["causes"]
    table = causes.from_rows(row for row in rows if applies(row.get("applies", {}), of))
    shares = {one.id: one.learned for one in causes.learned(db, shop_id, rows)}
    history = _history(db, shop_id, of["family"])
    checks = _open_checks(db, shop_id, at, of)
    levels = causes.levels(catalogue.load())
    advice = ten_minutes(table, shares, history, [check for check, _ in checks], levels)
    kinds, labels = {check.id: kind for check, kind in checks}, {cause.id: cause.label for cause in table}
    return {
        "bike_id": own_bike["id"],
        "job_id": at and at["id"],
        "comeback_rate": comeback_rate(history),
        "advice": [
            {
                "what": one.id, "kind": kinds[one.id], "label": one.label, "prevented": one.prevented,
                "causes": [{"id": id, "label": labels[id], "prevented": part} for id, part in one.causes],
                "words": one.words,
            }
            for one in advice
        ],
        "why_not": None if advice else NOTHING_OPEN,
    }  # fmt: skip


def _history(db: Database, shop_id: str, family: str) -> History:
    counts, closed = closing.counts_by_family(db, shop_id), closing.closed_comebacks(db, shop_id)
    own = counts.get(family, {"jobs": 0, "comebacks": 0})
    by_cause = Counter(one["cause"] for one in closed if one["family"] == family)
    jobs, back = (sum(one[name] for one in counts.values()) for name in ("jobs", "comebacks"))
    return History(jobs, back, own["jobs"], own["comebacks"], by_cause)


def _open_checks(
    db: Database, shop_id: str, at: Mapping[str, Any] | None, of: Mapping[str, Any]
) -> list[tuple[OpenCheck, str]]:
    """What the plan asks for or offers on this bike and nobody has logged, each with its kind of entry."""
    known, entries = catalogue.load(), visit(db, shop_id, at["id"]).entries if at else []
    last = standing(entries)
    logged = {"quantities": {e.quantity for e in last}, "fasteners": {e.fastener for e in last}}
    logged["checks"] = {check for check, outcome in check_outcomes(entries).items() if outcome != "not_done"}
    steps, rows = plan.steps_for(db, shop_id, of, at["kind"] if at else "service")
    found = {}
    for row in (rows[step.id] for step in steps):
        for noun, kind in KIND_OF.items():
            has = known.for_bike(noun, of)
            offered = (*row.get(noun, ()), *row.get(f"also_{noun}", ()))
            for id in (id for id in offered if id in has and id not in logged[noun]):
                found[id] = (OpenCheck(id, has[id]["label"], _shows(noun, id)), kind)
    return list(found.values())


def _shows(noun: str, id: str) -> tuple[str, ...]:
    """The things of the cause table that a check tells."""
    if noun == "quantities":
        return (VERTICAL, RESIDUAL) if id == HANGER else (id,)
    return (f"{noun[:-1]}:{id}",)
