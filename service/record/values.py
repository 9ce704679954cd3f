"""The handed-over values of a job, judged by the bands in force at the handover, which the record copies."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from service import bands
from service.catalogue import Catalogue
from service.domain import conformity, hanger
from service.domain.bands import BandOverride, ResolvedBand
from service.domain.conformity import GUARD, Judgement
from service.domain.handed_over import Entry, HandedOver, handed_over
from service.domain.hanger_whisker import whisker
from service.domain.levers import left_minus_right


def values_of(
    entries: list[Entry],
    stored: Mapping[str, Mapping[str, Any]],
    catalogue: Catalogue,
    bike: Mapping[str, Any],
    facts: Mapping[str, Any],
    overrides: list[BandOverride],
) -> list[dict[str, Any]]:
    """Every quantity that was read or adjusted, in the catalogue's order. `stored` has the rows by entry id."""
    found = handed_over(entries, catalogue.adjusters()).values()
    place = {id: n for n, id in enumerate(catalogue.items["quantities"])}
    ordered = sorted(found, key=lambda value: (place[value.quantity], value.gear or (0, 0)))
    limits = {one.quantity: bands.for_bike(one.quantity, bike, facts, overrides)[0] for one in ordered}
    return [_value(value, stored, catalogue, limits[value.quantity]) for value in ordered]


def _value(value: HandedOver, stored: Mapping, catalogue: Catalogue, band: ResolvedBand | None) -> dict[str, Any]:
    quantity = catalogue.items["quantities"][value.quantity]
    reading = stored.get(value.reading_id)
    judged, ends = _judged(value, reading, quantity, band)
    measured = value.taken_at is not None
    why_not = value.why_not
    if measured and value.value is None and not value.stale:
        why_not = "read at two opposite places only"
    return {
        "quantity": value.quantity,
        "label": quantity["customer_label"],
        "unit": catalogue.units[quantity["unit"]].label,
        "gear": value.gear and {"ring": value.gear[0], "cog": value.gear[1]},
        "value": value.value,
        "u": value.u,
        "form": _form(value, quantity),
        "low": value.low,
        "high": value.high,
        "whisker": ends,
        "verdict": judged.verdict,
        "p_inside": judged.p_inside,
        "band": bands.as_json(band),
        "why_not": why_not,
        "stale": value.stale,
        "setting": bool(quantity.get("setting")),
        "stage": value.stage,
        "measured_at": datetime.fromtimestamp(value.taken_at, UTC).isoformat() if measured else None,
        "reading_id": value.reading_id,
        "reading_value": value.reading_value,
        "added": value.steps_added,
        "adjustments": list(value.adjustments),
        "rule": _rule_of(quantity),
    }


def _form(value: HandedOver, quantity: Mapping[str, Any]) -> str:
    """How it was read: a value, a go / no-go pair, or a hanger's tips."""
    if quantity.get("input") == "hanger":
        return "hanger"
    return "value" if value.low is None else "interval"


def _rule_of(row: Mapping[str, Any]) -> dict[str, Any]:
    """How the rule of a quantity is graduated, kept so that an old record is drawn as it was."""
    rule = {name: row.get(name) for name in ("minor", "major", "digits", "span")}
    return rule | {"zero": bool(row.get("zero")), "signed": bool(row.get("signed"))}


def _judged(value: HandedOver, reading: Mapping | None, quantity: Mapping, band: ResolvedBand | None):
    """The verdict, and the ends of the whisker where measuring leaves something open."""
    limits = band and band.band
    if value.value is None:
        return conformity.NO_JUDGEMENT, None
    if quantity.get("input") == "hanger":
        return _hanger(reading, limits)
    if value.low is not None and value.high is not None:
        return conformity.judge_interval(value.low, value.high, limits), [value.low, value.high]
    u = value.u or 0.0
    return conformity.judge(value.value, u, limits), _symmetric(value.value, u)


def _symmetric(value: float, u: float) -> list[float] | None:
    """A whisker whose end lies on a limit is a probability of 0.95."""
    return [value - GUARD * u, value + GUARD * u] if u else None


def _hanger(reading: Mapping[str, Any], limits: conformity.Band | None) -> tuple[Judgement, list[float] | None]:
    """A hanger's deviation is never negative: its whisker is not symmetric, and ends where its verdict turns."""
    data, derived = json.loads(reading["body"])["data"], json.loads(reading["derived"])["hanger"]
    tips = [hanger.Tip(tip["clock"], tip["gap_mm"]) for tip in data["tips"]]
    fit = hanger.fit(tips, derived["radius_mm"], derived["u_mm"])
    ends = whisker(fit)
    return hanger.judge_deviation(fit, limits), ends and list(ends)


def pairs_of(values: list[dict[str, Any]], catalogue: Catalogue) -> list[dict[str, Any]]:
    """Differences left less right, where both sides were handed over."""
    known = {value["quantity"]: value for value in values if value["value"] is not None}
    found = []
    for pair in catalogue.items["pairs"].values():
        left, right = known.get(pair["left"]), known.get(pair["right"])
        if left and right:
            band = conformity.Band(pair.get("lower"), pair.get("upper"))
            apart = left_minus_right(left["value"], left["u"] or 0.0, right["value"], right["u"] or 0.0)
            judged = conformity.judge(apart.value, apart.u, band)
            limits = {"lower": pair.get("lower"), "upper": pair.get("upper"), "target": None, "source": None}
            found.append(
                {
                    "pair": pair["id"],
                    "gear": None,
                    "added": 0,
                    "label": pair["customer_label"],
                    "unit": catalogue.units[pair["unit"]].label,
                    "value": apart.value,
                    "u": apart.u,
                    "form": "value",
                    "low": None,
                    "high": None,
                    "whisker": _symmetric(apart.value, apart.u),
                    "verdict": judged.verdict,
                    "p_inside": judged.p_inside,
                    "band": limits | {"tag": pair["tag"]},
                    "rule": _rule_of(pair | {"signed": True}),
                }
            )
    return found
