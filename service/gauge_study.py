"""A gauge study as the contract shows it, and how its uncertainty becomes the quantity's own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from datetime import datetime
from typing import Any

from service import catalogue
from service.domain.errors import CannotCompute
from service.domain.gauge_study import GaugeStudy, arrange, gauge_study
from service.errors import Problem, fault
from service.store import Store, gauge

COMPUTED = ("anova", "interaction", "variance", "share_of_study_variation", "distinct_categories", "u")


def run(store: Store, shop_id: str, body: Mapping[str, Any], now: datetime) -> dict[str, Any]:
    """Compute the study, and adopt its u where that is asked for. Raises Problem 409 for an unknown quantity."""
    quantity = catalogue.load().items["quantities"].get(body["quantity"])
    if quantity is None:
        detail = f"The catalogue has no quantity {body['quantity']}."
        raise Problem(409, detail, kind="unknown-catalogue-id", errors=[fault("/quantity", detail)])
    head = {"quantity": quantity["id"], "unit": quantity["unit"]}
    try:
        study = gauge_study(arrange((r["part"], r["person"], r["value"]) for r in body["readings"]))
    except CannotCompute as error:
        why_not = dict.fromkeys(COMPUTED, error.reason) | {"adopted": error.reason}
        return {**head, **dict.fromkeys(COMPUTED), "adopted": False, "why_not": why_not}
    answer = {**head, **_shown(study), "adopted": False, "why_not": {}}
    if study.distinct_categories is None:
        answer["why_not"]["distinct_categories"] = "The gauge shows no spread to count categories by."
    refused = _not_adopted(body, quantity, study)
    if refused:
        answer["why_not"]["adopted"] = refused
        return answer
    with store.writing() as db:
        gauge.adopt(db, shop_id, quantity["id"], study.u, {"readings": body["readings"]}, now.isoformat())
    return {**answer, "adopted": True}


def _not_adopted(body: Mapping[str, Any], quantity: Mapping[str, Any], study: GaugeStudy) -> str | None:
    """Why the study's u does not become the quantity's own, or None."""
    if not body["adopt"]:
        return "It was not asked for."
    if quantity.get("setting"):
        return "A setting is read out, not measured: it has no uncertainty."
    if study.u == 0:
        return "Readings without any spread would make every reading certain: the gauge's steps are too coarse."
    return None


def _shown(study: GaugeStudy) -> dict[str, Any]:
    return {
        "anova": [asdict(row) for row in study.anova],
        "interaction": {"p": study.interaction_p, "pooled": study.pooled},
        "variance": asdict(study.variance),
        **{name: getattr(study, name) for name in COMPUTED[3:]},
    }
