"""The table of causes, edited by the shop, and the priors that closed comebacks teach."""

from __future__ import annotations

import pytest

from schemas.causes import CausesSchema
from service.ids import new_id
from tests.came_back import bike_with_steps, comeback
from tests.other_shop import other_owner
from tests.routes.shop_of_jobs import CABLE, Shop

OWN = {"id": "mud", "label": "Mud in the pulleys", "likely": ["grinds"], "prior": 0.2}


def table(phone) -> dict:
    answer = phone.get("/workshop/causes")
    assert answer.status_code == 200, answer.json
    assert CausesSchema().validate(answer.json) == {}
    return answer.json


def learned(phone, id: str) -> dict:
    return next(one for one in table(phone)["learned"] if one["id"] == id)


def closed(phone, bike_id: str, cause: str) -> None:
    job = comeback(phone, bike_id)
    body = {"id": new_id(), "outcome": "found", "cause": cause}
    assert phone.post(f"/jobs/{job}/close", body).status_code == 200


def test_the_catalogues_table_until_the_shop_has_its_own(owner):
    shown = table(owner)
    assert shown["own"] is False and len(shown["causes"]) == len(shown["learned"]) - 1
    assert sum(one["start"] for one in shown["learned"]) == pytest.approx(1)
    kept = owner.put("/workshop/causes", {"causes": [*shown["causes"], OWN]})
    assert kept.status_code == 200, kept.json
    assert kept.json["causes"][-1]["id"] == "mud" and kept.json["causes"][-1]["tag"] == "set by the shop"
    job = comeback(owner, bike_with_steps(owner), complaint={"symptoms": ["grinds"], "words": ""})
    assert owner.get(f"/jobs/{job}/review").json["causes"][0]["id"] == "mud"
    assert owner.put("/workshop/causes", {"causes": None}).json["own"] is False


def test_closed_comebacks_teach_the_priors(owner):
    """Added counts: (40 x start + 10) / (40 + 10) for the cause found ten times, by hand; a cable's cause, which this
    bike cannot have, stays where it was."""
    bike_id, before, cable = bike_with_steps(owner), learned(owner, "pulley_worn"), learned(owner, "cable_settled")
    for _ in range(10):
        closed(owner, bike_id, "pulley_worn")
    after = learned(owner, "pulley_worn")
    assert (after["closed"], after["could_be"]) == (10, 10)
    assert after["learned"] == pytest.approx((40 * before["start"] + 10) / 50)
    assert learned(owner, "cable_settled")["learned"] == pytest.approx(cable["start"])
    job = comeback(owner, bike_id, complaint={"symptoms": ["rubs"], "words": ""})
    review = owner.get(f"/jobs/{job}/review").json
    assert review["learned_from"] == 10
    assert next(one for one in review["causes"] if one["id"] == "pulley_worn")["prior"] > 2 * before["start"]


def test_comebacks_of_cable_bikes_count_for_cables(owner):
    bike_id = new_id()
    assert owner.put(f"/bikes/{bike_id}", CABLE).status_code == 200
    closed(owner, bike_id, "cable_drag")
    assert (learned(owner, "cable_drag")["closed"], learned(owner, "cable_settled")["could_be"]) == (1, 1)
    assert learned(owner, "charge_or_connector")["could_be"] == 0


@pytest.mark.parametrize(("rows", "pointer"), [
    ([{**OWN, "likely": ["no_such"]}], "/causes/0/likely/0"), ([OWN, OWN], "/causes/1/id"),
    ([{**OWN, "id": "none_of_these"}], "/causes/0/id"), ([{**OWN, "events": ["no_such"]}], "/causes/0/events/0"),
    ([{**OWN, "changes": [{"quantity": "no_such", "direction": "up"}]}], "/causes/0/changes/0/quantity/0"),
])
def test_what_nobody_knows_is_refused(owner, rows, pointer):
    answer = owner.put("/workshop/causes", {"causes": rows})
    assert answer.status_code == 409
    assert answer.json["errors"][0]["pointer"] == pointer
    assert table(owner)["own"] is False


@pytest.mark.parametrize("things", [{}, {"quantity": "rear_trim", "check": "paired"}])
def test_a_change_is_of_one_thing(owner, things):
    row = {**OWN, "changes": [{**things, "direction": "up"}]}
    assert owner.put("/workshop/causes", {"causes": [row]}).status_code == 422


def test_an_empty_table_leaves_none_of_these(owner):
    assert owner.put("/workshop/causes", {"causes": []}).status_code == 200
    job = comeback(owner, bike_with_steps(owner), complaint={"symptoms": ["grinds"], "words": ""})
    [only] = owner.get(f"/jobs/{job}/review").json["causes"]
    assert (only["id"], only["probability"]) == ("none_of_these", 1)


def test_what_is_left_out_is_shown_keeps_its_name_and_can_come_back(owner):
    start = table(owner)
    assert start["left_out"] == []
    closed(owner, bike_with_steps(owner), "pulley_worn")
    [gone] = [row for row in start["causes"] if row["id"] == "pulley_worn"]
    rest = [row for row in start["causes"] if row["id"] != "pulley_worn"]
    kept = owner.put("/workshop/causes", {"causes": rest}).json
    assert [row["id"] for row in kept["left_out"]] == ["pulley_worn"]
    back = owner.put("/workshop/causes", {"causes": [*rest, kept["left_out"][0]]}).json
    assert back["left_out"] == [] and back["causes"][-1]["label"] == gone["label"]


def test_comebacks_are_named_in_the_shops_own_words(owner):
    shop = Shop(owner)
    job = shop.job()
    shop.read(job, 5.0)
    bike_id = shop.hand_over(job)["bike_id"]
    back = comeback(owner, bike_id, comeback_of=job)
    assert owner.put("/workshop/causes", {"causes": [OWN]}).status_code == 200
    body = {"id": new_id(), "outcome": "found", "cause": "mud"}
    assert owner.post(f"/jobs/{back}/close", body).status_code == 200
    [found] = owner.get("/workshop/comebacks").json["by_cause"]
    assert (found["cause"], found["label"]) == ("mud", "Mud in the pulleys")


def test_only_the_owner_edits_and_no_other_shop_sees_or_learns(owner, mechanic, app, store, clock):
    assert mechanic.put("/workshop/causes", {"causes": [OWN]}).status_code == 403
    closed(owner, bike_with_steps(owner), "pulley_worn")
    assert owner.put("/workshop/causes", {"causes": [OWN]}).status_code == 200
    stranger = other_owner(app, store, clock)
    assert table(stranger)["own"] is False
    assert learned(stranger, "pulley_worn")["closed"] == 0
