"""Comebacks over all jobs: how many, why, of which families, how soon, and whether two groups differ."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from service import own_rows
from service.domain.causes import NONE_OF_THESE
from service.domain.comeback_history import CameBack, HandedOver, Outcome, history
from service.domain.comeback_rate import log_rank, staying_out, wilson
from service.domain.errors import CannotCompute
from service.domain.reason_words import label_of
from service.period import DAY_MS, milliseconds_of
from service.store import workshop

SHIFTING = ("electronic", "cable")


def over_jobs(db: Database, shop_id: str, query: Mapping[str, Any], now: datetime) -> dict[str, Any]:
    """Builds and services handed over in the period, until now; those not back so far count as such."""
    family, against = query.get("family"), query.get("against")
    came = [_came_back(line) for line in workshop.comebacks(db, shop_id)]
    today = now.timestamp() * 1000 / DAY_MS

    def of(one: str | None) -> tuple[list[Outcome], int]:
        lines = workshop.handed_over_jobs(db, shop_id, one, *milliseconds_of(query))
        found = history([_handed_over(line) for line in lines], came, today)
        return list(found.outcomes), found.left_out

    outcomes, left_out = of(family)
    if against:
        groups = [(family or "all families", outcomes), (against, of(against)[0])]
    else:
        groups = [(name, [o for o in outcomes if o.handed_over.groups[1] == name]) for name in SHIFTING]
    why_not: dict[str, str] = {}
    shown, comparison = _compared(groups, why_not)
    return {
        "comebacks": _tried(why_not, "comebacks", lambda: asdict(wilson(sum(o.back for o in outcomes), len(outcomes)))),
        "by_cause": _by_cause(outcomes, _labels(db, shop_id)),
        "by_family": _by_family(outcomes),
        "staying_out": _tried(why_not, "staying_out", lambda: _curve(outcomes)),
        "groups": shown,
        "comparison": comparison,
        "left_out": left_out,
        "why_not": why_not,
    }


def _handed_over(line: Mapping[str, Any]) -> HandedOver:
    return HandedOver(line["id"], line["bike_id"], line["left_ms"] / DAY_MS, (line["family"], line["shifting"]))


def _came_back(line: Mapping[str, Any]) -> CameBack:
    return CameBack(line["bike_id"], line["opened_ms"] / DAY_MS, line["comeback_of"], line["cause"])


def _tried(why_not: dict[str, str], key: str, compute) -> dict[str, Any] | None:
    try:
        return compute()
    except CannotCompute as error:
        why_not[key] = error.reason
        return None


def _labels(db: Database, shop_id: str) -> dict[str, str]:
    """What each cause is called: the shop's own words come first, and what it has left out keeps its name."""
    rows = own_rows.in_force(db, shop_id, "causes")
    return {NONE_OF_THESE: label_of(None)} | {row["id"]: row["label"] for row in (*rows["left_out"], *rows["causes"])}


def _by_cause(outcomes: Sequence[Outcome], known: Mapping[str, str]) -> list[dict[str, Any]]:
    """The most frequent first; those whose cause nobody has found yet stand last."""
    counts = Counter(o.cause for o in outcomes if o.back)
    ordered = sorted(counts, key=lambda cause: (cause is None, -counts[cause], cause or ""))
    labels = {cause: known.get(cause) or cause or "Not found so far" for cause in ordered}
    return [
        {"cause": cause, "label": labels[cause], **asdict(wilson(counts[cause], len(outcomes)))} for cause in ordered
    ]


def _by_family(outcomes: Sequence[Outcome]) -> list[dict[str, Any]]:
    jobs = Counter(o.handed_over.groups[0] for o in outcomes)
    back = Counter(o.handed_over.groups[0] for o in outcomes if o.back)
    return [{"family": name, **asdict(wilson(back[name], jobs[name]))} for name in sorted(jobs)]


def _columns(outcomes: Sequence[Outcome]) -> tuple[list[float], list[bool]]:
    return [o.days for o in outcomes], [o.back for o in outcomes]


def _curve(outcomes: Sequence[Outcome]) -> dict[str, Any]:
    curve = staying_out(*_columns(outcomes))
    lists = {name: getattr(curve, name).tolist() for name in ("days", "at_risk", "share", "low", "high")}
    still_out = sorted(o.days for o in outcomes if not o.back)
    return {**lists, "not_back_days": still_out, "median_days": curve.median_days}


def _compared(groups: list[tuple[str, list[Outcome]]], why_not: dict[str, str]) -> tuple[list[dict], dict | None]:
    (_, one), (_, other) = groups
    test = _tried(why_not, "comparison", lambda: asdict(log_rank(*_columns(one), *_columns(other))))
    shown = []
    for place, (name, outcomes) in enumerate(groups):
        reasons: dict[str, str] = {}
        curve = _tried(reasons, "staying_out", lambda of=outcomes: _curve(of))
        numbers = {"n": len(outcomes), "came_back": sum(o.back for o in outcomes)}
        expected = test["expected"][place] if test else None
        shown.append({"name": name, **numbers, "expected": expected, "staying_out": curve, "why_not": reasons})
    return shown, test and {"chi2": test["chi2"], "p": test["p"]}
