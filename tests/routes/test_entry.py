"""Entries in batches: each judged by itself, all good ones committed together, none twice."""

from __future__ import annotations

import json

import pytest

from service.ids import new_id
from tests.conftest import BIKE


def statuses(results: list[dict]) -> list[str]:
    return [result["status"] for result in results]


def test_ninety_nine_of_a_hundred(shop):
    entries = [shop.phone.reading(shop.job, "guide_pulley_gap", 5.2) for _ in range(100)]
    entries[41]["data"]["unit"] = "kPa"
    results = shop.phone.sent(*entries)
    assert [r["id"] for r in results] == [e["id"] for e in entries]
    assert statuses(results) == ["stored"] * 41 + ["rejected"] + ["stored"] * 58
    assert results[41]["problem"]["errors"][0]["pointer"] == "/data/unit"
    assert "seq" not in results[41]
    stored = shop.phone.get(f"/jobs/{shop.job}/entries").json
    assert len(stored["entries"]) == 99
    assert stored["gaps"] == [{"device_id": shop.phone.device_id, "first": 42, "last": 42}]


def test_the_same_batch_twice_stores_nothing_new(shop):
    entries = [shop.phone.reading(shop.job, "guide_pulley_gap", 5.2) for _ in range(3)]
    first, second = shop.phone.sent(*entries), shop.phone.sent(*entries)
    assert statuses(first) == ["stored"] * 3
    assert statuses(second) == ["duplicate"] * 3
    assert [r["seq"] for r in first] == [r["seq"] for r in second] == [3, 4, 5]
    assert len(shop.phone.get(f"/jobs/{shop.job}/entries").json["entries"]) == 3


def test_key_order_and_form_of_a_number_do_not_matter(shop):
    """RFC 8785 gives 5 and 5.0, in whatever order of keys, one form."""
    entry = shop.phone.reading(shop.job, "guide_pulley_gap", 5)
    shop.phone.sent(entry)
    text = json.dumps(shop.phone.batch([dict(reversed(entry.items()))])).replace('"value": 5', '"value": 5.0')
    again = shop.phone.call("POST", "/entries", data=text, content_type="application/json")
    assert statuses(again.json["results"]) == ["duplicate"]


def test_the_same_id_with_another_body_is_a_conflict_and_both_are_kept(shop):
    entry = shop.phone.reading(shop.job, "guide_pulley_gap", 5.2)
    other = {**entry, "data": {**entry["data"], "value": 5.4}}
    shop.phone.sent(entry)
    for _ in range(2):
        assert statuses(shop.phone.sent(other)) == ["conflict"]
    conflicts = shop.phone.get("/conflicts").json["conflicts"]
    assert [(c["kind"], c["entry_id"]) for c in conflicts] == [("same_id", entry["id"])]
    assert conflicts[0]["entry"]["data"]["value"] == 5.2
    assert [o["data"]["value"] for o in conflicts[0]["others"]] == [5.4]
    stored = shop.phone.get(f"/jobs/{shop.job}/entries").json["entries"]
    assert [e["data"]["value"] for e in stored] == [5.2]


def test_one_id_twice_in_a_batch(shop):
    entry = shop.phone.reading(shop.job, "guide_pulley_gap", 5.2)
    other = {**entry, "note": "typed twice"}
    results = shop.phone.sent(entry, entry, other)
    assert statuses(results) == ["stored", "duplicate", "conflict"]
    assert {r["seq"] for r in results} == {3}


def test_a_duplicate_stays_one_when_the_bike_has_changed(shop):
    entry = shop.phone.reading(shop.job, "guide_pulley_gap", 5.2, gear={"ring": 33, "cog": 36})
    shop.phone.sent(entry)
    train = {**BIKE["drivetrain"], "cogs": [11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34]}
    assert shop.phone.put(f"/bikes/{shop.bike}", {**BIKE, "base_seq": 1, "drivetrain": train}).status_code == 200
    assert statuses(shop.phone.sent(entry)) == ["duplicate"]


def test_corrections_and_voids(shop):
    wrong = shop.phone.reading(shop.job, "guide_pulley_gap", 8.2)
    right = shop.phone.reading(shop.job, "guide_pulley_gap", 5.2, replaces=wrong["id"])
    slip = shop.phone.reading(shop.job, "cage_height_gap", 1.4)
    undo = shop.phone.entry(shop.job, "void", {}, replaces=slip["id"])
    assert statuses(shop.phone.sent(wrong, right, slip, undo)) == ["stored"] * 4
    stored = {e["id"]: e for e in shop.phone.get(f"/jobs/{shop.job}/entries").json["entries"]}
    assert stored[wrong["id"]]["replaced_by"] == [right["id"]]
    assert stored[slip["id"]]["replaced_by"] == [undo["id"]]
    assert "replaced_by" not in stored[right["id"]]


