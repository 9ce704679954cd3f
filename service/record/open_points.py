"""What a person must accept before a bike goes out: what is missing or no longer holds, what is outside its band, what
is still heard or felt. The phone lists the same (schemas/vectors/open_points.json)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.catalogue import STEP_DONE, Catalogue
from service.domain.bike import Facts
from service.domain.handed_over import ADJUSTED_SINCE, Entry
from service.domain.plan import Step, check_outcomes, done_steps, plan
from service.record.outcome import shift_words, unchecked_at_start

# What a point is about; the customer's page says the first six under "What to watch".
STALE, OUTSIDE, NOT_JUDGED, NOISE, SYMPTOM, SHIFTS, HELD, MISSING = (
    "stale", "outside", "not_judged", "noise", "symptom", "shifts", "held", "missing",
)  # fmt: skip
CHECKED_LATE = "not checked before the test ride, only later"
NOT_CHECKED = "not checked before the test ride, nor since"
HANDOVER = "handover"  # the step that this is


@dataclass(frozen=True)
class Open:
    """Something to accept: the catalogue's id, its words, why, and what it is about."""

    what: str
    label: str
    why: str
    about: str = MISSING

    def as_json(self) -> dict[str, str]:
        return {"what": self.what, "label": self.label, "why": self.why, "about": self.about}


def open_points(
    document: Mapping[str, Any],
    standing: list[Entry],
    steps: Iterable[Step],
    parts: Iterable[str],
    of: Facts,
    known: Catalogue,
) -> list[Open]:
    """Every point, in the order of the page. `document` has the values, pairs, torques, noises, symptoms and shifts of
    the record; `parts` are those that are missing. Steps marked done ask nothing; a ride that began without its checks
    is told all the same."""
    asked = {one.what: one for one in _steps(list(steps), standing, list(parts), known)}
    asked |= {one.what: one for one in _unchecked(standing, of, known)}
    return [*_torques(document), *_values(document), *_felt(document), *_shifts(document), *asked.values()]


def _values(document: Mapping[str, Any]) -> Iterator[Open]:
    for value in (*document["values"], *document["pairs"]):
        gear = value["gear"]
        label = f"{value['label']}, {gear['ring']} × {gear['cog']}" if gear else value["label"]
        if value.get("stale"):
            yield Open(value["quantity"], label, ADJUSTED_SINCE, STALE)
        elif value["verdict"] == "outside":
            yield Open(value.get("quantity") or value["pair"], label, "outside its tolerance band", OUTSIDE)


def _torques(document: Mapping[str, Any]) -> Iterator[Open]:
    for one in document["torques"]:
        if one["verdict"] == "outside":
            yield Open(one["fastener"], one["label"], "tightened outside its tolerance band", OUTSIDE)
        elif one["why_not"]:
            yield Open(one["fastener"], one["label"], "the wrench is not made for such a torque", NOT_JUDGED)


def _felt(document: Mapping[str, Any]) -> Iterator[Open]:
    for one in document["noises"]:
        if not one["gone"]:
            yield Open(f"noise_{one['sound']}", ", ".join((one["label"], *one["when"])), "still heard", NOISE)
    for one in document["symptoms"]:
        if not one["better"]:
            yield Open(f"symptom_{one['symptom']}", one["label"], "still so", SYMPTOM)


def _shifts(document: Mapping[str, Any]) -> Iterator[Open]:
    """All shifts whose last try was not clean are one point: a cross-shifted chain may rub in many."""
    bad = [shift_words(one) for one in (document["shifts"] or {}).get("not_clean", [])]
    if bad:
        yield Open(SHIFTS, "Shifts that were not clean", "; ".join(bad), SHIFTS)


def _steps(steps: list[Step], standing: list[Entry], parts: list[str], known: Catalogue) -> Iterator[Open]:
    """What the steps ask for and nobody logged. A step held by a missing part stands for all that it asks for, save
    for what keeps a rider safe."""
    outcomes = check_outcomes(standing)
    marked = [step.id for step in steps if outcomes.get(STEP_DONE + step.id) == "passed"]
    held = {one.id: one.held_by_part for one in plan(steps, parts, done_steps(steps, standing, marked)).states}
    read = {entry.quantity for entry in standing if entry.kind == "reading"}
    tightened = {entry.fastener for entry in standing if entry.kind == "torque"}
    names = known.items
    for step in steps:
        if step.id in marked:
            continue
        if held[step.id] and step.id != HANDOVER:
            missing = ", ".join(names["parts"][part]["label"] for part in held[step.id])
            yield Open(STEP_DONE + step.id, step.label, f"a part is missing ({missing})", HELD)
        lacking = [
            *((id, "quantities", "not measured") for id in step.quantities if id not in read),
            *((id, "fasteners", "no torque written down") for id in step.fasteners if id not in tightened),
            *((id, "checks", outcomes.get(id, "not_done").replace("_", " ")) for id in step.checks
              if outcomes.get(id) != "passed"),
        ]  # fmt: skip
        for id, noun, why in lacking:
            row = names[noun][id]
            if not held[step.id] or row.get("stop_ride"):
                yield Open(id, row["label"] if noun == "checks" else row["customer_label"], why)


def _unchecked(standing: list[Entry], of: Facts, known: Catalogue) -> Iterator[Open]:
    """Checks that a ride did not wait for, also where they were passed later."""
    outcomes = check_outcomes(standing)
    stops = {id: row for id, row in known.for_bike("checks", of).items() if row["stop_ride"]}
    for id in unchecked_at_start(standing, stops):
        yield Open(id, stops[id]["label"], CHECKED_LATE if outcomes.get(id) == "passed" else NOT_CHECKED)
