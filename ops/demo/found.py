"""A bike as it arrives, before anything is touched."""

from __future__ import annotations

from ops.demo.sheet import Sheet
from ops.demo.shifting import rear_error, road_needs, try_cogs

ASKED = (
    "hanger_deviation", "guide_pulley_gap", "rear_trim", "cable_tension_turns", "rear_low_limit_turns",
    "rear_high_limit_turns", "front_trim", "cage_height_gap", "cage_alignment", "cage_outer_clearance",
    "cage_inner_clearance", "chain_elongation", "rotor_runout", "rim_lateral_runout", "rim_radial_runout",
    "pad_thickness", "tyre_pressure_front", "tyre_pressure_rear", "fork_pressure", "shock_pressure", "battery_rear",
    "battery_front", "battery_lever_left", "battery_lever_right",
)  # fmt: skip


LEFT_FOR_THE_BENCH = ("rear_low_limit_turns", "rear_high_limit_turns", "battery_lever_left", "battery_lever_right")


def found(sheet: Sheet, everything: bool) -> None:
    """Reads what the arrival step offers, all of it on a comeback, and shifts through the middle of the cassette."""
    sheet.stage = "found"
    sheet.check("step_arrival")
    for quantity in ASKED:
        if everything or quantity not in LEFT_FOR_THE_BENCH:
            sheet.read(quantity)
    middle = len(sheet.bike.cogs) // 2
    error = rear_error(sheet, road_needs(sheet.bike, sheet.rng).rear)
    try_cogs(sheet, sheet.bike.cogs[middle - 1 : middle + 1], sheet.bike.rings[-1], error)
