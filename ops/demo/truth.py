"""What is true in the scenario, for those who check whether the service finds it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from itertools import pairwise
from statistics import mean
from typing import Any

from ops.demo import habits, mishaps
from ops.demo.bikes import BY_KEY
from ops.demo.hidden_state import QUARTER
from ops.demo.noises import NoiseTruth
from ops.demo.sheet import ReadingTruth
from ops.demo.shifting import ELECTRONIC_DOUBLE, OTHER_OFFSET, ROAD_OFFSET, RoadNeeds

CITY = BY_KEY["white_city"].facts["family"]


@dataclass(frozen=True)
class JobTruth:
    """Of one job: the cause where it came back, and what its ride asked for beyond the stand, in fine units.

    `turned_on_the_road` is the sum by adjuster, in its own unit; None where there was no whole ride.
    """

    job_id: str
    bike: str
    family: str
    kind: str
    cause: str | None
    road_needs: RoadNeeds | None
    turned_on_the_road: dict[str, float] | None


@dataclass(frozen=True)
class Truth:
    readings: list[ReadingTruth] = field(default_factory=list)
    jobs: list[JobTruth] = field(default_factory=list)
    noises: list[NoiseTruth] = field(default_factory=list)

    def summary(self, bikes: dict[str, str]) -> dict[str, Any]:
        """The known answers as JSON; `bikes` are ids by key."""
        return {
            "stand_offsets": {
                ELECTRONIC_DOUBLE: self._offset(ELECTRONIC_DOUBLE, "rear_trim", "step"),
                CITY: self._offset(CITY, "barrel", "turn"),
            },
            "drifts": [
                {"bike_id": bikes["white_city"], "quantity": "chain_elongation", "stage": "found", "per": "1000 km",
                 "slope": BY_KEY["white_city"].chain_rate, "readings": self._count("white_city", "chain_elongation")},
            ],
            "jumps": [
                {"bike_id": bikes["sand_gravel"], "quantity": "rim_radial_runout", "stage": "found",
                 "size": mishaps.FLAT_SPOT, "readings": self._count("sand_gravel", "rim_radial_runout"),
                 "first_after": self._first_after("sand_gravel", "rim_radial_runout")},
            ],
            "workshop_shifts": [
                {"family": ELECTRONIC_DOUBLE, "quantity": "cage_outer_clearance", "stage": "bench", "size":
                 habits.CAGE_SINCE - habits.CAGE_BEFORE, "days_before": habits.NEW_HAND_FROM},
            ],
            "comebacks": [
                {"job_id": job.job_id, "bike_id": bikes[job.bike], "cause": job.cause} for job in self.jobs if job.cause
            ],
            "hanger_knock_mm": {"vertical": 2 * mishaps.KNOCKED_BY[0], "fore_aft": 2 * mishaps.KNOCKED_BY[1]},
            "noises": [asdict(noise) for noise in self.noises],
        }  # fmt: skip

    def corrections(self, family: str, adjuster: str) -> list[float]:
        """Net amount turned on each whole ride of a family, zero where nothing was."""
        rides = (job for job in self.jobs if job.family == family and job.turned_on_the_road is not None)
        return [job.turned_on_the_road.get(adjuster, 0.0) for job in rides]

    def series(self, bike: str, quantity: str, stage: str = "found") -> Iterable[ReadingTruth]:
        return (r for r in self.readings if (r.bike, r.quantity, r.stage) == (bike, quantity, stage))

    def _offset(self, family: str, adjuster: str, unit: str) -> dict[str, Any]:
        """What the road truly asks for beyond the stand, in the adjuster's unit, and what was turned."""
        fine_units = ROAD_OFFSET.get(family, OTHER_OFFSET[family.split("-")[0]])[0]
        turned = self.corrections(family, adjuster)
        true = fine_units * (QUARTER if unit == "turn" else 1)
        return {"adjuster": adjuster, "true": true, "unit": unit, "rides": len(turned), "mean_turned": mean(turned)}

    def _count(self, bike: str, quantity: str) -> int:
        return sum(1 for _ in self.series(bike, quantity))

    def _first_after(self, bike: str, quantity: str) -> str:
        """Id of the first reading after the jump."""
        readings = list(self.series(bike, quantity))
        pairs = pairwise(readings)
        return next(b.entry_id for a, b in pairs if abs(b.true - a.true) > mishaps.FLAT_SPOT / 2)
