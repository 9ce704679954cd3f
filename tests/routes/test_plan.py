"""The plan of a job, and the shop's own steps."""

from __future__ import annotations

import pytest

from schemas.plan import PlanSchema, StepsSchema
from service.ids import new_id
from tests.conftest import OPENED
from tests.other_shop import other_owner


def plan_of(phone, job_id: str) -> dict:
    answer = phone.get(f"/jobs/{job_id}/plan")
    assert answer.status_code == 200, answer.json
    assert PlanSchema().validate(answer.json) == {}
    return answer.json


def step(plan: dict, id: str) -> dict:
    return next(one for one in plan["steps"] if one["id"] == id)


def missing(shop, *parts: str) -> None:
    body = {"bike_id": shop.bike, "kind": "build", "opened_at": OPENED, "missing_parts": list(parts)}
    seq = shop.phone.get(f"/jobs/{shop.job}").json["seq"]
    assert shop.phone.put(f"/jobs/{shop.job}", {**body, "base_seq": seq}).status_code == 200


def test_a_missing_part_shows_what_waits_and_what_does_not(shop):
    """No mount: no front derailleur, so no cage and no front limits; the chain only had better wait."""
    missing(shop, "front_derailleur_mount")
    plan = plan_of(shop.phone, shop.job)
    held = next(one for one in plan["missing_parts"] if one["id"] == "front_derailleur_mount")["steps"]
    assert {"front_derailleur", "front_cage", "front_limits"} <= set(held)
    assert step(plan, "front_cage")["held_by_part"] == ["front_derailleur_mount"]
    assert not {"chain", "cockpit", "wheels", "brakes"} & set(held)
    assert step(plan, "cockpit")["state"] == "ready"


def test_steps_are_done_by_their_entries_or_marked(shop):
    phone = shop.phone
    before = step(plan_of(phone, shop.job), "cockpit")
    assert {one["id"] for one in before["asks"]} == {"stem_faceplate", "stem_steerer"}
    phone.sent(*(phone.entry(shop.job, "torque", {"fastener": f, "applied": 5, "unit": "N·m"})
                 for f in ("stem_faceplate", "stem_steerer")),
               phone.entry(shop.job, "check", {"check": "step_crank", "outcome": "passed"}))
    plan = plan_of(phone, shop.job)
    assert (step(plan, "cockpit")["state"], step(plan, "crank")["state"]) == ("done", "done")


def test_a_torque_that_does_not_hold_leaves_its_step_open(shop):
    """Outside its band, or beyond what its wrench can vouch for; the last torque counts."""
    phone, small = shop.phone, {"id": new_id(), "name": "Wrench 1", "unit": "N·m", "lowest": 2, "highest": 14}
    phone.put("/gauges", {"gauges": [small]})

    def cockpit_after(applied: float) -> str:
        body = {"fastener": "stem_faceplate", "applied": applied, "unit": "N·m"}
        phone.sent(phone.entry(shop.job, "torque", body, gauge_id=small["id"]))
        return step(plan_of(phone, shop.job), "cockpit")["state"]

    phone.sent(phone.entry(shop.job, "torque", {"fastener": "stem_steerer", "applied": 5, "unit": "N·m"}))
    assert [cockpit_after(nm) for nm in (50, 5, 1.9, 7, 5)] == ["ready", "done", "ready", "ready", "done"]


def test_a_failed_stop_ride_check_blocks_the_ride_until_it_is_passed(shop):
    phone = shop.phone
    phone.sent(phone.entry(shop.job, "check", {"check": "paired", "outcome": "failed"}))
    assert plan_of(phone, shop.job)["blocked_ride"] == [], "no stop-ride check"
    phone.sent(phone.entry(shop.job, "check", {"check": "brake_hold", "outcome": "failed"}))
    plan = plan_of(phone, shop.job)
    assert [one["id"] for one in plan["blocked_ride"]] == ["brake_hold"]
    ride = step(plan, "test_ride")
    assert (ride["state"], ride["held_by_check"]) == ("held", ["brake_hold"])
    waiting = {one["id"] for one in plan["not_yet_passed"]}
    assert "brake_no_leak" in waiting and "paired" not in waiting
    phone.sent(phone.entry(shop.job, "check", {"check": "brake_hold", "outcome": "passed"}))
    assert plan_of(phone, shop.job)["blocked_ride"] == []


def test_a_bike_is_only_asked_what_it_has(shop):
    ids = {one["id"] for one in plan_of(shop.phone, shop.job)["steps"]}
    assert "front_cage" in ids and "cable" not in ids and "suspension" not in ids


def test_the_catalogues_steps_until_the_shop_has_its_own(shop):
    steps = shop.phone.get("/workshop/plan").json
    assert StepsSchema().validate(steps) == {}
    assert steps["own"] is False
    mine = [{**one, "label": "Levers and bar"} if one["id"] == "cockpit" else one for one in steps["steps"]]
    kept = shop.phone.put("/workshop/plan", {"steps": mine})
    assert kept.status_code == 200, kept.json
    assert kept.json["own"] is True and kept.json["by"] == shop.phone.person_id
    assert step(plan_of(shop.phone, shop.job), "cockpit")["label"] == "Levers and bar"
    assert shop.phone.put("/workshop/plan", {"steps": None}).json["own"] is False
    assert step(plan_of(shop.phone, shop.job), "cockpit")["label"] == "Bar and stem"


