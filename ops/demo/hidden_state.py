"""What is true of a bike, and what nobody in the shop sees but through gauges.

Lengths in mm, pressures in kPa, turns, fine steps; `fine units` are what a hand turns at a time: one fine step, or a
quarter turn of the barrel. The rates are from memory of what bikes do: they make the scenario believable and are no
claim about any real part.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from ops.demo.bike import DemoBike

SETTLES_WITHIN_KM = 150.0  # of cable and housing, to 63 %
QUARTER = 0.25
GAP_PER_B_TURN = 1.4  # mm of guide pulley gap
CAGE_PER_STEP = 0.03  # mm of cage clearance a fine step
CAGE_PER_TURN = 0.8  # mm of cage clearance a turn of a limit screw
CHARGE_PER_1000_KM = 32.0  # %, rear battery


@dataclass
class HiddenState:
    """`true` holds each quantity in the catalogue's unit; `hanger` is the vector (a, b) of the hanger fit in mm.

    `needs` is the position the stand asks of an adjuster, in fine units, with a straight hanger and a settled cable.
    """

    bike: DemoBike
    true: dict[str, float]
    hanger: tuple[float, float]
    needs: dict[str, float]
    half_window: float
    to_settle: float = 0.0  # turns
    km: float = 0.0

    def ride(self, km: float, days: float, rng: Random) -> None:
        """Wear, settling and leaks of so many kilometres and days."""
        thousands = km / 1000
        self.km += km
        grown = {
            "chain_elongation": self.bike.chain_rate * thousands,
            "pad_thickness": -self.bike.pad_rate * thousands,
            "rotor_thickness": -0.008 * thousands,
            "rotor_runout": abs(rng.gauss(0, 0.012)),
            "rim_lateral_runout": abs(rng.gauss(0, 0.05)),
            "spoke_tension_spread": abs(rng.gauss(0, 0.8)),
            "wheel_dish": rng.gauss(0, 0.05),
            "guide_pulley_gap": rng.gauss(0, 0.06),
            "rear_low_limit_turns": rng.gauss(0, 0.01),
            "rear_high_limit_turns": rng.gauss(0, 0.01),
            "cage_height_gap": rng.gauss(0, 0.03),
            "cage_alignment": rng.gauss(0, 0.04),
            "cage_outer_clearance": rng.gauss(0, 0.02),
            "cage_inner_clearance": rng.gauss(0, 0.02),
            "lever_bite_front": 1.25 * thousands,
            "lever_bite_rear": 1.25 * thousands,
        }
        for quantity, change in grown.items():
            self._move(quantity, change)
        for quantity, share_a_day in (("tyre_pressure", 0.010), ("fork_pressure", 0.0006), ("shock_pressure", 0.0008)):
            for name in (quantity, f"{quantity}_front", f"{quantity}_rear"):
                if name in self.true:
                    self.true[name] *= max(0.55, math.exp(-share_a_day * days))
        for battery, share in (("rear", 1.0), ("front", 0.7), ("lever_left", 0.12), ("lever_right", 0.12)):
            self._move(f"battery_{battery}", -share * CHARGE_PER_1000_KM * thousands, lowest=20)
        settled = self.to_settle * (1 - math.exp(-km / SETTLES_WITHIN_KM))
        self.to_settle -= settled
        for adjuster in self.needs:
            self.needs[adjuster] += rng.gauss(0, 0.2)
        self.needs["rear"] += settled / QUARTER
        a, b = self.hanger
        self.hanger = (a + rng.gauss(0, 0.08), b + rng.gauss(0, 0.08))

    def knock(self, a: float, b: float) -> None:
        """Bends the hanger by a vector in mm at the rim."""
        self.hanger = (self.hanger[0] + a, self.hanger[1] + b)

    def turn(self, adjuster: str, amount: float) -> None:
        """What one adjuster does to the truth; amounts in its own unit, positive as the catalogue says."""
        moves = {
            "rear_trim": {"rear_trim": 1},
            "front_trim": {
                "front_trim": 1, "cage_outer_clearance": -CAGE_PER_STEP, "cage_inner_clearance": CAGE_PER_STEP,
            },
            "barrel": {"cable_tension_turns": 1},
            "b_screw": {"guide_pulley_gap": GAP_PER_B_TURN},
            "rear_low_limit": {"rear_low_limit_turns": -1},
            "rear_high_limit": {"rear_high_limit_turns": -1},
            "front_low_limit": {"cage_inner_clearance": -CAGE_PER_TURN},
            "front_high_limit": {"cage_outer_clearance": -CAGE_PER_TURN},
            "cage_height": {"cage_height_gap": 1},
            "cage_rotation": {"cage_alignment": 1},
        }  # fmt: skip
        for quantity, factor in moves[adjuster].items():
            self._move(quantity, factor * amount)

    @property
    def setting(self) -> float:
        """Where the rear derailleur stands, in fine units, positive inboard."""
        if self.bike.is_electronic:
            return self.true["rear_trim"]
        return self.true["cable_tension_turns"] / QUARTER

    @property
    def wanted(self) -> float:
        """Where the stand would have it, in fine units: a hanger bent in (a > 0) has to be met outboard."""
        a = self.hanger[0] if self.bike.rear_mount == "hanger" else 0.0
        return self.needs["rear"] - a / self.bike.radius_mm * self.bike.pulley_depth_mm / self.bike.fine_mm

    @property
    def deviation(self) -> float:
        return 2 * math.hypot(*self.hanger)

    def room(self, cog: int, inboard: bool) -> float:
        """Fine steps from the set position to the first noise on a cog, in the stand.

        A tilted hanger asks for another position on large cogs than on small ones, by a/R times the difference of the
        pitch radii (z · 12.7 mm / 2π, plane geometry).
        """
        middle = self.bike.cogs[len(self.bike.cogs) // 2]
        farther_out = self.hanger[0] / self.bike.radius_mm * (cog - middle) * 12.7 / (2 * math.pi) / self.bike.fine_mm
        too_far_in = self.setting - (self.wanted - farther_out)
        return max(0.0, self.half_window + (-too_far_in if inboard else too_far_in))

    def _move(self, quantity: str, change: float, lowest: float = -math.inf) -> None:
        if quantity in self.true:
            self.true[quantity] = max(lowest, self.true[quantity] + change)


def fresh(bike: DemoBike, rng: Random, used: bool = False) -> HiddenState:
    """A bike as its parts come out of their boxes and are put together, or, `used`, as a rider first brings it."""

    def around(middle: float, spread: float) -> float:
        return rng.gauss(middle, spread)

    front, rear = bike.pressures
    reach, angle, bite = around(172, 1.5), around(21, 1), around(26, 1.5)
    true = {
        "rear_trim": float(rng.randint(10, 14)), "front_trim": float(rng.randint(3, 6)),
        "cable_tension_turns": 1.5, "guide_pulley_gap": around(5.9, 0.3),
        "rear_low_limit_turns": around(0.35, 0.05), "rear_high_limit_turns": around(0.32, 0.05),
        "cage_height_gap": around(1.9, 0.2), "cage_alignment": around(0.4, 0.15),
        "cage_outer_clearance": around(0.62, 0.06), "cage_inner_clearance": around(0.40, 0.05),
        "chain_links": float(bike.chain_links), "chain_elongation": around(0.0, 0.01),
        "rim_lateral_runout": abs(around(0.38, 0.05)), "rim_radial_runout": abs(around(0.22, 0.03)),
        "spoke_tension_spread": around(11, 1), "wheel_dish": around(0, 0.2),
        "rotor_runout": abs(around(0.07, 0.02)), "rotor_thickness": around(1.80, 0.01),
        "pad_thickness": around(3.2, 0.1) if bike.brakes == "disc" else around(4.5, 0.1),
        "lever_reach_left": reach, "lever_reach_right": reach + around(0, 0.4),
        "lever_angle_left": angle, "lever_angle_right": angle + around(0, 0.2),
        "lever_bite_front": bite, "lever_bite_rear": bite + around(0, 0.5),
        "tyre_pressure_front": float(front), "tyre_pressure_rear": float(rear),
        "fork_pressure": 600.0, "shock_pressure": 1200.0, "sag_front": 22.0, "sag_rear": 29.0,
        "fork_damper_clicks": 8.0, "shock_damper_clicks": 6.0,
        "saddle_height": around(735, 18), "saddle_setback": around(58, 6), "saddle_tilt": around(-1.0, 0.4),
        "bar_rotation": around(4, 1.5),
        "battery_rear": 72.0, "battery_front": 68.0, "battery_lever_left": 97.0, "battery_lever_right": 97.0,
    } | dict(bike.usual)  # fmt: skip
    needs = {"rear": around(12, 1.5) if bike.is_electronic else around(7.5, 0.8), "front": around(4.5, 1)}
    hanger = (around(0, 0.6), around(0, 0.5))
    state = HiddenState(bike, true, hanger, needs, half_window=around(3.7, 0.35), km=bike.km_before)
    if used:
        true |= {
            "rear_low_limit_turns": around(0.1, 0.03),
            "rear_high_limit_turns": around(0.1, 0.03),
        } | bike.when_first_seen
        true |= {"rear_trim": round(state.wanted) + 1.0, "cable_tension_turns": round(state.wanted) * QUARTER}
    return state
