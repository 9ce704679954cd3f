"""A small invented shop, written through the public API: a build in work, a second service, a comeback."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import requests

from service.ids import new_id

DOUBLE = {"rings": [46, 33], "cogs": [10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 36], "shifting": "electronic"}
SINGLE = {"rings": [40], "cogs": [11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34], "shifting": "cable"}
LARGEST = {"ring": 33, "cog": 36}
EPOCH = datetime(2026, 1, 12, 9, 0, tzinfo=UTC)


class WorkshopBook:
    """Writes as a second device of the owner; ids of what it wrote are its attributes."""

    def __init__(self, url: str, code: str) -> None:
        self.url, self.device, self.seq, self.moment = f"{url}/api/v1", new_id(), 0, EPOCH
        self.entries: list[dict] = []
        body = {"code": code, "device_id": self.device, "device_name": "Bench computer"}
        answer = self._ask("POST", "/pair", body, None)
        self.token, self.owner = answer["token"], answer["person_id"]

    def _ask(self, method: str, path: str, body: Any, token: str | None) -> Any:
        headers = {"Authorization": f"Bearer {token}"} if token else {}
        answer = requests.request(method, self.url + path, json=body, headers=headers, timeout=20)
        assert answer.ok, f"{method} {path}: {answer.status_code} {answer.text[:500]}"
        return answer.json()

    def call(self, method: str, path: str, body: Any = None) -> Any:
        return self._ask(method, path, body, self.token)

    def person(self, name: str) -> str:
        made = {"id": new_id(), "name": name, "role": "mechanic", "active": True}
        self.call("PUT", "/people", {"people": [made]})
        return made["id"]

    def bike(self, label: str, train: dict, **more: Any) -> str:
        made = new_id()
        drivetrain = {
            **train, "rear_mount": "hanger", "front_derailleur": len(train["rings"]) > 1, "suspension": False,
            "trim_step_mm": 0.2,
        }  # fmt: skip
        body = {"base_seq": None, "label": label, "drivetrain": drivetrain, "brakes": "disc", "tyres": "tubeless"}
        self.call("PUT", f"/bikes/{made}", body | more)
        return made

    def job(self, bike: str, kind: str, **more: Any) -> str:
        made = new_id()
        body = {"base_seq": None, "bike_id": bike, "kind": kind, "opened_at": self.later(days=1), **more}
        self.call("PUT", f"/jobs/{made}", body)
        return made

    def later(self, **step: float) -> str:
        self.moment += timedelta(**step)
        return self.moment.isoformat()

    def log(self, job: str, kind: str, data: dict, stage: str = "bench", **more: Any) -> str:
        self.seq += 1
        made = {
            "id": new_id(), "job_id": job, "device_seq": self.seq, "kind": kind, "stage": stage,
            "taken_at": self.later(minutes=2), "by": self.owner, "data": data, **more,
        }  # fmt: skip
        self.entries.append(made)
        return made["id"]

    def read(self, job: str, quantity: str, value: float, unit: str = "mm", stage: str = "bench", **more: Any) -> str:
        return self.log(job, "reading", {"quantity": quantity, "value": value, "unit": unit}, stage, **more)

    def tips(self, job: str, gaps: list[float], stage: str = "bench", **more: Any) -> str:
        tips = [{"clock": clock, "gap_mm": gap} for clock, gap in zip((12, 3, 6, 9), gaps, strict=True)]
        return self.log(job, "reading", {"quantity": "hanger_deviation", "tips": tips}, stage, **more)

    def turn(self, job: str, adjuster: str, amount: float, unit: str = "step", **data: Any) -> str:
        return self.log(job, "adjustment", {"adjuster": adjuster, "amount": amount, "unit": unit, **data}, "road")

    def send(self) -> None:
        sent, self.entries = self.entries, []
        body = {
            "device_id": self.device, "contract": 1, "sent_at": datetime.now(UTC).isoformat(), "entries": sent,
        }  # fmt: skip
        results = self.call("POST", "/entries", body)["results"]
        assert {r["status"] for r in results} <= {"stored"}, [r for r in results if r["status"] != "stored"]

    def hand_over(self, job: str) -> dict:
        """Hands a job over, whatever is missing accepted."""
        path, accepted = f"/jobs/{job}/handover", []
        for _ in range(2):
            body = {"id": new_id(), "seen_seq": 2**31, "by": self.owner, "accepted": accepted}
            answer = requests.post(
                self.url + path, json=body, headers={"Authorization": f"Bearer {self.token}"}, timeout=20
            )
            if answer.ok:
                return answer.json()
            accepted = [point["what"] for point in answer.json()["missing"]]
        raise AssertionError(answer.text)


def fill(book: WorkshopBook) -> WorkshopBook:
    """The shop as the pictures and the accessibility tests show it."""
    book.mechanic = book.person("M. Tarn")
    book.build_bike = book.bike("Grey all-road 54", DOUBLE, frame_number="F-20417")
    book.tourer = book.bike("Blue tourer 58", SINGLE)
    book.returned = book.bike("Green mixed-surface 56", DOUBLE)
    _earlier_visit(book)
    _build(book)
    _comeback(book)
    return book


def keep_some(book: WorkshopBook) -> None:
    """Two gauges, one of them long due; a customer; a band of the shop's own."""
    book.wrench, book.customer = new_id(), new_id()
    feeler = {
        "id": new_id(), "name": "Feeler set 2", "unit": "mm", "lowest": 0.05, "highest": 1, "resolution": 0.01,
        "expanded_uncertainty": 0.02, "calibrated_at": "2026-06-02", "due": "2096-06-02",
    }  # fmt: skip
    wrench = {
        "id": book.wrench, "name": "Torque wrench 2 to 15", "unit": "N·m", "lowest": 2, "highest": 15,
        "tolerance_percent": 4, "calibrated_at": "2024-11-04", "due": "2025-11-04",
    }  # fmt: skip
    book.call("PUT", "/gauges", {"gauges": [feeler, wrench]})
    customer = {"id": book.customer, "name": "R. Fennimark", "contact": "r.fennimark@mail.example"}
    book.call("PUT", "/customers", {"customers": [customer]})
    band = {"quantity": "rotor_runout", "upper": 0.15, "note": "the maker's manual"}
    book.call("PUT", "/workshop/bands", {"bands": [band]})


