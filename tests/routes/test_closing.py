"""Closing a job, and the first guess."""

from __future__ import annotations

import pytest

from schemas.closing import ClosedSchema, FirstGuessSchema
from service.ids import new_id
from tests.came_back import bike_with_steps, comeback
from tests.other_shop import other_owner


@pytest.fixture
def back(owner):
    """A comeback's job."""
    return comeback(owner, bike_with_steps(owner))


def closing(**more) -> dict:
    body = {"outcome": "found", "cause": "hanger_bent_inward", "remedy": "bent back", "borne_by": "rider"}
    return {"id": new_id(), **body, **more}


def test_a_person_closes_a_job(owner, back):
    body = closing()
    answer = owner.post(f"/jobs/{back}/close", body)
    assert answer.status_code == 200, answer.json
    assert ClosedSchema().validate(answer.json) == {}
    assert answer.json["closing"] == {**body, "closed_at": owner.clock().isoformat(), "by": owner.person_id}
    job = owner.get(f"/jobs/{back}").json
    assert (job["state"], job["seq"]) == ("closed", answer.json["seq"])
    review = owner.get(f"/jobs/{back}/review").json
    assert (review["closing"]["cause"], review["learned_from"]) == ("hanger_bent_inward", 0), "not from itself"


def test_the_closing_reaches_the_feed(owner, back):
    seq = owner.get("/changes?limit=1000").json["next"]
    owner.post(f"/jobs/{back}/close", closing())
    [change] = owner.get(f"/changes?after={seq}").json["changes"]
    assert (change["noun"], change["body"]["state"]) == ("job", "closed")


def test_the_same_id_again_changes_nothing(owner, back):
    body = closing()
    first = owner.post(f"/jobs/{back}/close", body)
    owner.clock.forward(hours=1)
    assert owner.post(f"/jobs/{back}/close", body).json == first.json


def test_another_closing_must_name_the_one_it_corrects(owner, back):
    first, second = closing(), closing(cause="chain_worn")
    owner.post(f"/jobs/{back}/close", first)
    clash = owner.post(f"/jobs/{back}/close", second)
    assert clash.status_code == 409 and clash.json["current"]["id"] == first["id"]
    assert owner.post(f"/jobs/{back}/close", second | {"replaces": new_id()}).status_code == 409
    corrected = owner.post(f"/jobs/{back}/close", second | {"replaces": first["id"]})
    assert corrected.json["closing"]["cause"] == "chain_worn"


@pytest.mark.parametrize(("change", "status", "pointer"), [
    ({"cause": "no_such_cause"}, 409, "/cause"), ({"outcome": "maybe"}, 422, "/outcome"),
    ({"borne_by": "the maker"}, 422, "/borne_by"), ({"colour": "red"}, 422, "/colour"),
    ({"replaces": "01920000-0000-7000-8000-000000000000"}, 409, "/replaces"),
])
def test_what_cannot_be(owner, back, change, status, pointer):
    answer = owner.post(f"/jobs/{back}/close", closing(**change))
    assert answer.status_code == status
    assert answer.json["errors"][0]["pointer"] == pointer
    assert owner.get(f"/jobs/{back}").json["state"] == "open"


def test_nothing_found_and_none_of_these_are_closings_too(owner, back):
    assert owner.post(f"/jobs/{back}/close", {"id": new_id(), "outcome": "not_found"}).status_code == 200
    other = comeback(owner, bike_with_steps(owner))
    assert owner.post(f"/jobs/{other}/close", closing(cause="none_of_these")).status_code == 200


def test_the_first_guess_is_kept(owner, back):
    first = owner.put(f"/jobs/{back}/first-guess", {"cause": "rear_mount_loose"})
    assert first.status_code == 200, first.json
    assert FirstGuessSchema().validate(first.json) == {}
    assert owner.put(f"/jobs/{back}/first-guess", {"cause": "rear_mount_loose"}).json == first.json
    second = owner.put(f"/jobs/{back}/first-guess", {"cause": "chain_worn"})
    assert second.status_code == 409 and second.json["current"] == first.json
    assert owner.get(f"/jobs/{back}/review").json["first_guess"]["cause"] == "rear_mount_loose"
    assert owner.put(f"/jobs/{back}/first-guess", {"cause": "no_such"}).status_code == 409


def test_another_shop_cannot_close_it(owner, back, app, store, clock):
    stranger = other_owner(app, store, clock)
    assert stranger.post(f"/jobs/{back}/close", closing()).status_code == 404
    assert stranger.put(f"/jobs/{back}/first-guess", {"cause": "chain_worn"}).status_code == 404
