"""What changed since the last handover: the newest reading of a series against the handed-over value."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlite_utils import Database

from service.baseline import hanger_of
from service.domain.change import change_since
from service.domain.errors import CannotCompute
from service.domain.hanger import same_hanger
from service.store import entry, record

Reading = Mapping[str, Any]


def last_handover(db: Database, shop_id: str, bike_id: str) -> dict[str, Any] | None:
    """The bike's newest record, and when it left: with the last entry in it, at the latest with the record."""
    last = record.last_of_bike(db, shop_id, bike_id)
    if last is None:
        return None
    newest = entry.newest_moment(db, shop_id, last["job_id"], last["seq"])
    return last | {"left_ms": last["handed_over_ms"] if newest is None else min(newest, last["handed_over_ms"])}


def change_of(
    db: Database, shop_id: str, baseline: Mapping[str, Any] | None, last: Mapping[str, Any] | None, latest: Reading
) -> tuple[dict[str, Any] | None, str]:
    """delta, u and real, or None and why that cannot be said; `last` is the record that the baseline is of.

    A hanger has changed if its bend has, as a vector: one that turned and kept its size is not the same.
    """
    if baseline is None or last is None:
        return None, "There is no handed-over value to compare with."
    if baseline["value"] is None:
        return None, f"The handed-over value is not known: {baseline['why_not']}."
    if latest["moment_ms"] <= last["left_ms"]:
        return None, "Nothing was measured since the last handover."
    try:
        change = change_since(baseline["value"], baseline["u"] or 0.0, latest["value"], latest["u"] or 0.0)
        shown = {"delta": change.delta, "u": change.u, "real": change.real}
        return shown | _turned(db, shop_id, last, latest), ""
    except CannotCompute as error:
        return None, error.reason


def _turned(db: Database, shop_id: str, last: Mapping[str, Any], latest: Reading) -> dict[str, Any]:
    """For a hanger: the change of its bend in mm peak to peak at the rim, where to, and whether that is real."""
    if latest["quantity"] != "hanger_deviation":
        return {}
    then = next((v["reading_id"] for v in last["document"]["values"] if v["quantity"] == latest["quantity"]), None)
    rows = entry.bodies(db, shop_id, [then or "", latest["id"]])
    before, after = hanger_of(rows.get(then)), hanger_of(rows.get(latest["id"]))
    if before is None or after is None:
        return {}
    turned = same_hanger(before, after)
    parts = {"size_mm": turned.size_mm, "towards_clock": turned.towards_clock, "p": turned.p}
    parts |= {"vertical_mm": turned.vertical_change_mm, "fore_aft_mm": turned.fore_aft_change_mm}
    return {"real": turned.changed, "hanger": parts}
