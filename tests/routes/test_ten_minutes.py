"""Ten minutes left on a bike."""

from __future__ import annotations

import pytest

from schemas.ten_minutes import TenMinutesSchema
from service.ids import new_id
from tests.came_back import comeback
from tests.other_shop import other_owner


def advice_for(phone, bike_id: str) -> dict:
    answer = phone.get(f"/bikes/{bike_id}/ten-minutes")
    assert answer.status_code == 200, answer.json
    assert TenMinutesSchema().validate(answer.json) == {}
    return answer.json


def closed(shop, cause: str) -> None:
    job = comeback(shop.phone, shop.bike)
    body = {"id": new_id(), "outcome": "found", "cause": cause}
    assert shop.phone.post(f"/jobs/{job}/close", body).status_code == 200


def test_the_hanger_first_by_the_start_values(shop):
    """Of the table's causes the hanger's are the most frequent that a reading tells; no job has come back yet: 5 %."""
    found = advice_for(shop.phone, shop.bike)
    assert found["job_id"] == shop.job and found["comeback_rate"] == pytest.approx(.05)
    first = found["advice"][0]
    assert (first["what"], first["kind"]) == ("hanger_deviation", "reading")
    assert first["causes"][0]["id"] == "hanger_bent_inward"
    assert first["prevented"] == pytest.approx(sum(one["prevented"] for one in first["causes"]))
    assert all(one["prevented"] <= found["comeback_rate"] for one in found["advice"])


def test_what_is_logged_is_not_open(shop):
    phone = shop.phone
    tips = [{"clock": c, "gap_mm": 10} for c in (12, 3, 6, 9)]
    phone.sent(phone.entry(shop.job, "reading", {"quantity": "hanger_deviation", "tips": tips}))
    assert "hanger_deviation" not in {one["what"] for one in advice_for(phone, shop.bike)["advice"]}


def test_the_shops_own_comebacks_decide(shop):
    for _ in range(12):
        closed(shop, "disc_or_caliper")
    found = advice_for(shop.phone, shop.bike)
    assert found["advice"][0]["what"] == "rotor_runout"
    assert found["comeback_rate"] > .2


def test_without_an_open_job_the_next_service_is_meant(shop):
    assert shop.phone.post(f"/jobs/{shop.job}/close", {"id": new_id(), "outcome": "no_fault"}).status_code == 200
    found = advice_for(shop.phone, shop.bike)
    assert found["job_id"] is None and found["advice"]


def test_an_empty_table_has_no_advice_and_says_so(shop):
    shop.phone.put("/workshop/causes", {"causes": []})
    found = advice_for(shop.phone, shop.bike)
    assert found["advice"] == [] and "Nothing is open" in found["why_not"]


def test_another_shop_does_not_see_it(shop, app, store, clock):
    assert other_owner(app, store, clock).get(f"/bikes/{shop.bike}/ten-minutes").status_code == 404
