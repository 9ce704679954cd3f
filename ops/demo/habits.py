"""What the mechanics aim at, and the one habit that changed."""

from __future__ import annotations

from ops.demo.bike import DemoBike
from ops.demo.shifting import ELECTRONIC_DOUBLE

HEX_KEY_5 = 5.1  # mm of guide pulley gap when a 5 mm key just slides
NEW_HAND_FROM = 400  # days before: from here on S. Oddlequay sets the front cages of the shop's main family, wider
CAGE_BEFORE, CAGE_SINCE, CAGE_ELSEWHERE = 0.35, 0.65, 0.5  # mm of outer clearance


def pulley_gap(bike: DemoBike) -> float:
    return bike.usual.get("guide_pulley_gap", HEX_KEY_5)


def cage_clearance(bike: DemoBike, days_before: int) -> float:
    if bike.facts["family"] != ELECTRONIC_DOUBLE:
        return CAGE_ELSEWHERE
    return CAGE_BEFORE if days_before > NEW_HAND_FROM else CAGE_SINCE
