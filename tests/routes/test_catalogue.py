"""The catalogue with its ETag, and the shop's own bands in it."""

from __future__ import annotations

import pytest

from service import catalogue


def test_it_is_sent_only_when_it_changed(owner):
    first = owner.get("/catalogue")
    assert first.status_code == 200
    tag = first.headers["ETag"]
    assert tag == f'"{first.json["version"]}"'
    again = owner.get("/catalogue", headers={"If-None-Match": tag})
    assert (again.status_code, again.data, again.headers["ETag"]) == (304, b"", tag)
    band = {"quantity": "pad_thickness", "lower": 1.5, "note": "house rule"}
    assert owner.put("/workshop/bands", {"bands": [band]}).status_code == 200
    changed = owner.get("/catalogue", headers={"If-None-Match": tag})
    assert changed.status_code == 200
    assert changed.headers["ETag"] != tag


def test_it_holds_every_noun(owner):
    served = owner.get("/catalogue").json
    for noun, rows in catalogue.load().items.items():
        assert {row["id"] for row in served[noun]} == set(rows)


def test_the_shops_bands_stand_first_the_familys_before_all(owner):
    wanted = [
        {"quantity": "pad_thickness", "lower": 1.5},
        {"quantity": "pad_thickness", "lower": 2.0, "family": "cable-10x1-11-32-40"},
        {"quantity": "rotor_runout"},
    ]
    assert owner.put("/workshop/bands", {"bands": wanted}).status_code == 200
    served = {row["id"]: row["bands"] for row in owner.get("/catalogue").json["quantities"]}
    assert served["pad_thickness"][:2] == [
        {"when": {"family": "cable-10x1-11-32-40"}, "lower": 2.0, "tag": "set by the shop"},
        {"when": {}, "lower": 1.5, "tag": "set by the shop"},
    ]
    assert served["rotor_runout"][0] == {"when": {}, "tag": "set by the shop"}


def test_bands_are_appended_and_the_same_again_is_not(owner, clock):
    band = {"quantity": "pad_thickness", "lower": 1.5}
    for _ in range(2):
        owner.put("/workshop/bands", {"bands": [band]})
        clock.forward(hours=1)
    owner.put("/workshop/bands", {"bands": [{**band, "lower": 1.2}]})
    found = owner.get("/workshop/bands").json["bands"]
    assert [one["lower"] for one in found] == [1.5, 1.2]
    assert found[0]["in_force_from"] < found[1]["in_force_from"]
    assert found[0]["by"] == owner.person_id


@pytest.mark.parametrize(
    ("band", "pointer"),
    [
        ({"quantity": "mood", "lower": 1}, "/bands/0/quantity"),
        ({"quantity": "pad_thickness", "lower": 2, "upper": 1}, "/bands/0/upper"),
        ({"quantity": "pad_thickness", "lower": 2, "target": 1}, "/bands/0/upper"),
    ],
)
def test_a_band_that_cannot_be(owner, band, pointer):
    answer = owner.put("/workshop/bands", {"bands": [band]})
    assert answer.status_code == 409
    assert answer.json["errors"][0]["pointer"] == pointer
    assert owner.get("/workshop/bands").json["bands"] == []


def test_bands_are_the_owners(mechanic):
    assert mechanic.put("/workshop/bands", {"bands": [{"quantity": "pad_thickness", "lower": 1}]}).status_code == 403
    assert mechanic.get("/workshop/bands").status_code == 200


def test_gauges_that_cannot_be(owner):
    from service.ids import new_id

    gauge = {"id": new_id(), "name": "Wrench", "unit": "N·m", "lowest": 5, "highest": 25}
    assert owner.put("/gauges", {"gauges": [gauge]}).json["gauges"][0]["overdue"] is False
    for change, pointer in (({"unit": "ell"}, "/gauges/0/unit"), ({"highest": 1}, "/gauges/0/highest")):
        answer = owner.put("/gauges", {"gauges": [{**gauge, **change}]})
        assert answer.status_code == 409
        assert answer.json["errors"][0]["pointer"] == pointer
