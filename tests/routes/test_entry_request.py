"""Batches that are at fault as a whole: each a clear problem, and nothing stored."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("body", "content_type", "status"),
    [
        (b"{", "application/json", 400),
        (b'{"device_id": NaN}', "application/json", 400),
        (b'{"device_id": Infinity}', "application/json", 400),
        (b"\xff\xfe", "application/json", 400),
        (b"[" * 100_000, "application/json", 400),
        (b"", "application/json", 400),
        (b"{}", "text/plain", 415),
        (b"a=1", "application/x-www-form-urlencoded", 415),
        (b"{}", None, 415),
        (b"[]", "application/json", 422),
        (b"5", "application/json", 422),
        (b"{}", "application/json", 422),
        (b" " * (256 * 1024 + 1), "application/json", 413),
    ],
)
def test_a_request_at_fault_as_a_whole(shop, body, content_type, status):
    answer = shop.phone.call("POST", "/entries", data=body, content_type=content_type)
    assert answer.status_code == status
    assert answer.content_type == "application/problem+json"
    assert answer.json["status"] == status
    assert answer.json["detail"]


@pytest.mark.parametrize(
    ("change", "status", "pointer"),
    [
        ({"sent_at": "2026-03-05T09:00:00"}, 422, "/sent_at"),
        ({"entries": []}, 422, "/entries"),
        ({"entries": [5]}, 422, "/entries/0"),
        ({"mood": 1}, 422, "/mood"),
        ({"device_id": "0190b3a0-0000-7000-8000-000000000000"}, 403, "/device_id"),
        ({"contract": 0}, 426, "/contract"),
        ({"contract": "1"}, 422, "/contract"),
    ],
)
def test_a_batch_at_fault_stores_nothing(shop, change, status, pointer):
    entry = shop.phone.reading(shop.job, "guide_pulley_gap", 5.2)
    answer = shop.phone.post("/entries", {**shop.phone.batch([entry]), **change})
    assert answer.status_code == status
    assert [e["pointer"] for e in answer.json["errors"]] == [pointer]
    assert shop.phone.get(f"/jobs/{shop.job}/entries").json["entries"] == []


def test_more_than_200_entries(shop):
    entries = [shop.phone.entry(shop.job, "remark", {"text": "x"}) for _ in range(201)]
    assert shop.phone.send(*entries).status_code == 422


def test_no_token_and_a_revoked_one(app, shop, mechanic):
    entry = mechanic.reading(shop.job, "guide_pulley_gap", 5.2)
    assert app.test_client().post("/api/v1/entries", json=mechanic.batch([entry])).status_code == 401
    shop.phone.delete(f"/devices/{mechanic.device_id}")
    assert mechanic.send(entry).status_code == 401
    assert shop.phone.get(f"/jobs/{shop.job}/entries").json["entries"] == []


def test_a_fault_in_every_field_is_not_answered_by_a_flood(shop):
    entry = shop.phone.reading(shop.job, "guide_pulley_gap", 5.2) | {f"field_{n}": n for n in range(5000)}
    answer = shop.phone.send(entry)
    assert answer.json["results"][0]["status"] == "rejected"
    assert len(answer.json["results"][0]["problem"]["errors"]) == 20
    assert len(answer.data) < 10_000
