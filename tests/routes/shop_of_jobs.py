"""A shop with many jobs, made through the API: what the endpoints over all jobs are tested on."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from service.ids import new_id
from tests.conftest import BIKE, OPENED, Phone

CABLE = {
    **BIKE,
    "drivetrain": {
        **BIKE["drivetrain"],
        "shifting": "cable",
        "rings": [42],
        "cogs": [11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 32],
        "front_derailleur": False,
    },
}
BIG = {"ring": 33, "cog": 36}


class Shop:
    """Jobs of one phone, each on a bike of its own, opened a day after the one before."""

    def __init__(self, phone: Phone) -> None:
        self.phone, self.days = phone, 0

    def job(self, bike: dict[str, Any] = BIKE, kind: str = "build", bike_id: str | None = None, **more) -> str:
        """A new job; the bike is added where it has no id yet."""
        self.days += 1
        job_id, known = new_id(), bike_id is not None
        bike_id = bike_id or new_id()
        if not known:
            assert self.phone.put(f"/bikes/{bike_id}", bike).status_code == 200
        body = {"base_seq": None, "bike_id": bike_id, "kind": kind, "opened_at": self.moment(), **more}
        answer = self.phone.put(f"/jobs/{job_id}", body)
        assert answer.status_code == 200, answer.json
        return job_id

    def moment(self, minutes: int = 0) -> str:
        return (datetime.fromisoformat(OPENED) + timedelta(days=self.days, minutes=minutes)).isoformat()

    def read(
        self, job_id: str, *values: float, quantity="guide_pulley_gap", unit="mm", stage="bench", gear=BIG
    ) -> list:
        """Readings a minute apart."""
        more = {"gear": gear} if gear else {}
        entries = [
            {**self.phone.reading(job_id, quantity, v, unit, stage, **more), "taken_at": self.moment(n)}
            for n, v in enumerate(values)
        ]
        self.send(entries)
        return entries

    def ride(self, job_id: str, **turned: float) -> None:
        """A test ride's net adjustments; with none of them, nothing was needed."""
        units = {"barrel": "turn"}
        done = turned or {"none": 0}
        self.send(
            [
                self.phone.entry(
                    job_id, "adjustment", {"adjuster": id, "amount": amount, "unit": units.get(id, "step")}, "road"
                )
                | {"taken_at": self.moment(60)}
                for id, amount in done.items()
            ]
        )

    def send(self, entries: list) -> None:
        results = self.phone.sent(*entries)
        assert {r["status"] for r in results} == {"stored"}, results

    def hand_over(self, job_id: str) -> dict:
        """Hand the bike over, whatever is missing."""
        body = {"id": new_id(), "seen_seq": 2**50, "by": self.phone.person_id, "accepted": []}
        answer = self.phone.post(f"/jobs/{job_id}/handover", body)
        if answer.status_code == 409:
            body["accepted"] = [point["what"] for point in answer.json["missing"]]
            answer = self.phone.post(f"/jobs/{job_id}/handover", body)
        assert answer.status_code == 200, answer.json
        return answer.json