def test_two_corrections_of_one_entry_are_a_conflict(shop, mechanic):
    wrong = shop.phone.reading(shop.job, "guide_pulley_gap", 8.2)
    shop.phone.sent(wrong)
    one = shop.phone.reading(shop.job, "guide_pulley_gap", 5.2, replaces=wrong["id"])
    two = mechanic.reading(shop.job, "guide_pulley_gap", 5.6, replaces=wrong["id"])
    assert statuses(shop.phone.sent(one)) == statuses(mechanic.sent(two)) == ["stored"]
    conflicts = shop.phone.get("/conflicts").json["conflicts"]
    assert [(c["kind"], c["entry_id"]) for c in conflicts] == [("two_corrections", wrong["id"])]
    assert {o["id"] for o in conflicts[0]["others"]} == {one["id"], two["id"]}


def test_what_the_service_does_not_know_yet_is_retried(shop):
    phone, job = shop.phone, shop.job
    cases = {
        "/job_id": phone.reading(new_id(), "guide_pulley_gap", 5),
        "/kind": phone.entry(job, "levitation", {"height": 3}),
        "/data/quantity": phone.reading(job, "quantity_of_tomorrow", 5),
        "/data/adjuster": phone.entry(job, "adjustment", {"adjuster": "x_screw", "amount": 1, "unit": "turn"}),
        "/data/because": phone.entry(
            job, "adjustment", {"adjuster": "rear_trim", "amount": 1, "unit": "step", "because": "sighs"}
        ),
        "/data/outcome": phone.entry(
            job, "shift_check", {"from": {"ring": 46, "cog": 10}, "to": {"ring": 46, "cog": 11}, "outcome": "sighs"}
        ),
        "/data/sound": phone.entry(job, "noise", {"sound": "sigh", "when": []}),
        "/data/when/1": phone.entry(job, "noise", {"sound": "tick", "when": ["seated", "asleep"]}),
        "/data/fastener": phone.entry(job, "torque", {"fastener": "nail", "applied": 5, "unit": "N·m"}),
        "/data/check": phone.entry(job, "check", {"check": "stars", "outcome": "passed"}),
        "/replaces": phone.entry(job, "void", {}, replaces=new_id()),
        "/by": phone.entry(job, "remark", {"text": "by whom?"}, by=new_id()),
        "/gauge_id": phone.reading(job, "guide_pulley_gap", 5, gauge_id=new_id()),
    }
    results = phone.sent(*cases.values())
    assert statuses(results) == ["retry"] * len(cases)
    assert [r["problem"]["errors"][0]["pointer"] for r in results] == list(cases)
    assert phone.get(f"/jobs/{job}/entries").json["entries"] == []


