"""The standard uncertainty of a reading: from its gauge, else from a gauge study, else from the catalogue."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from service.catalogue import Catalogue
from service.domain.torque import Wrench


@dataclass(frozen=True)
class Uncertainty:
    """u in the quantity's unit, where it comes from, and whether the gauge's calibration had run out."""

    u: float
    source: str
    overdue: bool = False


def of_reading(
    catalogue: Catalogue,
    quantity: Mapping[str, Any],
    gauge: Mapping[str, Any] | None,
    studied: Mapping[str, float],
    on: date,
) -> Uncertainty:
    """A gauge's expanded uncertainty over its coverage factor (JCGM 100:2008, 6.3), where its unit fits."""
    overdue = bool(gauge and is_overdue(gauge, on))
    if quantity.get("setting"):
        return Uncertainty(0.0, "catalogue", overdue)
    if gauge and gauge.get("expanded_uncertainty") is not None and gauge["unit"] in catalogue.units_of(quantity["id"]):
        u = gauge["expanded_uncertainty"] / gauge.get("coverage_factor", 2)
        return Uncertainty(catalogue.to_unit(u, gauge["unit"], quantity["unit"]), "gauge", overdue)
    if quantity["id"] in studied:
        return Uncertainty(studied[quantity["id"]], "study", overdue)
    return Uncertainty(float(quantity["u"]), "catalogue", overdue)


def of_wrench(catalogue: Catalogue, gauge: Mapping[str, Any] | None, length_mm: float | None) -> Wrench:
    """The wrench a torque was made with: range, tolerance and uncertainty in N·m from its gauge, where it is one."""
    if gauge is None or gauge["unit"] not in torque_units(catalogue):
        return Wrench(length_mm)

    def nm(name: str) -> float | None:
        return None if gauge.get(name) is None else catalogue.to_unit(gauge[name], gauge["unit"], "N·m")

    expanded = nm("expanded_uncertainty")
    u = None if expanded is None else expanded / gauge.get("coverage_factor", 2)
    return Wrench(length_mm, nm("highest"), gauge.get("tolerance_percent"), nm("lowest"), u)


def torque_units(catalogue: Catalogue) -> set[str]:
    units = catalogue.units
    return {id for id, unit in units.items() if unit.dimension == units["N·m"].dimension}


def is_overdue(gauge: Mapping[str, Any], on: date) -> bool:
    """Whether the gauge's next calibration was due before this day."""
    return bool(gauge.get("due")) and date.fromisoformat(gauge["due"]) < on
