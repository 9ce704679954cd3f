"""The observations of a comeback, in the catalogue's words, and what could still be measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import sqrt
from typing import Any

from service import catalogue, causes
from service.baseline import Baseline, Visit
from service.domain import as_found
from service.domain.bike import Facts
from service.domain.causes import Cause, Levels, Observation, Usual
from service.domain.errors import CannotCompute
from service.domain.evidence import NO_PERIOD
from service.domain.noise import Sounding, candidates_by_count, candidates_by_taps
from service.domain.review import Compared

PEDALLING = ("seated", "standing", "under_load")
PART_OF = {"pedal_strokes": "crank", "chain_loop": "chain", "other": NO_PERIOD}  # of the noise's parts, the cause's
VERTICAL_U, RESIDUAL_U = sqrt(2), 1 / sqrt(2)  # four tips: of 12 minus 6 and of the residual, in u of one tip
CORRECTION_U = as_found.HALF_A_STEP


class Evidence:
    """What this bike, table and shop make of the entries."""

    def __init__(self, own_bike: Mapping[str, Any], of: Facts, table: Sequence[Cause], levels: Levels) -> None:
        self.known, self.bike, self.of, self.table, self.levels = catalogue.load(), own_bike, of, table, levels
        self.quantities = self.known.for_bike("quantities", of)
        self.named = {change.of for cause in table for change in cause.changes}
        self.road = {
            id: (a["adds_to"][0]["quantity"], a["step"])
            for id, a in self.known.for_bike("adjusters", of).items()
            if a["road"] and a["adds_to"]
        }
        self.usual = self._usual()

    def label(self, noun: str) -> dict[str, str]:
        return {id: row["label"] for id, row in self.known.items[noun].items()}

    def _usual(self) -> dict[str, Usual]:
        """Only what some cause names: a tyre that has lost air tells no cause from another."""
        sizes = {id: row for id, row in self.quantities.items() if id in self.named}
        if as_found.HANGER in self.quantities:
            tip = self.quantities[as_found.HANGER]
            sizes |= {as_found.HANGER: tip, as_found.VERTICAL: {"u": tip["u"] * VERTICAL_U}}
            sizes |= {as_found.RESIDUAL: {"u": tip["u"] * RESIDUAL_U}}
        for quantity, step in self.road.values():
            sizes[f"needed:{quantity}"] = {"u": CORRECTION_U * step}
        return {of: causes.usual(row, self.levels) for of, row in sizes.items()}

    def observations(
        self, job: Mapping[str, Any], seen: Visit, compared: Sequence[Compared]
    ) -> list[Observation]:
        """Everything that speaks for or against a cause."""
        labels = {id: (row["label"], row["unit"]) for id, row in self.quantities.items()}
        fasteners, checks = self.known.for_bike("fasteners", self.of), self.known.for_bike("checks", self.of)
        lower = {id: row["lower"] for id, row in fasteners.items() if row.get("lower")}
        told = {id: row["label"] for id, row in {**checks, **fasteners}.items() if self._tells(id)}
        return [
            *as_found.symptoms(self._said(job, seen), self.label("symptoms")),
            *as_found.events(job.get("since_last", ()), self.label("events")),
            *as_found.changes(compared, labels, self.usual),
            *as_found.findings(seen.entries, {id: nm for id, nm in lower.items() if id in told}, told),
            *as_found.needed(seen.entries, self.road, self.label("quantities"), self.usual),
            *as_found.noises(*self._heard(seen), PEDALLING),
        ]

    def _tells(self, id: str) -> bool:
        return f"check:{id}" in self.named or f"fastener:{id}" in self.named

    def _said(self, job: Mapping[str, Any], seen: Visit) -> list[str]:
        """Symptoms of the complaint, of shifts tried and of noises heard on arrival."""
        said = list(job.get("complaint", {}).get("symptoms", ()))
        sounds = self.known.items["sounds"]
        for e in seen.found:
            data = seen.body(e.id)["data"]
            if e.kind == "shift_check":
                start, end = ((data[side]["ring"], data[side]["cog"]) for side in ("from", "to"))
                said.append(as_found.symptom_of_shift(start, end, data["outcome"]))
            if e.kind == "noise":
                said.append(sounds[data["sound"]].get("symptom"))
        return [symptom for symptom in said if symptom]

    def _heard(self, seen: Visit) -> tuple[list[list[str]], dict[str, float]]:
        """When noises were heard, and the parts the last counted or tapped one may turn with."""
        notes = [seen.body(e.id) for e in seen.found if e.kind == "noise"]
        parts: dict[str, float] = {}
        for note in notes:
            for candidate in self._candidates(note):
                part = PART_OF.get(candidate.part, candidate.part)
                parts[part] = parts.get(part, 0.0) + candidate.probability
        total = sum(parts.values())
        return [note["data"]["when"] for note in notes], {part: p / total for part, p in parts.items()}

    def _candidates(self, note: Mapping[str, Any]) -> tuple:
        """Parts that a counted or tapped noise may turn with; none without a gear to compare with."""
        data, gear = note["data"], note.get("gear")
        if gear is None:
            return ()
        known = {name: data.get(name) for name in ("cadence_rpm", "speed_kmh")}
        wheel = self.bike.get("wheel", {}).get("circumference_mm")
        sounding = Sounding(gear["ring"], gear["cog"], circumference_mm=wheel, **known)
        try:
            if "count_in_ten_turns" in data:
                return candidates_by_count(data["count_in_ten_turns"], sounding).candidates
            if "taps_ms" in data:
                return candidates_by_taps(data["taps_ms"], sounding, data.get("crank_taps_ms")).candidates
        except CannotCompute:
            pass  # a count or taps that give no period tell nothing of it
        return ()

    def still_open(self, base: Baseline | None, seen: Sequence[Observation]) -> list[Observation]:
        """What could be measured, torqued, checked or listened to and has not been."""
        have = {o.of for o in seen}
        options = [o for o in (*self._readings(base), *self._findings()) if o.of not in have and o.of in self.named]
        noisy = {row.get("symptom") for row in self.known.items["sounds"].values()}
        if any(o.of in noisy for o in seen if o.kind == "symptom"):
            options += [
                Observation(of, kind, label, True)
                for of, kind, label in (
                    ("noise_period", "period", "Count the noise in ten turns of the crank"),
                    ("coasting", "coasting", "Listen whether the noise goes on while coasting"),
                )
                if of not in have
            ]
        return options

    def _readings(self, base: Baseline | None) -> list[Observation]:
        """Readings with a handed-over value to compare with."""
        then = {key[0]: value for key, value in base.values.items() if value.value is not None} if base else {}
        found = []
        for id, row in self.quantities.items():
            if id == as_found.HANGER and id in then and then[id].hanger:
                u = row["u"] * VERTICAL_U * sqrt(2)
                found.append(
                    Observation(as_found.VERTICAL, "change", row["label"], 0.0, u, self.usual[as_found.VERTICAL])
                )
            elif id in self.usual and id in then:
                found.append(Observation(id, "change", row["label"], 0.0, row["u"] * sqrt(2), self.usual[id]))
        return found

    def _findings(self) -> list[Observation]:
        return [
            Observation(f"{prefix}:{id}", "finding", row["label"], True)
            for noun, prefix in (("fasteners", "fastener"), ("checks", "check"))
            for id, row in self.known.for_bike(noun, self.of).items()
        ]