def test_a_step_that_is_left_out_can_come_back_with_all_that_waited_for_it(shop):
    start = shop.phone.get("/workshop/plan").json["steps"]
    rest = [one for one in start if one["id"] != "levers"]
    kept = shop.phone.put("/workshop/plan", {"steps": rest})
    assert kept.status_code == 200, kept.json
    assert [one["id"] for one in kept.json["left_out"]] == ["levers"]
    assert step(plan_of(shop.phone, shop.job), "bar_tape")["waits_for"] == []
    back = shop.phone.put("/workshop/plan", {"steps": [*rest, *kept.json["left_out"]]}).json
    assert back["left_out"] == []
    assert "levers" in step(plan_of(shop.phone, shop.job), "bar_tape")["waits_for"]


def test_a_cycle_is_refused_and_named(shop):
    """Bar tape needs the levers; let the levers need the tape."""
    steps = shop.phone.get("/workshop/plan").json["steps"]
    levers = next(one for one in steps if one["id"] == "levers")
    levers["hard"] = [*levers["hard"], "bar_tape"]
    answer = shop.phone.put("/workshop/plan", {"steps": steps})
    assert answer.status_code == 409
    ring = answer.json["steps"]
    assert ring[0] == ring[-1] and {"levers", "bar_tape"} <= set(ring)
    assert "circle" in answer.json["detail"]
    assert shop.phone.get("/workshop/plan").json["own"] is False


OWN = {"id": "bell", "label": "Bell", "stage": "bench", "checks": ["second_person"]}


@pytest.mark.parametrize(("change", "pointer"), [
    ({"hard": ["no_such_step"]}, "/steps"), ({"parts": ["no_such_part"]}, "/steps/0/parts/0"),
    ({"quantities": ["no_such"]}, "/steps/0/quantities/0"), ({"checks": []}, "/steps/0/id"),
])
def test_steps_that_cannot_be_worked_are_refused(shop, change, pointer):
    answer = shop.phone.put("/workshop/plan", {"steps": [{**OWN, **change}]})
    assert answer.status_code == 409
    assert answer.json["errors"][0]["pointer"] == pointer


NO_CONDITIONS = [{"colour": "red"}, {"brakes": []}, {"cog_count": {"least": 3}}, {"brakes": None}, 3]


@pytest.mark.parametrize("applies", NO_CONDITIONS)
def test_a_condition_that_is_none_breaks_the_contract(shop, applies):
    answer = shop.phone.put("/workshop/plan", {"steps": [{**OWN, "applies": applies}]})
    assert answer.status_code == 422
    assert answer.json["errors"][0]["pointer"].startswith("/steps/0/applies")


def test_conditions_decide_which_bikes_are_asked(shop):
    steps = [{**OWN, "applies": {"cog_count": {"min": 12}, "brakes": ["disc", "rim"]}},
             {**OWN, "id": "no_bell", "applies": {"shifting": "cable"}}]
    assert shop.phone.put("/workshop/plan", {"steps": steps}).status_code == 200
    assert [one["id"] for one in plan_of(shop.phone, shop.job)["steps"]] == ["bell"]


def test_only_the_owner_edits_the_plan_and_no_other_shop_sees_it(shop, mechanic, app, store, clock):
    assert mechanic.put("/workshop/plan", {"steps": [OWN]}).status_code == 403
    assert shop.phone.put("/workshop/plan", {"steps": [OWN]}).status_code == 200
    assert mechanic.get("/workshop/plan").json["own"] is True
    stranger = other_owner(app, store, clock)
    assert stranger.get("/workshop/plan").json["own"] is False
    assert stranger.get(f"/jobs/{shop.job}/plan").status_code == 404


def test_the_phone_and_the_handover_follow_the_shops_own_steps(shop):
    """The phone gets them with the catalogue; what they ask for is what a handover misses."""
    assert shop.phone.put("/workshop/plan", {"steps": [OWN]}).status_code == 200
    assert [one["id"] for one in shop.phone.get("/catalogue").json["steps"]] == ["bell"]
    body = {"id": new_id(), "seen_seq": 10**6, "by": shop.phone.person_id, "accepted": []}
    answer = shop.phone.post(f"/jobs/{shop.job}/handover", body)
    assert (answer.status_code, [one["what"] for one in answer.json["missing"]]) == (409, ["second_person"])


def test_what_came_of_a_shift_neither_makes_a_step_done_nor_undoes_it(shop):
    """Shift checks are offered, not asked: the step is done by its reading, whatever a shift did before or after it."""
    phone = shop.phone
    ends = {"from": {"ring": 33, "cog": 28}, "to": {"ring": 33, "cog": 36}}
    phone.sent(phone.entry(shop.job, "shift_check", {**ends, "outcome": "clean"}))
    assert step(plan_of(phone, shop.job), "rear_position")["state"] != "done"
    phone.sent(phone.reading(shop.job, "rear_trim", 2, "step"))
    phone.sent(phone.entry(shop.job, "shift_check", {**ends, "outcome": "hesitates"}))
    assert step(plan_of(phone, shop.job), "rear_position")["state"] == "done"
