"""Gauges: any measuring tool, torque wrenches included."""

from __future__ import annotations

from .fields import Day, Flag, Id, Many, Number, Part, Strict, Text


class GaugeSchema(Strict):
    id = Id(required=True)
    name = Text(80, required=True)
    unit = Text(16, required=True, metadata={"description": "a unit of the catalogue"})
    resolution = Number(above=0, allow_none=True)
    lowest = Number(allow_none=True, metadata={"description": "start of its range"})
    highest = Number(allow_none=True, metadata={"description": "end of its range"})
    expanded_uncertainty = Number(0, allow_none=True, metadata={"description": "from its certificate; null: not known"})
    coverage_factor = Number(1, 10, load_default=2, metadata={"description": "what the certificate multiplied u by"})
    tolerance_percent = Number(0, 50, allow_none=True, metadata={"description": "of a torque wrench"})
    calibrated_at = Day(allow_none=True)
    due = Day(allow_none=True, metadata={"description": "next calibration"})
    retired = Flag(load_default=False)


class GaugeShownSchema(GaugeSchema):
    overdue = Flag(required=True)


class GaugesSchema(Strict):
    """The gauges to add or change; those not named stay as they are."""

    gauges = Many(Part(GaugeSchema), 200, required=True)


class GaugesShownSchema(Strict):
    gauges = Many(Part(GaugeShownSchema), 1000, required=True)
