"""The test ride: bed the brakes, every gear light, then loaded, then bumps; stop, turn, ride on."""

from __future__ import annotations

from ops.demo.sheet import Sheet
from ops.demo.shifting import (
    NOTICED,
    SEEN_WITH,
    RoadNeeds,
    correct_rear,
    rear_error,
    road_needs,
    try_cogs,
)

MOST_STOPS = 3
TEST_RIDE_KM = 7


def ride(sheet: Sheet, cut_short: bool = False) -> RoadNeeds:
    """A test ride. Returns what the road asked for beyond the stand, which only the simulation knows."""
    sheet.stage = "road"
    sheet.pause(10)
    needs = road_needs(sheet.bike, sheet.rng)
    bike = sheet.bike
    middle, first = len(bike.cogs) // 2, len(sheet.entries)
    light = bike.cogs[middle - 1 : middle + 2]
    try_cogs(sheet, light, bike.rings[-1], rear_error(sheet, needs.rear))
    sheet.note_odometer(first)
    for _ in range(MOST_STOPS):
        sheet.pause(3)
        if not correct_rear(sheet, needs.rear):
            break
        try_cogs(sheet, light[:2], bike.rings[-1], rear_error(sheet, needs.rear), both_ways=False)
        sheet.pause(2)
    if not _turned_rear(sheet):
        sheet.nothing_needed({"ring": bike.rings[-1], "cog": bike.cogs[-2]})
    if cut_short:
        return needs
    _front(sheet, needs)
    sheet.pause(4)
    try_cogs(sheet, bike.cogs[-4:-1], bike.rings[0], rear_error(sheet, needs.rear), both_ways=False)  # loaded, uphill
    sheet.check("step_test_ride")
    sheet.ridden(TEST_RIDE_KM)
    sheet.note_odometer(-1)
    return needs


def _turned_rear(sheet: Sheet) -> bool:
    return any(adjuster in sheet.road_turned for adjuster in ("rear_trim", "barrel"))


def _front(sheet: Sheet, needs: RoadNeeds) -> None:
    """Front shifts in the middle, then the extremes for rub; corrected in steps where the front is electronic."""
    rings, cogs = sheet.bike.rings, sheet.bike.cogs
    if len(rings) < 2:
        return
    inner, outer, cog = rings[-1], rings[-2], cogs[-4]
    sheet.shift((inner, cog), (outer, cog), "clean")
    sheet.shift((outer, cog), (inner, cog), "clean")
    if not sheet.bike.is_electronic:
        return
    missing = sheet.state.needs["front"] + needs.front - sheet.state.true["front_trim"]
    if abs(missing + sheet.rng.gauss(0, SEEN_WITH)) < NOTICED + 0.35:
        return
    steps = max(1, min(2, round(abs(missing)))) * (1 if missing > 0 else -1)
    gear = {"ring": rings[0], "cog": cogs[0]} if steps < 0 else {"ring": inner, "cog": cogs[-1]}
    sheet.noise("rub", ["under_load"], gear, "cage at the extreme")
    sheet.adjust("front_trim", steps, because="rubs", effect="better", gear=gear)
