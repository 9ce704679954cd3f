"""What the service asks for at a handover, and what it counts, against the answers it shares with the phone."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.ids import new_id
from tests.conftest import BIKE
from tests.handing_over import hand_over

VECTORS = Path(__file__).parents[2] / "schemas" / "vectors" / "open_points.json"
CASES = json.loads(VECTORS.read_text(encoding="utf-8"))["cases"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_shared_answers(shop, case):
    write_down(shop, case["inputs"])
    refused = hand_over(shop, accepted=[])
    missing = [] if refused.status_code == 200 else refused.json["missing"]
    assert sorted(one["what"] for one in missing) == case["expected"]["what"]
    if "counts" in case["expected"]:
        record = hand_over(shop) if missing else refused
        assert record.json["counts"] == case["expected"]["counts"]


def write_down(shop, inputs: dict) -> None:
    """The job of a case, as a phone would make it."""
    phone = shop.phone
    ids = {one["id"]: new_id() for one in (*inputs["gauges"], *inputs["entries"])}
    if inputs["gauges"]:
        gauges = [one | {"id": ids[one["id"]]} for one in inputs["gauges"]]
        assert phone.put("/gauges", {"gauges": gauges}).status_code == 200
    bike = BIKE | {"base_seq": 1, "drivetrain": BIKE["drivetrain"] | inputs["drivetrain"]}
    assert phone.put(f"/bikes/{shop.bike}", bike).status_code == 200
    job = phone.get(f"/jobs/{shop.job}").json
    body = {name: job[name] for name in ("bike_id", "kind", "opened_at")}
    body |= {"base_seq": job["seq"], "missing_parts": inputs["missing_parts"]}
    assert phone.put(f"/jobs/{shop.job}", body).status_code == 200
    steps = [step["id"] for step in phone.get(f"/jobs/{shop.job}/plan").json["steps"]]
    done = [id for id in steps if id not in inputs["open_steps"]]
    marked = [phone.entry(shop.job, "check", {"check": f"step_{id}", "outcome": "passed"}) for id in done]
    entries = [
        phone.entry(shop.job, one["kind"], one["data"], one["stage"])
        | {name: one[name] for name in ("gear",) if name in one}
        | {name: ids[one[name]] for name in ("id", "replaces", "gauge_id") if name in one}
        for one in inputs["entries"]
    ]
    results = phone.sent(*marked, *entries)
    assert {result["status"] for result in results} == {"stored"}, results
