"""The plan of a job, and the shop's own steps."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlite_utils import Database

from service import catalogue, own_rows
from service.catalogue import STEP_DONE, Catalogue
from service.domain.bike import Facts, facts
from service.domain.handed_over import Entry
from service.domain.plan import (
    PlanError,
    Step,
    StepState,
    check_outcomes,
    done_steps,
    plan,
    refuse_unknown,
    working_order,
)
from service.errors import Problem, fault
from service.job_entries import as_computed
from service.store import Store, bike, entry, shop_table

ASKED = ("quantities", "fasteners", "checks")
STATE_LISTS = ("waits_for", "better_after", "held_by_part", "held_by_check")
NAMED = {
    "parts": "parts", "quantities": "quantities", "fasteners": "fasteners", "checks": "checks",
    "also_quantities": "quantities", "also_fasteners": "fasteners", "cautions": "cautions",
}  # fmt: skip


def steps_in_force(db: Database, shop_id: str) -> dict[str, Any]:
    """The shop's own steps, else the catalogue's."""
    return own_rows.in_force(db, shop_id, "steps")


def save_steps(
    store: Store, shop_id: str, person: str, steps: list[dict[str, Any]] | None, now: datetime
) -> dict[str, Any]:
    """Put the shop's own steps in force, or the catalogue's again. Raises Problem 409 where they cannot be worked."""
    if steps is not None:
        _check(steps, catalogue.load())
    with store.writing() as db:
        shop_table.append(db, shop_id, "steps", steps, now.isoformat(), person)
        return steps_in_force(db, shop_id)


def _check(steps: list[dict[str, Any]], known: Catalogue) -> None:
    """Everything named exists, the order can be followed, and each step can be seen to be done."""
    for place, step in enumerate(steps):
        for field, noun in NAMED.items():
            for at, id in enumerate(step[field]):
                if id not in known.items[noun]:
                    detail = f"The catalogue has no {id} among its {noun}."
                    raise _clash(f"/steps/{place}/{field}/{at}", detail, "unknown-catalogue-id")
        if STEP_DONE + step["id"] not in known.items["checks"] and not any(step[asked] for asked in ASKED):
            detail = "A step of the shop's own asks for a reading, a torque or a check: else it never shows as done."
            raise _clash(f"/steps/{place}/id", detail, "never-done")
    try:
        domain = [_step(step) for step in steps]
        refuse_unknown(domain, known.items["steps"])
        working_order(domain)
    except PlanError as error:
        at_fault = {"errors": [fault("/steps", str(error))], "steps": list(error.steps)}
        raise Problem(409, str(error), kind="plan-cannot-be-worked", **at_fault) from None


def _clash(pointer: str, detail: str, kind: str) -> Problem:
    return Problem(409, detail, kind=kind, errors=[fault(pointer, detail)])


def _step(row: dict[str, Any]) -> Step:
    needs, asked = ([tuple(row[name]) for name in names] for names in (("hard", "soft", "parts"), ASKED))
    return Step(row["id"], row["label"], *needs, *asked, stage=row["stage"])


def steps_for(db: Database, shop_id: str, of: Facts, kind: str) -> tuple[list[Step], dict[str, dict[str, Any]]]:
    """Steps of a job of this kind on this bike, in working order, and the rows behind them by id."""
    rows = steps_in_force(db, shop_id)["steps"]
    return list(working_order(catalogue.load().steps_for(of, kind, rows))), {row["id"]: row for row in rows}


def of_job(db: Database, shop_id: str, found: dict[str, Any]) -> dict[str, Any]:
    """The plan of a job as it stands."""
    known, of = catalogue.load(), facts(bike.get(db, shop_id, found["bike_id"]))
    entries = as_computed(entry.computed_of_job(db, shop_id, found["id"]))
    steps, rows = steps_for(db, shop_id, of, found["kind"])
    outcomes = check_outcomes(entries)
    stops = {id: row for id, row in known.for_bike("checks", of).items() if row["stop_ride"]}
    failed = [id for id in stops if outcomes.get(id) == "failed"]
    asked = {id for step in steps for id in step.checks}
    made = plan(steps, found.get("missing_parts", ()), _done(steps, entries, outcomes), failed)
    parts, by_id = known.items["parts"], {step.id: step for step in steps}
    return {
        "job_id": found["id"],
        "steps": [_planned(rows[state.id], by_id[state.id], state, known) for state in made.states],
        "missing_parts": [
            {"id": part, "label": parts[part]["label"], "steps": list(held)} for part, held in made.holds.items()
        ],
        "blocked_ride": [{"id": id, "label": stops[id]["label"]} for id in made.blocked_ride],
        "not_yet_passed": [
            {"id": id, "label": row["label"]}
            for id, row in stops.items()
            if id in asked and outcomes.get(id) not in ("passed", "failed")
        ],
    }


def _done(steps: list[Step], entries: list[Entry], outcomes: dict[str, str]) -> frozenset[str]:
    return done_steps(steps, entries, [step.id for step in steps if outcomes.get(STEP_DONE + step.id) == "passed"])


def _planned(row: dict[str, Any], step: Step, state: StepState, known: Catalogue) -> dict[str, Any]:
    """A step as the contract shows it."""
    lists = {name: list(getattr(state, name)) for name in STATE_LISTS}
    asks = [{"id": id, "label": known.items[noun][id]["label"]} for noun in ASKED for id in getattr(step, noun)]
    told = {name: row[name] for name in ("id", "label", "words", "stage")}
    return {**told, "state": state.state, **lists, "asks": asks, "cautions": row["cautions"]}
