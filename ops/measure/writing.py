"""Entries a second over HTTP: validated, and each answer sent only after its commit is on the disk."""

from __future__ import annotations

import itertools
import json
import uuid
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from ops.measure.client import Client
from ops.served import Served

BATCH = 200
COGS = [10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 33]


@dataclass(frozen=True)
class Written:
    """Entries a second in batches and one by one, and the job they went into."""

    batched: float
    single: float
    job_id: str


def write(book: Served, token: str, device: str, batches: int, singles: int) -> Written:
    """Writes into a bike and a job of its own; the bodies are made before the clock starts."""
    bike, job = str(uuid.uuid4()), str(uuid.uuid4())
    now = datetime.now(UTC)
    drivetrain = {"rings": [46, 33], "cogs": COGS, "shifting": "electronic", "rear_mount": "hanger",
                  "front_derailleur": True, "suspension": False}  # fmt: skip
    book.call("PUT", f"/api/v1/bikes/{bike}", token=token, body={
        "base_seq": None, "label": "Bench", "drivetrain": drivetrain, "wheel": {"bead_seat_mm": 622},
        "brakes": "disc", "tyres": "tubeless",
    })  # fmt: skip
    book.call("PUT", f"/api/v1/jobs/{job}", token=token, body={
        "base_seq": None, "bike_id": bike, "kind": "build", "opened_at": now.isoformat(),
    })  # fmt: skip
    made = entries(job, now - timedelta(hours=4))
    wholes = [body(device, itertools.islice(made, BATCH)) for _ in range(batches)]
    ones = [body(device, itertools.islice(made, 1)) for _ in range(singles)]
    with closing(Client(book.url, token)) as client:
        return Written(batches * BATCH / post(client, wholes), singles / post(client, ones), job)


def post(client: Client, bodies: list[bytes]) -> float:
    """Seconds to post them one after the other. Raises RuntimeError when an entry was not stored."""
    total = 0.0
    for each in bodies:
        seconds, answer = client.timed("POST", "/api/v1/entries", each)
        total += seconds
        refused = [result for result in answer["results"] if result["status"] != "stored"]
        if refused:
            raise RuntimeError(f"not stored: {refused[0]}")
    return total


def body(device: str, batch: Iterator[dict]) -> bytes:
    sent = {"device_id": device, "contract": 1, "sent_at": datetime.now(UTC).isoformat(), "entries": list(batch)}
    return json.dumps(sent).encode()


def entries(job: str, begin: datetime) -> Iterator[dict]:
    """A mechanic's mix without end: readings, adjustments and shift checks, a torque and a check."""
    for number in itertools.count(1):
        cog = COGS[number % len(COGS)]
        kind, data = DATA[number % len(DATA)](number)
        entry = {
            "id": str(uuid.uuid4()), "job_id": job, "device_seq": number, "kind": kind, "stage": "bench",
            "taken_at": (begin + timedelta(seconds=number)).isoformat(), "data": data,
        }  # fmt: skip
        if data.get("quantity") == "guide_pulley_gap":
            entry["gear"] = {"ring": 33, "cog": cog}
        yield entry


DATA = (
    lambda n: ("reading", {"quantity": "guide_pulley_gap", "value": 4.6 + n % 14 / 10, "unit": "mm"}),
    lambda n: ("reading", {"quantity": "rear_trim", "value": n % 9 - 4, "unit": "step"}),
    lambda n: ("adjustment", {"adjuster": "rear_trim", "amount": 1 + n % 3, "unit": "step"}),
    lambda n: ("reading", {"quantity": "cage_height_gap", "value": 1 + n % 10 / 10, "unit": "mm"}),
    lambda n: ("shift_check", {"from": {"ring": 33, "cog": 15}, "to": {"ring": 33, "cog": 17}, "outcome": "clean"}),
    lambda n: ("reading", {"quantity": "guide_pulley_gap", "low": 4.5, "high": 5.5, "unit": "mm"}),
    lambda n: ("torque", {"fastener": "stem_faceplate", "applied": 5, "unit": "N·m"}),
    lambda n: ("check", {"check": "wheels_and_axles", "outcome": "passed"}),
)
