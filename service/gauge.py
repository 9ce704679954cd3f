"""The shop's gauges."""

from __future__ import annotations

from datetime import date
from typing import Any

from service import catalogue
from service.errors import Problem, fault
from service.store import Store, gauge
from service.uncertainty import is_overdue


def listed(store: Store, shop_id: str, on: date) -> list[dict[str, Any]]:
    """Every gauge; one whose calibration ran out before the day is flagged."""
    with store.reading() as db:
        return [{**one, "overdue": is_overdue(one, on)} for one in gauge.all_of(db, shop_id)]


def save(store: Store, shop_id: str, gauges: list[dict[str, Any]]) -> None:
    """Add or change gauges. Raises Problem 409 for a unit the catalogue does not have or a range turned round."""
    units = catalogue.load().units
    for place, one in enumerate(gauges):
        if one["unit"] not in units:
            detail = f"The catalogue has no unit {one['unit']!r}; it has {', '.join(units)}."
            raise Problem(409, detail, errors=[fault(f"/gauges/{place}/unit", detail)])
        low, high = one.get("lowest"), one.get("highest")
        if low is not None and high is not None and low > high:
            detail = "The range ends before it starts."
            raise Problem(409, detail, errors=[fault(f"/gauges/{place}/highest", detail)])
    with store.writing() as db:
        for one in gauges:
            gauge.put(db, shop_id, one["id"], {name: value for name, value in one.items() if name != "id"})
