"""Reading the hidden truth through gauges: the catalogue's standard uncertainty, then the digits a mechanic writes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from random import Random

from service.catalogue import load

WRITTEN_TO = {  # where a mechanic writes coarser steps than the quantity's digits allow
    "cable_tension_turns": 0.25,
    "rear_low_limit_turns": 0.05,
    "rear_high_limit_turns": 0.05,
    "cage_outer_clearance": 0.05,
    "cage_inner_clearance": 0.05,
    "lever_reach_left": 0.5,
    "lever_reach_right": 0.5,
    "tyre_pressure_front": 5,
    "tyre_pressure_rear": 5,
    "battery_rear": 5,
    "battery_front": 5,
    "battery_lever_left": 5,
    "battery_lever_right": 5,
}
COUNTED = ("rub_in_steps", "rub_out_steps", "cable_tension_turns")  # to the next whole click or quarter: no gauge error
FEEL = 0.03  # mm: how well a hand tells that a feeler just slides
CLOCKS = (12, 3, 6, 9)


def read(quantity: str, true: float, rng: Random) -> float:
    """One careful reading, in the catalogue's unit."""
    row = load().items["quantities"][quantity]
    seen = true if quantity in COUNTED or row.get("setting") else rng.gauss(true, row["u"])
    grain = WRITTEN_TO.get(quantity, 10 ** -row["digits"])
    seen = round(seen / grain) * grain
    if row.get("zero") and not row.get("signed"):
        seen = max(0.0, seen)
    return round(min(seen, row.get("full", math.inf)), row["digits"]) + 0.0  # no minus zero


def between(sizes: Sequence[float], true: float, rng: Random) -> tuple[float, float] | None:
    """The largest size that goes and the smallest that does not; None beyond the set of feelers or keys."""
    felt = rng.gauss(true, FEEL)
    goes = [size for size in sizes if size <= felt]
    stops = [size for size in sizes if size > felt]
    return (goes[-1], stops[0]) if goes and stops else None


def tips(hanger: tuple[float, float], rng: Random, clocks: Iterable[float] = CLOCKS) -> list[dict[str, float]]:
    """Gaps at the rim: gap = c + a cos θ + b sin θ, θ = clock × 30°, each tip read with the catalogue's u."""
    u = load().items["quantities"]["hanger_deviation"]["u"]
    a, b = hanger
    arm = max(4.0, math.hypot(a, b) + 2.0)

    def gap(clock: float) -> float:
        theta = math.radians(clock * 30)
        return rng.gauss(arm + a * math.cos(theta) + b * math.sin(theta), u)

    return [{"clock": clock, "gap_mm": round(max(0.1, gap(clock)), 1)} for clock in clocks]