def _earlier_visit(book: WorkshopBook) -> None:
    job = book.first_visit = book.job(book.returned, "build")
    book.tips(job, [9.2, 8.9, 8.8, 9.0], odometer_km=0)
    book.read(job, "guide_pulley_gap", 5.2, gear=LARGEST, odometer_km=0)
    book.read(job, "rear_trim", 2, "step", odometer_km=0)
    book.read(job, "chain_elongation", 0.05, "%", odometer_km=0)
    book.turn(job, "rear_trim", 1, because="hesitates_to_larger")
    book.send()
    book.record = book.hand_over(job)
    for visit, km in enumerate((640, 1300, 2050, 2700, 3400, 4100), start=1):
        book.later(days=20)
        later = book.job(book.returned, "service", since_last=["nothing_known"])
        book.read(later, "guide_pulley_gap", round(5.2 - 0.08 * visit, 2), stage="found", gear=LARGEST, odometer_km=km)
        book.read(later, "chain_elongation", round(0.05 + 0.045 * visit, 3), "%", stage="found", odometer_km=km)
        book.send()
        book.hand_over(later)


def _build(book: WorkshopBook) -> None:
    job = book.build = book.job(book.build_bike, "build", missing_parts=["bar_tape"])
    book.tips(job, [9.2, 8.9, 8.8, 9.0])
    book.read(job, "cage_height_gap", 1.4)
    book.read(job, "cage_alignment", 0.9)
    book.read(job, "cage_inner_clearance", 0.45, gear=LARGEST)
    book.log(job, "reading", {"quantity": "guide_pulley_gap", "low": 5, "high": 5.5, "unit": "mm"}, gear=LARGEST)
    book.read(job, "rear_trim", 3, "step")
    book.read(job, "lever_reach_left", 182)
    book.read(job, "lever_reach_right", 183.5)
    book.log(job, "torque", {"fastener": "stem_faceplate", "applied": 5, "unit": "N·m"})
    book.log(job, "check", {"check": "step_wheels", "outcome": "passed"})
    book.log(job, "remark", {"text": "Rear disc rings when cold."})
    book.send()


def _comeback(book: WorkshopBook) -> None:
    book.later(days=20)
    complaint = {"symptoms": ["hesitates_to_smaller", "ticks"], "words": "It ticks in the middle since the train."}
    job = book.comeback = book.job(
        book.returned, "comeback", comeback_of=book.first_visit, complaint=complaint, since_last=["transport"]
    )
    book.tips(job, [10.2, 9.3, 7.5, 8.7], stage="found", odometer_km=4200)
    book.read(job, "guide_pulley_gap", 4.7, stage="found", gear=LARGEST, odometer_km=4200)
    book.read(job, "rear_trim", 3, "step", stage="found")
    book.send()
