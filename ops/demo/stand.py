"""The stations of a job in the stand. Each reads, decides by what it reads, turns, and reads again."""

from __future__ import annotations

from ops.demo.sheet import Sheet
from ops.demo.shifting import correct_rear, rear_error, try_cogs

TRUED_TO = 0.22  # mm, sideways
STRAIGHT_FROM = 1.2  # mm of deviation read: below it the hanger is left alone
AN_EIGHTH = 0.125
BITES = ("lever_bite_front", "lever_bite_rear")
BLEED_FROM = 33  # mm of travel


def wheels(sheet: Sheet, new: bool) -> None:
    """A wheel that runs out, new or as it arrived, is trued; one that runs true is left."""
    seen = sheet.read("rim_lateral_runout", note="rear") if new else sheet.seen["rim_lateral_runout"]
    if seen > 0.3:
        sheet.pause(15)
        sheet.state.true["rim_lateral_runout"] = abs(sheet.rng.gauss(TRUED_TO, 0.03))
        sheet.read("rim_lateral_runout", note="rear, trued")
    if new:
        sheet.read("rim_radial_runout")
        sheet.read("spoke_tension_spread", note="rear, drive side")
        sheet.read("wheel_dish", note="rear")
        sheet.torque("cassette_lockring", 40)
        sheet.torque("rotor_lockring", 40, note="front")
        sheet.torque("rotor_lockring", 40, note="rear")
    if sheet.bike.brakes == "disc":
        sheet.torque("thru_axle", 12, note="front")
        sheet.torque("thru_axle", 12, note="rear")


def hanger(sheet: Sheet, note: str | None = None) -> None:
    if not sheet.has("quantities", "hanger_deviation"):
        return
    seen = sheet.seen.get("hanger_deviation") or sheet.read("hanger_deviation", note=note)
    while seen > STRAIGHT_FROM:
        sheet.pause(4)
        left = 0.45 if seen > 4 else 0.12
        a, b = sheet.state.hanger
        sheet.state.hanger = (a * left + sheet.rng.gauss(0, 0.1), b * left + sheet.rng.gauss(0, 0.1))
        seen = sheet.read("hanger_deviation", note="bent back a little" if seen > 4 else "after bending back")


def power(sheet: Sheet) -> None:
    if not sheet.bike.is_electronic:
        return
    sheet.check("connectors_home")
    sheet.check("paired")
    for battery in ("battery_rear", "battery_front"):
        if sheet.has("quantities", battery) and sheet.state.true[battery] < 96:
            sheet.state.true[battery] = 98.0
    for lever in ("battery_lever_left", "battery_lever_right"):
        seen = sheet.seen.get(lever) or sheet.read(lever)
        if seen < 90:
            sheet.state.true[lever] = 98.0
            sheet.read(lever, note="new coin cell")
    sheet.pause(10)
    sheet.read("battery_rear", note="charged")
    sheet.read("battery_front", note="charged")


def chain(sheet: Sheet, new: bool) -> None:
    sheet.check("chain_direction")
    if new:
        sheet.state.true["chain_elongation"] = sheet.rng.gauss(0.0, 0.01)
    sheet.read("chain_links")
    if new:
        sheet.pause(6)
        sheet.read("chain_elongation", note="new chain, over 24 links")


def gap(sheet: Sheet, target: float) -> None:
    """Set with a hex key: turned until the key of the wanted size just slides."""
    seen = sheet.read("guide_pulley_gap")
    if seen is None or abs(seen - target) <= 0.45:
        return
    turns = (target - sheet.state.true["guide_pulley_gap"] + sheet.rng.gauss(0, 0.05)) / 1.4
    turns = round(turns / AN_EIGHTH) * AN_EIGHTH
    if turns:
        sheet.adjust("b_screw", turns)
        sheet.read("guide_pulley_gap", feelers=sheet.rng.random() < 0.5)


def position(sheet: Sheet, rub_window: bool) -> None:
    """The fine position as the stand would have it, judged by shifting; then its room on three cogs."""
    bike, ring = sheet.bike, sheet.bike.rings[-1]
    middle = len(bike.cogs) // 2
    if abs(rear_error(sheet)) > 2.2:  # a new set-up: run in by eye before the first shift counts
        for _ in range(2):
            correct_rear(sheet)
    try_cogs(sheet, bike.cogs[middle - 1 : middle + 2], ring, rear_error(sheet))
    if correct_rear(sheet):
        try_cogs(sheet, bike.cogs[middle - 1 : middle + 1], ring, rear_error(sheet), both_ways=False)
    sheet.read("rear_trim")
    sheet.read("cable_tension_turns")
    if rub_window:
        room_on_three_cogs(sheet)


