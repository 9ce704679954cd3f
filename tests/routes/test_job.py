"""Jobs: one visit of one bike."""

from __future__ import annotations

import pytest

from service.ids import new_id
from tests.conftest import BIKE, OPENED


def test_a_job_is_open_and_found_under_its_bike(shop):
    job = shop.phone.get(f"/jobs/{shop.job}").json
    assert (job["state"], job["kind"], job["seq"]) == ("open", "build", 2)
    assert shop.phone.get(f"/bikes/{shop.bike}/jobs").json["jobs"] == [job]


def test_jobs_come_in_the_order_they_were_opened(shop):
    earlier = new_id()
    body = {"base_seq": None, "bike_id": shop.bike, "kind": "service", "opened_at": "2026-03-05T08:30:00+01:00"}
    assert shop.phone.put(f"/jobs/{earlier}", body).status_code == 200
    jobs = shop.phone.get(f"/bikes/{shop.bike}/jobs").json["jobs"]
    assert [job["id"] for job in jobs] == [earlier, shop.job]


def test_base_seq(shop):
    body = {"bike_id": shop.bike, "kind": "build", "opened_at": OPENED, "missing_parts": ["front_derailleur_mount"]}
    changed = shop.phone.put(f"/jobs/{shop.job}", {**body, "base_seq": 2})
    assert (changed.status_code, changed.json["seq"]) == (200, 3)
    again = shop.phone.put(f"/jobs/{shop.job}", {**body, "base_seq": 2})
    assert (again.status_code, again.json["seq"]) == (200, 3)
    stale = shop.phone.put(f"/jobs/{shop.job}", {**body, "base_seq": 2, "missing_parts": []})
    assert stale.status_code == 409
    assert stale.json["current"]["missing_parts"] == ["front_derailleur_mount"]


def test_a_comeback_with_its_complaint(shop):
    body = {
        "base_seq": None,
        "bike_id": shop.bike,
        "kind": "comeback",
        "opened_at": OPENED,
        "comeback_of": shop.job,
        "complaint": {"symptoms": ["hesitates_to_larger"], "words": "slow on the climb"},
        "since_last": ["wash"],
    }
    answer = shop.phone.put(f"/jobs/{new_id()}", body)
    assert answer.status_code == 200, answer.json
    assert answer.json["complaint"]["words"] == "slow on the climb"


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"bike_id": "00000000-0000-7000-8000-000000000000"}, "/bike_id"),
        ({"comeback_of": "00000000-0000-7000-8000-000000000000"}, "/comeback_of"),
        ({"missing_parts": ["no_such_part"]}, "/missing_parts/0"),
        ({"complaint": {"symptoms": ["squeals", "no_such_symptom"], "words": ""}}, "/complaint/symptoms/1"),
        ({"since_last": ["no_such_event"]}, "/since_last/0"),
    ],
)
def test_what_a_job_refers_to_must_be_there(shop, change, pointer):
    body = {"base_seq": None, "bike_id": shop.bike, "kind": "service", "opened_at": OPENED, **change}
    answer = shop.phone.put(f"/jobs/{new_id()}", body)
    assert answer.status_code == 409
    assert answer.json["errors"][0]["pointer"] == pointer


def test_a_job_stays_with_its_bike(shop):
    other = new_id()
    shop.phone.put(f"/bikes/{other}", BIKE)
    body = {"base_seq": 2, "bike_id": other, "kind": "build", "opened_at": OPENED}
    assert shop.phone.put(f"/jobs/{shop.job}", body).status_code == 409


@pytest.mark.parametrize(
    "opened_at",
    [
        "2026-03-05T09:00:00",
        "2026-03-05",
        "2026-W10-4T09:00:00Z",
        "20260305T090000Z",
        "2026-02-30T09:00:00Z",
        "2026-03-05 09:00:00Z",
        "2026-03-05T24:00:00Z",
        "2026-03-05T09:00:00Z\n",
    ],
)
def test_a_time_without_offset_or_of_another_form_is_refused(shop, opened_at):
    body = {"base_seq": None, "bike_id": shop.bike, "kind": "service", "opened_at": opened_at}
    answer = shop.phone.put(f"/jobs/{new_id()}", body)
    assert answer.status_code == 422
    assert answer.json["errors"][0]["pointer"] == "/opened_at"
