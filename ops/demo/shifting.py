"""How the bike shifts, from how far the fine position is off: what the mechanic sees, and what the road asks."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from random import Random

from ops.demo.bike import DemoBike
from ops.demo.sheet import Sheet

NOTICED = 0.55  # fine units: an error below it is not felt
HARD = 2.6  # fine units: from here on the chain jumps two cogs or none
SEEN_WITH = 0.15  # fine units: how well a mechanic judges it

# What the stand gets wrong: the road asks for so many fine units more inboard, with its spread from ride to ride.
# A loaded frame and a wheel that carries the rider stand otherwise than in the stand. Cable bikes: a control, none.
ELECTRONIC_DOUBLE = "electronic-12x2-10-36-46-33"
ROAD_OFFSET = {ELECTRONIC_DOUBLE: (1.0, 0.6)}
OTHER_OFFSET = {"electronic": (0.2, 0.3), "cable": (0.0, 0.3)}
FRONT_OFFSET = (0.1, 0.4)


@dataclass(frozen=True)
class RoadNeeds:
    """How far the road's best position lies inboard of the stand's, on one ride, in fine units."""

    rear: float
    front: float


def road_needs(bike: DemoBike, rng: Random) -> RoadNeeds:
    middle, spread = ROAD_OFFSET.get(bike.facts["family"], OTHER_OFFSET[bike.shifting])
    return RoadNeeds(rng.gauss(middle, spread), rng.gauss(*FRONT_OFFSET))


def outcome(error: float, to_larger: bool) -> str:
    """What a shift does, the derailleur standing `error` fine units too far inboard (negative: outboard)."""
    too_far_for_it = error if not to_larger else -error
    if too_far_for_it >= HARD:
        return "no_shift"
    if too_far_for_it >= NOTICED:
        return "hesitates"
    if too_far_for_it <= -HARD:
        return "over_shifts"
    return "clean"


def symptom(error: float) -> str:
    return "hesitates_to_smaller" if error > 0 else "hesitates_to_larger"


def rear_error(sheet: Sheet, road: float = 0.0) -> float:
    """Fine units too far inboard, as the stand sees it, or the road with its offset."""
    return sheet.state.setting - sheet.state.wanted - road


def try_cogs(sheet: Sheet, cogs: tuple[int, ...], ring: int, error: float, both_ways: bool = True) -> None:
    """Shifts through neighbouring cogs, to the larger ones and back again."""
    pairs = list(pairwise(cogs))
    for small, large in pairs:
        sheet.shift((ring, small), (ring, large), outcome(error + sheet.rng.gauss(0, 0.08), to_larger=True))
    for small, large in reversed(pairs) if both_ways else ():
        sheet.shift((ring, large), (ring, small), outcome(error + sheet.rng.gauss(0, 0.08), to_larger=False))


def correct_rear(sheet: Sheet, road: float = 0.0) -> bool:
    """Turns the fine position where an error is felt, in whole steps or quarter turns. True if something was turned."""
    bike = sheet.bike
    seen = rear_error(sheet, road) + sheet.rng.gauss(0, SEEN_WITH)
    if abs(seen) < NOTICED:
        return False
    units = max(1, round(abs(seen))) * (-1 if seen > 0 else 1)
    before = abs(rear_error(sheet, road))
    adjuster, amount = ("rear_trim", units) if bike.is_electronic else ("barrel", units * 0.25)
    gear = {"ring": bike.rings[-1], "cog": bike.cogs[-2]}
    sheet.adjust(adjuster, amount, because=symptom(seen), gear=gear)
    after = abs(rear_error(sheet, road))
    effect = "better" if after < before - 0.2 else "same" if after < before + 0.2 else "worse"
    sheet.entries[-1]["data"]["effect"] = effect
    return True
