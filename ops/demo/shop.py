"""The people, customers and gauges of the invented shop. Names are made up; addresses use the reserved .example."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any


@dataclass(frozen=True)
class Person:
    key: str
    name: str
    role: str
    active: bool = True


@dataclass(frozen=True)
class Customer:
    key: str
    name: str
    contact: str


@dataclass(frozen=True)
class Gauge:
    """`expanded` is U (k = 2) from its certificate, where it has one; days are counted back from the reference date."""

    key: str
    name: str
    used_for: tuple[str, ...]
    unit: str
    resolution: float
    lowest: float
    highest: float
    calibrated_days_before: int
    due_days_before: int
    expanded: float | None = None
    tolerance_percent: float | None = None

    def body(self, reference: date) -> dict[str, Any]:
        body = {
            "name": self.name, "unit": self.unit, "resolution": self.resolution,
            "lowest": self.lowest, "highest": self.highest,
            "calibrated_at": (reference - timedelta(days=self.calibrated_days_before)).isoformat(),
            "due": (reference - timedelta(days=self.due_days_before)).isoformat(),
        }  # fmt: skip
        extras = {"expanded_uncertainty": self.expanded, "tolerance_percent": self.tolerance_percent}
        return body | {name: value for name, value in extras.items() if value is not None}


PEOPLE = (
    Person("brindlemoor", "A. Brindlemoor", "owner"),
    Person("tarnwhistle", "K. Tarnwhistle", "mechanic"),
    Person("oddlequay", "S. Oddlequay", "mechanic"),
)

CUSTOMERS = (
    Customer("fennimark", "R. Fennimark", "r.fennimark@mail.example"),
    Customer("quillhavre", "L. Quillhavre", "l.quillhavre@mail.example"),
    Customer("wexlund", "P. Wexlundy", "p.wexlundy@mail.example"),
)

GAUGES = (
    Gauge("alignment", "Alignment gauge", ("hanger_deviation",), "mm", 0.1, 0, 60, 150, -215, expanded=0.6),
    Gauge("calliper", "Calliper 200 mm", ("chain_elongation", "pad_thickness"), "mm", 0.01, 0, 200, 120, -245),
    Gauge("dial", "Dial indicator 10 mm", ("rotor_runout", "rim_lateral_runout", "rim_radial_runout"), "mm", 0.01, 0,
          10, 230, -135),
    Gauge("micrometer", "Micrometer 25 mm", ("rotor_thickness",), "mm", 0.001, 0, 25, 300, -65, expanded=0.04),
    Gauge("tension", "Spoke tension gauge", ("spoke_tension_spread",), "%", 1, 0, 200, 95, -270, expanded=6),
    Gauge("inclinometer", "Inclinometer", ("lever_angle_left", "lever_angle_right", "saddle_tilt", "bar_rotation"), "°",
          0.1, -180, 180, 60, -305),
    Gauge("pressure", "Tyre pressure gauge 11 bar", ("tyre_pressure_front", "tyre_pressure_rear"), "kPa", 5, 0, 1100,
          412, 47, expanded=14),
    Gauge("small_wrench", "Torque wrench 2 to 14 N·m", (), "N·m", 0.1, 2, 14, 140, -225, tolerance_percent=4),
    Gauge("large_wrench", "Torque wrench 10 to 60 N·m", (), "N·m", 1, 10, 60, 140, -225, tolerance_percent=4),
)  # fmt: skip

SMALL_WRENCH_TO = 14.0  # N·m


def gauge_for(quantity: str) -> str | None:
    return next((gauge.key for gauge in GAUGES if quantity in gauge.used_for), None)


def wrench_for(target: float) -> str:
    return "small_wrench" if target <= SMALL_WRENCH_TO else "large_wrench"
