"""What was confirmed is on the disk: a killed service loses and doubles nothing, and every answer waits for a sync."""

from __future__ import annotations

import re
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
import requests

from service.config import utc_now
from service.ids import new_id
from tests.browser.served import Served
from tests.conftest import BIKE, OPENED
from tests.faults.broken_service import BROKEN

SYNCED = ("fsync", "fdatasync")


class Phone:
    """A paired device over HTTP, which keeps its token while the service comes and goes."""

    def __init__(self, served: Served) -> None:
        code = served.pairing_code()
        self.device, self.bike, self.job, self.count = new_id(), new_id(), new_id(), 0
        body = {"code": code, "device_id": self.device, "device_name": "Stand phone"}
        answer = requests.post(f"{served.url}/api/v1/pair", json=body, timeout=30)
        # Answers go out as they are, so that the trace can be read.
        self.headers = {"Authorization": f"Bearer {answer.json()['token']}", "Accept-Encoding": "identity"}
        self.ask("PUT", served, f"/bikes/{self.bike}", BIKE)
        job = {"base_seq": None, "bike_id": self.bike, "kind": "build", "opened_at": OPENED}
        self.ask("PUT", served, f"/jobs/{self.job}", job)

    def ask(self, method: str, served: Served, path: str, body: dict | None = None) -> dict:
        answer = requests.request(method, f"{served.url}/api/v1{path}", json=body, headers=self.headers, timeout=30)
        assert answer.status_code == 200, answer.text
        return answer.json()

    def batch(self, size: int) -> dict:
        entries = []
        for _ in range(size):
            self.count += 1
            head = {"id": new_id(), "job_id": self.job, "device_seq": self.count, "stage": "bench", "taken_at": OPENED}
            entries.append({**head, "kind": "remark", "data": {"text": f"entry {self.count}"}})
        sent = utc_now().isoformat()
        return {"device_id": self.device, "contract": 1, "sent_at": sent, "entries": entries}

    def stored(self, served: Served) -> list[str]:
        return [one["id"] for one in self.ask("GET", served, f"/jobs/{self.job}/entries")["entries"]]


@pytest.fixture
def service(tmp_path: Path) -> Iterator[Served]:
    """A service that is not started yet."""
    served = Served(tmp_path)
    yield served
    served.stop()


@pytest.mark.parametrize(
    ("fault", "kept", "then"), [("kill_before_commit", 0, "stored"), ("kill_after_commit", 20, "duplicate")]
)
def test_a_killed_service_loses_and_doubles_nothing(service: Served, fault: str, kept: int, then: str) -> None:
    service.start_as(BROKEN, fault)
    phone = Phone(service)
    before = phone.batch(10)
    assert {r["status"] for r in phone.ask("POST", service, "/entries", before)["results"]} == {"stored"}
    batch = phone.batch(20)
    Path(f"{service.db}.strike").touch()
    with pytest.raises(requests.ConnectionError):
        phone.ask("POST", service, "/entries", batch)
    assert service.process.wait(timeout=30) == -signal.SIGKILL
    ids = [entry["id"] for entry in [*before["entries"], *batch["entries"]]]
    service.start_as("service")
    assert phone.stored(service) == ids[: 10 + kept]
    again = phone.ask("POST", service, "/entries", batch)["results"]
    assert {result["status"] for result in again} == {then}
    assert phone.stored(service) == ids
    seqs = [change["seq"] for change in phone.ask("GET", service, "/changes?limit=1000")["changes"]]
    assert seqs == list(range(1, 33))  # the bike, the job and 30 entries, without a gap


def answers_before_a_sync(folder: Path, fault: str) -> list[str]:
    """Answers of POST /entries that left before what they confirm was synced, as a trace of system calls shows it."""
    trace = folder / "trace"
    watched = "trace=fsync,fdatasync,write,pwrite64,sendto"
    service = Served(folder, under=("strace", "-f", "-y", "-qq", "-s", "300", "-e", watched, "-o", str(trace)))
    service.start_as(BROKEN, fault)
    try:
        phone = Phone(service)
        for size in (1, 40, 1, 200):
            results = phone.ask("POST", service, "/entries", phone.batch(size))["results"]
            assert {result["status"] for result in results} == {"stored"}
    finally:
        service.stop()
    return early_answers(trace.read_text(encoding="utf-8", errors="replace"))


def early_answers(trace: str) -> list[str]:
    """Answers that hold results and were begun after a write to the book that no sync had followed."""
    unsynced: set[str] = set()
    begun: dict[str, bool] = {}  # thread to whether its answer was begun too early
    early, seen = [], 0
    for line in joined(trace):
        call = re.search(r"\b(fsync|fdatasync|write|pwrite64|sendto)\(\d+<([^>]*)>", line)
        if not call:
            continue
        name, target = call.groups()
        if ".db" in target and not target.endswith("-shm"):
            (unsynced.discard if name in SYNCED else unsynced.add)(target)
        elif name == "sendto":
            thread = line.split(" ", 1)[0]
            if "HTTP/1.1 200 OK" in line:
                begun[thread] = bool(unsynced)
            if '\\"results\\"' in line:
                seen += 1
                early += [line[:120]] if begun[thread] else []
    assert seen == 4, f"the trace holds {seen} answers of four"
    return early


def joined(trace: str) -> list[str]:
    """Lines of a trace, a call that another thread interrupted put where it was resumed."""
    lines, begun = [], {}
    for line in trace.splitlines():
        thread = line.split(" ", 1)[0]
        if line.endswith("<unfinished ...>"):
            begun[thread] = line.removesuffix("<unfinished ...>")
        elif " resumed>" in line and thread in begun:
            lines.append(begun.pop(thread) + line.split(" resumed>", 1)[1])
        else:
            lines.append(line)
    return lines


def test_every_answer_waits_for_the_disk(tmp_path: Path) -> None:
    assert answers_before_a_sync(tmp_path, "none") == []


def test_a_service_that_does_not_sync_is_caught(tmp_path: Path) -> None:
    """Control: with synchronous OFF the very same function finds every answer early."""
    assert len(answers_before_a_sync(tmp_path, "no_sync")) == 4
