"""A bike that was set up, handed over and came back; used by the tests of reviews."""

from __future__ import annotations

from datetime import datetime, timedelta
from types import SimpleNamespace

from service.ids import new_id
from tests.conftest import BIKE, OPENED
from tests.handing_over import hand_over, set_up

STEP_MM = 0.15


def tips(twelve: float, three: float, six: float, nine: float) -> dict:
    gaps = zip((12, 3, 6, 9), (twelve, three, six, nine), strict=True)
    return {"quantity": "hanger_deviation", "tips": [{"clock": clock, "gap_mm": gap} for clock, gap in gaps]}


def later(days: float) -> str:
    return (datetime.fromisoformat(OPENED) + timedelta(days=days)).isoformat()


def bike_with_steps(phone) -> str:
    """An electronic bike whose fine step is known."""
    bike_id, body = new_id(), {**BIKE, "drivetrain": {**BIKE["drivetrain"], "trim_step_mm": STEP_MM}}
    assert phone.put(f"/bikes/{bike_id}", body).status_code == 200
    return bike_id


def comeback(phone, bike_id: str, days: float = 30, **more) -> str:
    """A comeback's job of this bike."""
    job_id = new_id()
    body = {"base_seq": None, "bike_id": bike_id, "kind": "comeback", "opened_at": later(days), **more}
    answer = phone.put(f"/jobs/{job_id}", body)
    assert answer.status_code == 200, answer.json
    return job_id


def log(phone, job_id: str, stage: str, *entries: tuple[str, dict], days: float = 30, **more) -> list[dict]:
    """Entries of one stage, a minute apart by their place in the phone's count."""
    made = [phone.entry(job_id, kind, data, stage, **more) for kind, data in entries]
    for entry in made:
        entry["taken_at"] = later(days + entry["device_seq"] / 1440)
    results = phone.sent(*made)
    assert {r["status"] for r in results} == {"stored"}, results
    return made


def value(quantity: str, amount: float, unit: str) -> tuple[str, dict]:
    return "reading", {"quantity": quantity, "value": amount, "unit": unit}


def turned(amount: float, adjuster: str = "rear_trim", unit: str = "step") -> tuple[str, dict]:
    return "adjustment", {"adjuster": adjuster, "amount": amount, "unit": unit}


def bent_inward(phone) -> SimpleNamespace:
    """Handed over straight, then a fall: the lower end 5 mm in (12 minus 6), four steps outboard needed."""
    bike_id, job_id = bike_with_steps(phone), new_id()
    job = {"base_seq": None, "bike_id": bike_id, "kind": "build", "opened_at": OPENED}
    assert phone.put(f"/jobs/{job_id}", job).status_code == 200
    shop = SimpleNamespace(phone=phone, bike=bike_id, job=job_id)
    set_up(shop)
    record = hand_over(shop)
    assert record.status_code == 200, record.json
    complaint = {"symptoms": ["hesitates_to_smaller", "ticks"], "words": "ticks since I fell"}
    back = comeback(phone, bike_id, comeback_of=job_id, complaint=complaint, since_last=["fall"])
    log(phone, back, "found", ("reading", tips(12.9, 9.9, 7.1, 10.1)), value("rear_trim", -1, "step"),
        value("rotor_runout", 0.09, "mm"), value("chain_elongation", 0.15, "%"),
        ("torque", {"fastener": "rear_derailleur_mount", "applied": 10, "unit": "N·m"}))
    log(phone, back, "bench", turned(-4))
    return SimpleNamespace(phone=phone, bike=bike_id, first=job_id, job=back, record=record.json["id"])
