"""A service over a new book, a paired phone, and a shop with one bike and one open job, all made through the API.

And what there is once for all tests in a browser: the built phone app, and the browser.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING

import pytest

from service import Config, create_app
from service.ids import new_id
from service.pairing import owner_code
from service.store import migrate

if TYPE_CHECKING:  # only tests in a browser bring it in
    from playwright.sync_api import Browser, Playwright

BIKE = {
    "base_seq": None,
    "label": "Grey all-road 54",
    "frame_number": "F-20417",
    "drivetrain": {
        "rings": [46, 33],
        "cogs": [10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 36],
        "shifting": "electronic",
        "rear_mount": "hanger",
        "front_derailleur": True,
    },
    "wheel": {"bead_seat_mm": 622, "circumference_mm": 2200},
    "brakes": "disc",
    "tyres": "tubeless",
}
OPENED = "2026-03-05T09:00:00+01:00"


# The files that take longest, longest first. Begun last, one of them would keep one of two workers waiting.
LONGEST = (
    "test_schemathesis.py", "test_access.py", "test_lighthouse.py", "test_taps.py", "test_walk.py", "test_main_path.py",
    "test_typing_gauges.py", "test_photos.py", "test_started.py", "test_coverage.py",
)  # fmt: skip


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    place = {name: number for number, name in enumerate(LONGEST)}
    items.sort(key=lambda item: place.get(item.path.name, len(place)))


class Clock:
    """The service's clock, set by a test."""

    def __init__(self) -> None:
        self.time = datetime(2026, 3, 5, 12, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.time

    def forward(self, **delta: float) -> None:
        self.time += timedelta(**delta)


class Phone:
    """A paired device: requests with its token, and entries with its own count."""

    def __init__(self, app, clock: Clock, code: str, name: str = "Stand phone") -> None:
        self.http, self.clock, self.device_id, self.count = app.test_client(), clock, new_id(), 0
        body = {"code": code, "device_id": self.device_id, "device_name": name}
        answer = self.http.post("/api/v1/pair", json=body)
        assert answer.status_code == 200, answer.json
        self.role, self.person_id = answer.json["role"], answer.json["person_id"]
        self.headers = {"Authorization": f"Bearer {answer.json['token']}"}

    def call(self, method: str, path: str, **kwargs):
        headers = {**self.headers, **kwargs.pop("headers", {})}
        return self.http.open(f"/api/v1{path}", method=method, headers=headers, **kwargs)

    def get(self, path: str, **kwargs):
        return self.call("GET", path, **kwargs)

    def put(self, path: str, body, **kwargs):
        return self.call("PUT", path, json=body, **kwargs)

    def post(self, path: str, body=None, **kwargs):
        return self.call("POST", path, **({} if body is None else {"json": body}), **kwargs)

    def delete(self, path: str, **kwargs):
        return self.call("DELETE", path, **kwargs)

    def entry(self, job_id: str, kind: str, data: dict, stage: str = "bench", **more) -> dict:
        """An entry as the phone makes it, one second after the one before."""
        self.count += 1
        taken = (datetime.fromisoformat(OPENED) + timedelta(seconds=self.count)).isoformat()
        entry = {"id": new_id(), "job_id": job_id, "device_seq": self.count, "kind": kind, "stage": stage}
        return {**entry, "taken_at": taken, "data": data, **more}

    def reading(self, job_id: str, quantity: str, value: float, unit: str = "mm", stage: str = "bench", **more) -> dict:
        return self.entry(job_id, "reading", {"quantity": quantity, "value": value, "unit": unit}, stage, **more)

    def batch(self, entries: list, **more) -> dict:
        sent = self.clock().isoformat()
        return {"device_id": self.device_id, "contract": 1, "sent_at": sent, "entries": entries, **more}

    def send(self, *entries: dict, **more):
        return self.post("/entries", self.batch(list(entries), **more))

    def sent(self, *entries: dict) -> list[dict]:
        """Send entries that must be answered 200; their results."""
        answer = self.send(*entries)
        assert answer.status_code == 200, answer.json
        return answer.json["results"]


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def app(tmp_path: Path, clock: Clock) -> Iterator:
    path = tmp_path / "book.db"
    migrate(path)
    app = create_app(Config(path, clock=clock, public_url="https://shop.example"))
    yield app
    app.extensions["roadproof.store"].close()


@pytest.fixture
def store(app):
    return app.extensions["roadproof.store"]


@pytest.fixture
def owner(app, clock, store) -> Phone:
    """A phone with the owner's role."""
    return Phone(app, clock, owner_code(store, clock()))


@pytest.fixture
def mechanic(app, clock, owner) -> Phone:
    """A second phone, with the mechanic's role."""
    person = {"id": new_id(), "name": "Second pair of hands", "role": "mechanic"}
    assert owner.put("/people", {"people": [person]}).status_code == 200
    return Phone(app, clock, owner.post(f"/people/{person['id']}/codes").json["code"], "Second phone")


@pytest.fixture
def shop(owner) -> SimpleNamespace:
    """The owner's phone with one bike and one open job."""
    bike_id, job_id = new_id(), new_id()
    bike = owner.put(f"/bikes/{bike_id}", BIKE)
    assert bike.status_code == 200, bike.json
    job = owner.put(f"/jobs/{job_id}", {"base_seq": None, "bike_id": bike_id, "kind": "build", "opened_at": OPENED})
    assert job.status_code == 200, job.json
    return SimpleNamespace(phone=owner, bike=bike_id, job=job_id)


@pytest.fixture(scope="session")
def phone_app(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The built phone app."""
    from tests.browser.built_phone import build

    return build(tmp_path_factory.mktemp("phone") / "dist", "1")


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    from tests.browser.phone import ARGS, CHROMIUM

    started = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGS)
    yield started
    started.close()
