"""Runs the diary: a seed and a reference date make the scenario.

`python ops/demo/simulate.py --truth` prints what is true of it, as JSON.
"""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

if __name__ == "__main__":  # a script finds only its own folder
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from ops.demo import jobs
from ops.demo.bike import DemoBike
from ops.demo.bikes import BIKES, BY_KEY
from ops.demo.diary import DIARY
from ops.demo.hidden_state import HiddenState, fresh
from ops.demo.moments import EARLIEST_DAY, Calendar, Ids
from ops.demo.scenario import DemoJob, Scenario
from ops.demo.sheet import Sheet
from ops.demo.shifting import RoadNeeds
from ops.demo.shop import CUSTOMERS, GAUGES, PEOPLE
from ops.demo.truth import JobTruth, Truth
from ops.demo.visit import Visit

SEED = 20_471
WORK = {"build": jobs.build, "service": jobs.service, "comeback": jobs.comeback}
WRITES_PRESSURE_IN = {"brindlemoor": "bar", "tarnwhistle": "bar", "oddlequay": "kPa"}


def simulate(reference: date, seed: int = SEED) -> Scenario:
    """The scenario that ends the day before `reference`. The same seed and date give the same bodies to the letter."""
    return _Simulation(seed, reference).run()


@dataclass
class _Ridden:
    """A bike between its visits."""

    state: HiddenState
    last_day: int
    last_job: str | None = None


class _Simulation:
    def __init__(self, seed: int, reference: date):
        self.seed, self.calendar, self.ids = seed, Calendar(reference), Ids(seed)
        self.people, self.customers, self.gauges, self.bikes = (
            {row.key: self.ids.next(EARLIEST_DAY) for row in rows} for rows in (PEOPLE, CUSTOMERS, GAUGES, BIKES)
        )
        self.ridden: dict[str, _Ridden] = {}
        self.truth = Truth()
        self.device_seq = 0

    def run(self) -> Scenario:
        done = [self._job(number, visit) for number, visit in enumerate(DIARY)]
        return Scenario(self.calendar.reference, self.people, self.customers, self.gauges, self.bikes, done, self.truth)

    def _job(self, number: int, visit: Visit) -> DemoJob:
        rng = Random(f"{self.seed} visit {number}")
        ridden = self._arrive(BY_KEY[visit.bike], visit, rng)
        opened = self.calendar.at(visit.days_before, visit.hour + rng.uniform(-0.2, 0.6)).replace(microsecond=0)
        sheet = self._sheet(visit, ridden.state, rng, opened)
        visit.before(sheet)
        needs = WORK[visit.kind](sheet, visit)
        if visit.ends in ("handed_over", "closed"):
            _write_minutes(sheet, opened)
        body = self._body(visit, opened, ridden.last_job)
        ridden.last_job = sheet.job_id
        self._note(sheet, visit, needs)
        return self._ended(sheet, visit, body)

    def _arrive(self, bike: DemoBike, visit: Visit, rng: Random) -> _Ridden:
        """The bike as it is today: new, here for the first time, or ridden since its last visit."""
        ridden = self.ridden.get(bike.key)
        if ridden is None:
            state = fresh(bike, rng, used=visit.kind != "build")
            ridden = self.ridden[bike.key] = _Ridden(state, visit.days_before)
        else:
            days = ridden.last_day - visit.days_before
            ridden.state.ride(days * bike.km_a_day, days, rng)
            ridden.last_day = visit.days_before
        return ridden

    def _sheet(self, visit: Visit, state: HiddenState, rng: Random, opened: datetime) -> Sheet:
        return Sheet(
            job_id=self.ids.next(visit.days_before), state=state, by=self.people[visit.by], rng=rng, now=opened,
            new_id=lambda at: self.ids.next(visit.days_before, (at - opened).total_seconds()), gauges=self.gauges,
            odometer_km=round(state.km) if state.bike.has_odometer else None,
            pressure_unit=WRITES_PRESSURE_IN[visit.by],
        )  # fmt: skip

    def _body(self, visit: Visit, opened: datetime, last_job: str | None) -> dict[str, Any]:
        body = {
            "base_seq": None, "bike_id": self.bikes[visit.bike], "kind": visit.kind,
            "opened_at": (opened - timedelta(minutes=10)).isoformat(),
        }  # fmt: skip
        if visit.kind == "comeback":
            complaint = {"symptoms": list(visit.symptoms), "words": visit.words}
            body |= {"comeback_of": last_job, "complaint": complaint}
        if visit.since_last:
            body["since_last"] = list(visit.since_last)
        if visit.missing_parts:
            body["missing_parts"] = list(visit.missing_parts)
        return body

    def _note(self, sheet: Sheet, visit: Visit, needs: RoadNeeds | None) -> None:
        whole_ride = needs is not None and visit.ends != "riding"
        self.truth.readings.extend(sheet.truths)
        self.truth.noises.extend(sheet.noises_true)
        self.truth.jobs.append(
            JobTruth(sheet.job_id, visit.bike, sheet.bike.facts["family"], visit.kind, visit.cause, needs,
                     dict(sheet.road_turned) if whole_ride else None)
        )  # fmt: skip

    def _ended(self, sheet: Sheet, visit: Visit, body: dict[str, Any]) -> DemoJob:
        entries, late = list(sheet.entries), []
        if visit.late:
            sheet.pause(60)
            sheet.remark(visit.late)
            late = sheet.entries[-1:]
        for entry in entries + late:
            self.device_seq += 1
            entry["device_seq"] = self.device_seq
        leaves = visit.ends in ("handed_over", "closed")
        return DemoJob(
            sheet.job_id, visit, body, entries, late, self.people[visit.by],
            (sheet.now + timedelta(minutes=15)).isoformat(),
            record_id=self.ids.next(visit.days_before, 30_000) if leaves else None,
            close_id=self.ids.next(visit.days_before, 30_100) if visit.ends == "closed" else None,
        )  # fmt: skip


def _write_minutes(sheet: Sheet, opened: datetime) -> None:
    sheet.state.true["minutes"] = round((sheet.now - opened).total_seconds() / 300) * 5.0
    sheet.read("minutes")


def main() -> None:
    parser = argparse.ArgumentParser(description="Runs the demo scenario's simulation.")
    parser.add_argument(
        "--reference-date", type=date.fromisoformat, default=date.today(), help="ends the day before it"
    )
    parser.add_argument("--truth", action="store_true", help="print what is true, as JSON")
    chosen = parser.parse_args()
    scenario = simulate(chosen.reference_date)
    if chosen.truth:
        print(json.dumps(scenario.truth.summary(scenario.bikes), indent=2, ensure_ascii=False))
    else:
        print(f"{len(scenario.bikes)} bikes, {len(scenario.jobs)} jobs, {len(scenario.entries)} entries")


if __name__ == "__main__":
    main()
