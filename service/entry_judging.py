"""One entry against the bike it was made on and the catalogue: may it be, and what does it come to in the catalogue's
unit? Takes entries that fit the schema; raises NotTaken."""

from __future__ import annotations

from typing import Any

from service.domain import torque
from service.domain.errors import CannotCompute
from service.entry_asked import BikeAsked, Surroundings, in_unit, item
from service.entry_fault import rejected, retry
from service.reading_judging import reading
from service.uncertainty import is_overdue, of_wrench


def adjustment(entry: dict, bike: BikeAsked, around: Surroundings) -> tuple[dict, dict]:
    """Columns and derived part of an adjustment, the amount in its adjuster's unit."""
    data = entry["data"]
    turned = item("adjusters", data["adjuster"], "/data/adjuster", bike, around)
    if "because" in data:
        item("symptoms", data["because"], "/data/because", bike, around)
    if turned["id"] == "none":
        if data["amount"]:
            raise rejected("/data/amount", "With adjuster none the amount is 0: nothing was needed.")
        return {"adjuster": "none", "amount": 0.0, "unit": turned["unit"]}, {"amount": 0, "unit": turned["unit"]}
    amount = in_unit(data["amount"], data["unit"], turned["unit"], "/data/unit", around)
    farthest = around.catalogue.items["limits"]["adjustment"]["highest"]
    if abs(amount) > farthest:
        detail = f"Nobody turns it this far at one stop: at most {farthest} {turned['unit']} either way."
        raise rejected("/data/amount", detail, "absurd-value")
    columns = {"adjuster": turned["id"], "amount": amount, "unit": turned["unit"]}
    return columns, {"amount": amount, "unit": turned["unit"]}


def shift_check(entry: dict, bike: BikeAsked, around: Surroundings) -> tuple[dict, None]:
    data = entry["data"]
    bike.check_gear(data["from_"], "/data/from")
    bike.check_gear(data["to"], "/data/to")
    if data["from_"] == data["to"]:
        raise rejected("/data/to", "A shift goes from one gear to another.")
    item("outcomes", data["outcome"], "/data/outcome", bike, around)
    return {"outcome": data["outcome"]}, None


def noise(entry: dict, bike: BikeAsked, around: Surroundings) -> tuple[dict, None]:
    data = entry["data"]
    item("sounds", data["sound"], "/data/sound", bike, around)
    for place, when in enumerate(data["when"]):
        item("whens", when, f"/data/when/{place}", bike, around)
    return {}, None


def tightened(entry: dict, bike: BikeAsked, around: Surroundings) -> tuple[dict, dict]:
    """Columns and derived part of a torque, in N·m at the fastener."""
    data = entry["data"]
    fastener = item("fasteners", data["fastener"], "/data/fastener", bike, around)
    shown = in_unit(data["applied"], data["unit"], "N·m", "/data/unit", around)
    largest = around.catalogue.items["limits"]["torque"]["highest"]
    if shown > largest:
        raise rejected("/data/applied", f"No fastener of a bike takes more than {largest} N·m.", "absurd-value")
    gauge = around.gauges.get(entry.get("gauge_id"))
    wrench = of_wrench(around.catalogue, gauge, data.get("wrench_mm"))
    limits, band = _limits(fastener, data, around)
    adapter = torque.Adapter(data["adapter_mm"], data.get("angle_deg", 0.0)) if data.get("adapter_mm") else None
    try:
        value = torque.at_fastener(shown, wrench, adapter)
        judged = torque.judge_torque(value, *limits, wrench, shown)
    except CannotCompute as error:
        raise rejected("/data/adapter_mm" if adapter else "/data/applied", error.reason) from error
    derived = {"value": value, "unit": "N·m", "verdict": judged.verdict, "p_inside": judged.p_inside}
    derived["band"] = band
    spread = torque.spread(value, wrench, shown)
    if spread:
        derived["low"], derived["high"] = spread
    refused = torque.refusal(wrench, shown)
    if refused and judged.p_inside is None:
        derived["why_not"] = dict.fromkeys(("verdict", "p_inside"), refused)
    if gauge and is_overdue(gauge, around.received_at.date()):
        derived["gauge_overdue"] = True
    return {"fastener": fastener["id"], "value": value, "unit": "N·m"}, derived


def _limits(fastener: dict, data: dict, around: Surroundings) -> tuple[tuple[float | None, float | None], dict]:
    """What judges a torque: the maker's figure where the entry carries it, else the catalogue's."""
    if "target" in data:
        nm = in_unit(data["target"], data["unit"], "N·m", "/data/unit", around)
        return (nm, nm), {"lower": nm, "upper": nm, "target": None, "source": "the maker's figure", "tag": "maker"}
    low, high = fastener.get("lower"), fastener.get("upper")
    return (low, high), {"lower": low, "upper": high, "target": None, "source": None, "tag": fastener["tag"]}


def check(entry: dict, bike: BikeAsked, around: Surroundings) -> tuple[dict, None]:
    found = item("checks", entry["data"]["check"], "/data/check", bike, around)
    return {"check_id": found["id"], "outcome": entry["data"]["outcome"]}, None


def words_only(entry: dict, bike: BikeAsked, around: Surroundings) -> tuple[dict, None]:
    return {}, None


def judge(entry: dict[str, Any], bike: BikeAsked, around: Surroundings) -> tuple[dict, dict | None]:
    """The columns that computing works with, and what is shown as `derived`. Raises NotTaken."""
    bike.check_gear(entry.get("gear"), "/gear")
    if entry.get("by") is not None and entry["by"] not in around.people:
        raise retry("/by", "This person is not in the book yet.", "unknown-person")
    if entry.get("gauge_id") is not None and entry["gauge_id"] not in around.gauges:
        raise retry("/gauge_id", "This gauge is not in the book yet.", "unknown-gauge")
    return _OF_KIND[entry["kind"]](entry, bike, around)


_OF_KIND = {
    "reading": reading,
    "adjustment": adjustment,
    "shift_check": shift_check,
    "noise": noise,
    "torque": tightened,
    "check": check,
    "declined": words_only,
    "remark": words_only,
    "void": words_only,
}
