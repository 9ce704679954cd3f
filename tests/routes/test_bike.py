"""Bikes: written on top of what was last seen, found by any word."""

from __future__ import annotations

import json

import pytest

from service.ids import new_id
from tests.conftest import BIKE


def test_a_new_bike_has_a_seq_and_a_family(shop):
    bike = shop.phone.get(f"/bikes/{shop.bike}").json
    assert bike["seq"] == 1
    assert bike["family"] == "electronic-12x2-10-36-46-33"
    assert bike["label"] == BIKE["label"]


def test_the_same_body_again_takes_no_seq(shop):
    for base_seq in (None, 1, 99):
        again = shop.phone.put(f"/bikes/{shop.bike}", {**BIKE, "base_seq": base_seq})
        assert (again.status_code, again.json["seq"]) == (200, 1)


def test_a_stale_base_seq_is_answered_with_what_the_book_holds(shop):
    phone = shop.phone
    changed = phone.put(f"/bikes/{shop.bike}", {**BIKE, "base_seq": 1, "label": "Grey one"})
    assert changed.json["seq"] == 3  # the job took 2
    stale = phone.put(f"/bikes/{shop.bike}", {**BIKE, "base_seq": 1, "label": "Another"})
    assert stale.status_code == 409
    assert stale.json["current"] == phone.get(f"/bikes/{shop.bike}").json
    assert stale.json["current"]["label"] == "Grey one"


def test_a_base_seq_for_a_bike_that_is_not_there(owner):
    answer = owner.put(f"/bikes/{new_id()}", {**BIKE, "base_seq": 4})
    assert answer.status_code == 409
    assert answer.json["current"] is None


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"drivetrain": {**BIKE["drivetrain"], "rings": []}}, "/drivetrain/rings"),
        ({"drivetrain": {**BIKE["drivetrain"], "cogs": [11, 11]}}, "/drivetrain/cogs"),
        ({"drivetrain": {**BIKE["drivetrain"], "cogs": ["11"]}}, "/drivetrain/cogs/0"),
        ({"drivetrain": {**BIKE["drivetrain"], "shifting": "steam"}}, "/drivetrain/shifting"),
        ({"drivetrain": {**BIKE["drivetrain"], "colour": "grey"}}, "/drivetrain/colour"),
        ({"label": ""}, "/label"),
        ({"label": "a\0b"}, "/label"),
        ({"label": "\ud800"}, "/label"),
        ({"base_seq": 2**63}, "/base_seq"),
        ({"a/b~c": 1}, "/a~1b~0c"),
        ({"\ud800": 1}, "/\\ud800"),
    ],
)
def test_a_fault_names_its_field(owner, change, pointer):
    body = json.dumps({**BIKE, **change})
    answer = owner.call("PUT", f"/bikes/{new_id()}", data=body, content_type="application/json")
    assert answer.status_code == 422
    assert answer.content_type == "application/problem+json"
    assert [e["pointer"] for e in answer.json["errors"]] == [pointer]


def test_two_point_nought_is_two(owner):
    train = {**BIKE["drivetrain"], "rings": [46.0, 33]}
    answer = owner.put(f"/bikes/{new_id()}", {**BIKE, "drivetrain": train})
    assert answer.status_code == 200
    assert answer.json["family"] == "electronic-12x2-10-36-46-33"


def test_search_and_pages(owner):
    labels = ["Red road 56", "Red all-road 54", "Blue 100% city"]
    for label in labels:
        assert owner.put(f"/bikes/{new_id()}", {**BIKE, "label": label}).status_code == 200

    def found(query: str) -> list[str]:
        return [bike["label"] for bike in owner.get(f"/bikes?{query}").json["bikes"]]

    assert found("") == labels[::-1]
    assert found("q=RED+54") == ["Red all-road 54"]
    assert found("q=100%25") == ["Blue 100% city"]
    assert found("q=_") == []
    page = owner.get("/bikes?limit=2").json
    assert [bike["label"] for bike in page["bikes"]] == labels[:0:-1]
    rest = owner.get(f"/bikes?limit=2&after={page['next']}").json
    assert ([bike["label"] for bike in rest["bikes"]], rest["next"]) == (labels[:1], None)


def test_unknown_and_repeated_query_keys_are_refused(owner):
    for query in ("page=2", "limit=0", "limit=2&limit=3", "after=x"):
        assert owner.get(f"/bikes?{query}").status_code == 422, query


def test_a_bike_of_another_shop_does_not_show(app, owner, shop, store):
    from tests.other_shop import other_owner

    stranger = other_owner(app, store, shop.phone.clock)
    assert stranger.get(f"/bikes/{shop.bike}").status_code == 404
    assert stranger.get("/bikes").json["bikes"] == []
    mine = stranger.put(f"/bikes/{shop.bike}", {**BIKE, "label": "Same id, other shop"})
    assert (mine.status_code, mine.json["seq"]) == (200, 1)
    assert shop.phone.get(f"/bikes/{shop.bike}").json["label"] == BIKE["label"]


def test_a_bikes_code_holds_its_address_in_the_app(shop):
    answer = shop.phone.get(f"/bikes/{shop.bike}/qr")
    assert answer.status_code == 200
    assert answer.json["url"].endswith(f"/#/bikes/{shop.bike}")
    assert answer.json["qr_svg"].startswith("<svg ")
    assert shop.phone.get(f"/bikes/{new_id()}/qr").status_code == 404