def room_on_three_cogs(sheet: Sheet) -> None:
    """Fine steps to the first noise, both ways, on a large, a middle and a small cog."""
    bike = sheet.bike
    if bike.is_electronic and bike.rear_mount == "hanger":
        for cog in (bike.cogs[-2], bike.cogs[len(bike.cogs) // 2], bike.cogs[2]):
            sheet.read("rub_in_steps", cog=cog)
            sheet.read("rub_out_steps", cog=cog)


def limits(sheet: Sheet) -> None:
    for quantity, adjuster in (
        ("rear_low_limit_turns", "rear_low_limit"),
        ("rear_high_limit_turns", "rear_high_limit"),
    ):
        seen = sheet.read(quantity)
        if seen is not None and seen > 0.15:
            sheet.adjust(adjuster, round((seen - 0.07) / AN_EIGHTH) * AN_EIGHTH)
            sheet.read(quantity)


def sweep(sheet: Sheet) -> None:
    """Every cog, to the largest and back."""
    try_cogs(sheet, sheet.bike.cogs, sheet.bike.rings[-1], rear_error(sheet))


def front(sheet: Sheet, clearance: float, new: bool) -> None:
    """Height, then parallel, then the clearances, by feeler, to `clearance` mm outside and a little inside."""
    if len(sheet.bike.rings) < 2:
        return
    true, rings, cogs = sheet.state.true, sheet.bike.rings, sheet.bike.cogs
    height = sheet.read("cage_height_gap", feelers=sheet.rng.random() < 0.3)
    if abs(height - 1.5) > 0.3:
        sheet.adjust("cage_height", round(1.5 - height, 1))
        sheet.read("cage_height_gap")
    apart = sheet.read("cage_alignment")
    if abs(apart) > 0.25:
        sheet.adjust("cage_rotation", round(-apart, 1))
        sheet.read("cage_alignment")
    steps = round(sheet.state.needs["front"] - true["front_trim"] + sheet.rng.gauss(0, 0.15))
    if steps and sheet.has("adjusters", "front_trim"):
        sheet.adjust("front_trim", steps, because="rubs", gear={"ring": rings[-1], "cog": cogs[-1]})
    for quantity, screw, wanted in (
        ("cage_outer_clearance", "front_high_limit", clearance),
        ("cage_inner_clearance", "front_low_limit", 0.25),
    ):
        if new:
            true[quantity] = sheet.rng.gauss(wanted, 0.03)
        if abs(sheet.read(quantity, feelers=True) - wanted) > 0.12:
            felt = true[quantity] + sheet.rng.gauss(0, 0.02)
            turns = round((felt - wanted) / 0.8 / AN_EIGHTH) * AN_EIGHTH
            if turns:
                sheet.adjust(screw, turns)
                sheet.read(quantity, feelers=True)
    sheet.read("front_trim")
    for inner, outer in zip(rings[1:], rings, strict=False):
        sheet.shift((inner, cogs[-4]), (outer, cogs[-4]), "clean")
        sheet.shift((outer, cogs[-4]), (inner, cogs[-4]), "clean")


def brakes(sheet: Sheet, new: bool) -> None:
    true = sheet.state.true
    if new:
        sheet.read("rotor_runout", note="rear")
    if sheet.seen.get("rotor_runout", 0) > 0.13:
        sheet.pause(6)
        true["rotor_runout"] = abs(sheet.rng.gauss(0.07, 0.02))
        sheet.read("rotor_runout", note="rear, trued")
    if not new and sheet.seen["pad_thickness"] < 1.3:
        true["pad_thickness"] = sheet.rng.gauss(3.2 if sheet.bike.brakes == "disc" else 4.5, 0.1)
        sheet.pause(15)
        sheet.remark("New pads front and rear, bedded in away from traffic.")
        new = True
    if new:
        sheet.read("pad_thickness", note="thinnest, rear")
    sheet.read("rotor_thickness", note="rear")
    travel = [sheet.read(lever) for lever in BITES]
    if max(travel) > BLEED_FROM:
        sheet.pause(25)
        sheet.remark("Both brakes bled: the levers had come nearer the bar.")
        for lever in BITES:
            true[lever] = sheet.rng.gauss(25.5, 0.5)
            sheet.read(lever)
    if new:
        sheet.torque("caliper_mount", 7, note="front")
        sheet.torque("caliper_mount", 7, note="rear")


def tyres(sheet: Sheet) -> None:
    front, rear = sheet.bike.pressures
    for quantity, wanted in (("tyre_pressure_front", front), ("tyre_pressure_rear", rear)):
        sheet.state.true[quantity] = sheet.rng.gauss(wanted, 5)
        sheet.read(quantity)


def suspension(sheet: Sheet, new: bool) -> None:
    if not sheet.bike.suspension:
        return
    for quantity in ("fork_pressure", "shock_pressure"):
        sheet.state.true[quantity] = sheet.rng.gauss(sheet.bike.usual[quantity], 4)
        sheet.read(quantity)
    sheet.read("sag_front")
    sheet.read("sag_rear")
    sheet.read("fork_damper_clicks")
    sheet.read("shock_damper_clicks")
    if new:
        sheet.remark("Pressures for the rider's weight with pack, by the maker's table.")


def cockpit(sheet: Sheet) -> None:
    sheet.torque("stem_steerer", 5)
    sheet.torque("stem_faceplate", 5)
    sheet.read("bar_rotation")


def levers(sheet: Sheet) -> None:
    for quantity in ("lever_reach_left", "lever_reach_right", "lever_angle_left", "lever_angle_right"):
        sheet.read(quantity)
    sheet.torque("lever_clamp", 7, note="left")
    sheet.torque("lever_clamp", 7, note="right")


def saddle(sheet: Sheet, all_of_it: bool = True) -> None:
    for quantity in ("saddle_height", "saddle_setback", "saddle_tilt")[: 3 if all_of_it else 1]:
        sheet.read(quantity)
    sheet.torque("seat_clamp", 5)


STOP_RIDE = (
    "brake_lever_sides", "brake_hold", "brake_no_leak", "brakes_bedded", "wheels_and_axles", "headset_hub_crank_play",
    "bar_stem_seatpost", "tyres_seated", "hookless_pairing", "pedals_tight", "chain_link_seated",
)  # fmt: skip


def stop_ride(sheet: Sheet, second_person: bool) -> None:
    for check in STOP_RIDE:
        sheet.check(check)
    if second_person:
        sheet.check("second_person")