HANGER = {"quantity": "hanger_deviation", "tips": [{"clock": 12, "gap_mm": 9}, {"clock": 6, "gap_mm": 9}]}
REJECTED = [
    ({"taken_at": "2026-03-05T09:00:00"}, "/taken_at"),
    ({"data": {"quantity": "guide_pulley_gap", "value": 5, "unit": "ell"}}, "/data/unit"),
    ({"data": {"quantity": "guide_pulley_gap", "value": 5, "unit": "N·m"}}, "/data/unit"),
    ({"data": {"quantity": "guide_pulley_gap", "value": 5, "unit": "mm", "mood": 1}}, "/data/mood"),
    ({"mood": "good"}, "/mood"),
    ({"gear": {"ring": 46, "cog": 18}}, "/gear/cog"),
    ({"gear": {"ring": 50, "cog": 10}}, "/gear/ring"),
    ({"data": {"quantity": "cable_tension_turns", "value": 1, "unit": "turn"}}, "/data/quantity"),
    ({"data": {"quantity": "sag_front", "value": 20, "unit": "%"}}, "/data/quantity"),
    ({"data": {"quantity": "guide_pulley_gap", "value": "5", "unit": "mm"}}, "/data/value"),
    ({"data": {"quantity": "guide_pulley_gap", "value": True, "unit": "mm"}}, "/data/value"),
    ({"data": {"quantity": "guide_pulley_gap", "value": None, "unit": "mm"}}, "/data/value"),
    ({"data": {"quantity": "guide_pulley_gap", "value": 900, "unit": "mm"}}, "/data/value"),
    ({"data": {"quantity": "guide_pulley_gap", "value": 90, "unit": "in"}}, "/data/value"),
    ({"data": {"quantity": "guide_pulley_gap", "value": -1, "unit": "mm"}}, "/data/value"),
    ({"data": {"quantity": "chain_links", "value": 107.5, "unit": "link"}}, "/data/value"),
    ({"data": {"quantity": "guide_pulley_gap", "low": 6, "high": 5, "unit": "mm"}}, "/data/high"),
    ({"data": {"quantity": "guide_pulley_gap", "low": 5, "high": 500, "unit": "mm"}}, "/data/high"),
    ({"data": {"quantity": "guide_pulley_gap", "low": 5, "unit": "mm"}}, "/data/high"),
    ({"data": {"quantity": "guide_pulley_gap", "tips": HANGER["tips"]}}, "/data/tips"),
    ({"data": {"quantity": "hanger_deviation", "value": 1, "unit": "mm"}}, "/data/tips"),
    ({"data": {**HANGER, "tips": [{"clock": 12, "gap_mm": 9}, {"clock": 12, "gap_mm": 9}]}}, "/data/tips"),
    ({"data": {**HANGER, "tips": [{"clock": 13, "gap_mm": 9}, {"clock": 6, "gap_mm": 9}]}}, "/data/tips/0/clock"),
    ({"data": 5}, "/data"),
    ({"stage": "sofa"}, "/stage"),
    ({"device_seq": -1}, "/device_seq"),
    ({"device_seq": 2**63}, "/device_seq"),
    ({"odometer_km": -3}, "/odometer_km"),
    ({"note": "a\0b"}, "/note"),
    ({"note": "\ud800"}, "/note"),
    ({"photos": ["abc"]}, "/photos/0"),
    ({"kind": 5}, "/kind"),
    ({"id": "{0190b3a0-0000-7000-8000-000000000000}"}, "/id"),
    ({"id": "0190B3A0-0000-7000-8000-000000000000"}, "/id"),
    ({"kind": "adjustment", "data": {"adjuster": "barrel", "amount": 1, "unit": "turn"}}, "/data/adjuster"),
    ({"kind": "adjustment", "data": {"adjuster": "rear_trim", "amount": 1, "unit": "mm"}}, "/data/unit"),
    ({"kind": "adjustment", "data": {"adjuster": "rear_trim", "amount": 101, "unit": "step"}}, "/data/amount"),
    ({"kind": "adjustment", "data": {"adjuster": "none", "amount": 1, "unit": "step"}}, "/data/amount"),
    ({"kind": "torque", "data": {"fastener": "cable_pinch", "applied": 5, "unit": "N·m"}}, "/data/fastener"),
    ({"kind": "torque", "data": {"fastener": "pedal", "applied": 900, "unit": "N·m"}}, "/data/applied"),
    ({"kind": "torque", "data": {"fastener": "pedal", "applied": 40, "unit": "mm"}}, "/data/unit"),
    (
        {"kind": "torque", "data": {"fastener": "pedal", "applied": 40, "unit": "N·m", "adapter_mm": 30}},
        "/data/adapter_mm",
    ),
    ({"kind": "check", "data": {"check": "brake_hold", "outcome": "perhaps"}}, "/data/outcome"),
    ({"kind": "void", "data": {}}, "/replaces"),
    (
        {
            "kind": "shift_check",
            "data": {"from": {"ring": 46, "cog": 10}, "to": {"ring": 46, "cog": 99}, "outcome": "clean"},
        },
        "/data/to/cog",
    ),
]


@pytest.mark.parametrize(("change", "pointer"), REJECTED)
def test_an_entry_at_fault_is_rejected_by_itself(shop, change, pointer):
    bad = {**shop.phone.reading(shop.job, "guide_pulley_gap", 5.2), **change}
    good = shop.phone.reading(shop.job, "guide_pulley_gap", 5.2)
    text = json.dumps(shop.phone.batch([bad, good]))
    answer = shop.phone.call("POST", "/entries", data=text, content_type="application/json")
    assert answer.status_code == 200
    results = answer.json["results"]
    assert statuses(results) == ["rejected", "stored"], results
    assert [e["pointer"] for e in results[0]["problem"]["errors"]] == [pointer]
    assert results[0]["problem"]["detail"]


def test_infinity_by_a_long_exponent(shop):
    entry = shop.phone.reading(shop.job, "guide_pulley_gap", 5.25)
    text = json.dumps(shop.phone.batch([entry])).replace("5.25", "1e999")
    answer = shop.phone.call("POST", "/entries", data=text, content_type="application/json")
    assert statuses(answer.json["results"]) == ["rejected"]
    assert answer.json["results"][0]["problem"]["errors"][0]["pointer"] == "/data/value"


def test_a_replaced_entry_is_of_the_same_job(shop):
    other = new_id()
    job = {"base_seq": None, "bike_id": shop.bike, "kind": "service", "opened_at": "2026-03-06T09:00:00+01:00"}
    assert shop.phone.put(f"/jobs/{other}", job).status_code == 200
    entry = shop.phone.reading(shop.job, "guide_pulley_gap", 5)
    void = shop.phone.entry(other, "void", {}, replaces=entry["id"])
    itself = shop.phone.reading(shop.job, "guide_pulley_gap", 5)
    itself["replaces"] = itself["id"]
    results = shop.phone.sent(entry, void, itself)
    assert statuses(results) == ["stored", "rejected", "rejected"]


def test_an_entry_over_16_kib_is_rejected_by_itself(shop):
    long = shop.phone.entry(shop.job, "noise", {"sound": "tick", "when": [], "taps_ms": [0.123456789012345] * 500})
    long["data"]["crank_taps_ms"] = [1234.56789012345] * 500
    short = shop.phone.entry(shop.job, "remark", {"text": "x"})
    results = shop.phone.sent(long, short)
    assert statuses(results) == ["rejected", "stored"]
    assert results[0]["problem"]["type"].endswith("too-large")
