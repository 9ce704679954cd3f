"""The sheet of one job: writes entries as a phone would, and keeps beside them what was true."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from random import Random
from typing import Any

from ops.demo import gauge
from ops.demo.hidden_state import HiddenState
from ops.demo.shop import gauge_for, wrench_for
from service.catalogue import load
from service.domain.bike import applies, usual_gear

KPA = {"kPa": 1.0, "bar": 100.0, "psi": 6.894757293168}


@dataclass(frozen=True)
class ReadingTruth:
    """What a reading was taken of: `true` in the catalogue's unit, for the hanger its deviation and its vector."""

    entry_id: str
    job_id: str
    bike: str
    quantity: str
    stage: str
    true: float
    vector_mm: tuple[float, float] | None = None


@dataclass
class Sheet:
    """Entries of one job, in the order they were taken. `stage` is where the mechanic is."""

    job_id: str
    state: HiddenState
    by: str
    rng: Random
    now: datetime
    new_id: Callable[[datetime], str]
    gauges: dict[str, str]
    odometer_km: int | None = None
    pressure_unit: str = "bar"
    stage: str = "found"
    entries: list[dict[str, Any]] = field(default_factory=list)
    truths: list[ReadingTruth] = field(default_factory=list)
    noises_true: list[Any] = field(default_factory=list)
    road_turned: dict[str, float] = field(default_factory=dict)
    seen: dict[str, float] = field(default_factory=dict)  # the newest reading of each quantity

    @property
    def bike(self):
        return self.state.bike

    def pause(self, minutes: float) -> None:
        self.now += timedelta(minutes=minutes)

    def ridden(self, km: int) -> None:
        self.state.km += km
        self.odometer_km = None if self.odometer_km is None else self.odometer_km + km

    def note_odometer(self, entry: int) -> None:
        """Writes the odometer on an entry that is no reading, given its place on the sheet."""
        if self.odometer_km is not None:
            self.entries[entry]["odometer_km"] = self.odometer_km

    def has(self, noun: str, id: str) -> bool:
        """True when this bike is asked that."""
        row = load().items[noun].get(id)
        return row is not None and applies(row.get("applies", {}), self.bike.facts)

    def write(self, kind: str, data: dict[str, Any], seconds: tuple[float, float] = (25, 80), **more: Any) -> str:
        """One entry, so many seconds after the one before. Returns its id."""
        self.now += timedelta(seconds=round(self.rng.uniform(*seconds)))
        entry = {"id": self.new_id(self.now), "job_id": self.job_id, "kind": kind, "stage": self.stage,
                 "taken_at": self.now.isoformat(), "by": self.by, "data": data}  # fmt: skip
        self.entries.append(entry | {name: value for name, value in more.items() if value is not None})
        return entry["id"]

    # ------------------------------------------------------------------------------------------------------ readings

    def read(
        self, quantity: str, *, cog: int | None = None, feelers: bool = False, note: str | None = None
    ) -> float | None:
        """One reading; None on a bike that has no such thing."""
        if not self.has("quantities", quantity):
            return None
        row = load().items["quantities"][quantity]
        gear = self._gear(row, cog)
        if quantity == "hanger_deviation":
            return self._read_hanger(note)
        true = self._true(quantity, gear)
        sizes: Sequence[float] = row.get("go_no_go", ()) if feelers else ()
        pair = gauge.between(sizes, true, self.rng) if sizes else None
        if pair:
            value = sum(pair) / 2
            data = {"quantity": quantity, "low": pair[0], "high": pair[1], "unit": row["unit"]}
        else:
            value = gauge.read(quantity, true, self.rng)
            data = {"quantity": quantity} | self._as_written(value, row["unit"])
        tool = self._gauge(None if pair else gauge_for(quantity))
        entry = self._reading(data, (25, 75), gear=gear, note=note, gauge_id=tool)
        self.truths.append(ReadingTruth(entry, self.job_id, self.bike.key, quantity, self.stage, true))
        self.seen[quantity] = value
        return value

    def _read_hanger(self, note: str | None) -> float:
        vector = self.state.hanger
        data = {"quantity": "hanger_deviation", "tips": gauge.tips(vector, self.rng)}
        entry = self._reading(data, (150, 260), note=note, gauge_id=self._gauge("alignment"))
        self.truths.append(ReadingTruth(entry, self.job_id, self.bike.key, "hanger_deviation", self.stage,
                                        self.state.deviation, vector))  # fmt: skip
        gap = {tip["clock"]: tip["gap_mm"] for tip in data["tips"]}
        self.seen["hanger_deviation"] = math.hypot(gap[12] - gap[6], gap[3] - gap[9])
        return self.seen["hanger_deviation"]

    def slip(self, quantity: str, slipped: Callable[[float], float]) -> None:
        """A slip of the finger and its correction, which carries the moment of what it replaces."""
        value = self.read(quantity)
        right = self.entries.pop()
        wrong = right | {"id": self.new_id(self.now), "data": right["data"] | {"value": slipped(value)}}
        self.entries += [wrong, right | {"replaces": wrong["id"], "note": f"{value:g} was meant"}]

    def _reading(self, data: dict[str, Any], seconds: tuple[float, float], **more: Any) -> str:
        return self.write("reading", data, seconds, odometer_km=self.odometer_km, **more)

    def _gauge(self, key: str | None) -> str | None:
        return self.gauges.get(key) if key else None

    def _gear(self, row: dict[str, Any], cog: int | None) -> dict[str, int] | None:
        if "gear_default" not in row:
            return None
        gear = usual_gear(row["gear_default"], self.bike.body())
        return gear | {"cog": cog} if cog else gear

    def _true(self, quantity: str, gear: dict[str, int] | None) -> float:
        if quantity in ("rub_in_steps", "rub_out_steps"):
            return float(round(self.state.room(gear["cog"], inboard=quantity == "rub_in_steps")))
        return self.state.true[quantity]

    def _as_written(self, value: float, unit: str) -> dict[str, Any]:
        if unit != "kPa" or self.pressure_unit == "kPa":
            return {"value": value, "unit": unit}
        digits = 2 if self.pressure_unit == "bar" else 1
        return {"value": round(value / KPA[self.pressure_unit], digits), "unit": self.pressure_unit}

    # ----------------------------------------------------------------------------------------------- all other kinds

    def adjust(
        self,
        adjuster: str,
        amount: float,
        *,
        because: str | None = None,
        effect: str | None = None,
        gear: dict[str, int] | None = None,
        note: str | None = None,
    ) -> str:
        """Turns something, in truth and on the sheet."""
        self.state.turn(adjuster, amount)
        if self.stage == "road":
            self.road_turned[adjuster] = self.road_turned.get(adjuster, 0.0) + amount
        data = {"adjuster": adjuster, "amount": amount, "unit": load().items["adjusters"][adjuster]["unit"]}
        data |= {name: value for name, value in (("because", because), ("effect", effect)) if value}
        return self.write("adjustment", data, (20, 70), gear=gear, note=note)

    def nothing_needed(self, gear: dict[str, int]) -> str:
        return self.write("adjustment", {"adjuster": "none", "amount": 0, "unit": "step"}, (20, 60), gear=gear)

    def shift(self, start: tuple[int, int], to: tuple[int, int], outcome: str, note: str | None = None) -> str:
        data = {"from": _as_gear(start), "to": _as_gear(to), "outcome": outcome}
        return self.write("shift_check", data, (5, 14), note=note)

    def torque(self, fastener: str, applied: float, note: str | None = None, **adapter: float) -> None:
        if self.has("fasteners", fastener):
            data = {"fastener": fastener, "applied": applied, "unit": "N·m", **adapter}
            self.write("torque", data, (30, 90), note=note, gauge_id=self._gauge(wrench_for(applied)))

    def check(self, check: str, outcome: str = "passed", note: str | None = None) -> None:
        if self.has("checks", check):
            self.write("check", {"check": check, "outcome": outcome}, (12, 45), note=note)

    def remark(self, text: str) -> None:
        self.write("remark", {"text": text}, (20, 60))

    def declined(self, work: str) -> None:
        self.write("declined", {"work": work}, (20, 60))

    def noise(self, sound: str, when: list[str], gear: dict[str, int], note: str, **more: Any) -> str:
        return self.write("noise", {"sound": sound, "when": when, **more}, (25, 90), gear=gear, note=note)

    def void(self, entry_id: str) -> None:
        self.write("void", {}, (4, 12), replaces=entry_id)


def _as_gear(gear: tuple[int, int]) -> dict[str, int]:
    return {"ring": gear[0], "cog": gear[1]}
