"""A reading against the bike and the catalogue: its value in the quantity's unit, its uncertainty, its verdict."""

from __future__ import annotations

from math import sqrt
from typing import Any

from service import bands
from service.domain import conformity, hanger
from service.domain.bike import usual_gear
from service.domain.errors import CannotCompute
from service.entry_asked import BikeAsked, Surroundings, in_unit, item
from service.entry_fault import rejected
from service.uncertainty import Uncertainty, of_reading

USUAL_RADIUS_MM = 311  # half of 622 mm, the bead seat of most road and gravel wheels (ISO 5775)


def reading(entry: dict, bike: BikeAsked, around: Surroundings) -> tuple[dict, dict]:
    """Columns and derived part of a reading. Raises NotTaken."""
    data = entry["data"]
    quantity = item("quantities", data["quantity"], "/data/quantity", bike, around)
    gauge = around.gauges.get(entry.get("gauge_id"))
    u = of_reading(around.catalogue, quantity, gauge, around.studied, around.received_at.date())
    resolved, no_band = bands.for_bike(quantity["id"], bike.body, bike.facts, around.overrides, around.received_at)
    band = resolved and resolved.band
    if quantity.get("input") == "hanger":
        found = _hanger(data, bike, u, band)
    elif "tips" in data:
        raise rejected("/data/tips", f"{quantity['label']} is not read with gauge tips; give a value and its unit.")
    elif "low" in data:
        found = _interval(data, quantity, band, around)
    else:
        found = _value(data, quantity, u, band, around)
    derived = {**found, "unit": quantity["unit"], "u_from": u.source, "band": bands.as_json(resolved)}
    if no_band:
        derived["why_not"] = dict.fromkeys(("band", "verdict", "p_inside"), no_band)
    if u.overdue:
        derived["gauge_overdue"] = True
    gear = entry.get("gear") if quantity.get("gear", "none") != "none" else None
    if gear is None and quantity.get("gear", "none") != "none":
        gear = usual_gear(quantity.get("gear_default", ""), bike.body)
    if gear:
        derived["gear"] = gear
    columns = {"quantity": quantity["id"], "unit": quantity["unit"]}
    columns |= {"ring": gear["ring"], "cog": gear["cog"]} if gear else {}
    return columns | {name: found.get(name) for name in ("value", "low", "high", "u")}, derived


def _plausible(value: float, quantity: dict, pointer: str) -> None:
    low, high = quantity["plausible"]
    if not low <= value <= high:
        detail = f"{quantity['label']} lies between {low:g} and {high:g} {quantity['unit']}, not at {value:g}."
        raise rejected(pointer, detail, "absurd-value")
    if quantity.get("whole") and value != int(value):
        raise rejected(pointer, f"{quantity['label']} is counted: a whole number, not {value:g}.", "absurd-value")


def _value(data: dict, quantity: dict, u: Uncertainty, band: Any, around: Surroundings) -> dict[str, Any]:
    value = in_unit(data["value"], data["unit"], quantity["unit"], "/data/unit", around)
    _plausible(value, quantity, "/data/value")
    judged = conformity.judge(value, u.u, band)
    return {"value": value, "u": u.u, "verdict": judged.verdict, "p_inside": judged.p_inside}


def _interval(data: dict, quantity: dict, band: Any, around: Surroundings) -> dict[str, Any]:
    """A go / no-go pair: its value is the middle, its u that of a rectangle (JCGM 100:2008, 4.3.7)."""
    low, high = (in_unit(data[side], data["unit"], quantity["unit"], "/data/unit", around) for side in ("low", "high"))
    if low > high:
        raise rejected("/data/high", "What does not go is larger than what goes: low comes before high.")
    _plausible(low, quantity, "/data/low")
    _plausible(high, quantity, "/data/high")
    judged = conformity.judge_interval(low, high, band)
    value = {"value": (low + high) / 2, "low": low, "high": high, "u": (high - low) / sqrt(12)}
    return value | {"verdict": judged.verdict, "p_inside": judged.p_inside}


def _hanger(data: dict, bike: BikeAsked, u: Uncertainty, band: Any) -> dict[str, Any]:
    """The deviation from a fit to the clock readings, with what else the fit says."""
    if "tips" not in data:
        raise rejected("/data/tips", "Give the gap at each clock position as tips; the service fits the deviation.")
    bead_seat = bike.body.get("wheel", {}).get("bead_seat_mm")
    radius = data.get("radius_mm") or (bead_seat / 2 if bead_seat else USUAL_RADIUS_MM)
    try:
        fit = hanger.fit([hanger.Tip(tip["clock"], tip["gap_mm"]) for tip in data["tips"]], radius, u.u)
        judged = hanger.judge_deviation(fit, band)
    except CannotCompute as error:
        raise rejected("/data/tips", error.reason) from error
    low, high = fit.deviation_interval_mm or (None, None)
    shown = ("a", "b", "covariance", "tilt_deg", "vertical_mm", "fore_aft_mm", "steepest_clock", "residual_mm")
    extra = {name: getattr(fit, name) for name in (*shown, "agrees", "axis_clock", "axis_mm", "radius_mm", "u_mm")}
    value = {"value": fit.deviation_mm, "low": low, "high": high, "u": fit.u_deviation_mm}
    words = {"why_not": fit.why_not, "advice": fit.advice}
    return value | {"verdict": judged.verdict, "p_inside": judged.p_inside, "hanger": extra | words}
