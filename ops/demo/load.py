"""Loads the demo scenario into a running service, through its public API.

`python ops/demo/load.py --url URL --token TOKEN`, the token of an owner's device. What is taken already is not stored
again, so a load that broke off can be started again on the same day. Anything unexpected ends it with words.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import requests

if __name__ == "__main__":  # a script finds only its own folder
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from ops.demo.scenario import DemoJob, Scenario
from ops.demo.simulate import simulate

CONTRACT = 1
BATCH = 200
TAKEN = ("stored", "duplicate")
PATIENCE = 60.0  # seconds an answer may take
NOT_ACCEPTED = "urn:roadproof:problem:not-accepted"
ACCEPTED_BECAUSE = "turned on the road since, shifts cleanly; to be read again at the next visit"


class LoadFailed(Exception):
    """The service did not take something; the text says what and why."""


class Book:
    """The service as the loader speaks to it."""

    def __init__(self, url: str, token: str, device_id: str | None = None):
        self._base = f"{url.rstrip('/')}/api/v1"
        self._session = requests.Session()
        self._session.headers["Authorization"] = f"Bearer {token}"
        self.device_id = device_id or self.call("GET", "/me")["device_id"]

    def ask(self, method: str, path: str, body: Any = None) -> requests.Response:
        """One request, whatever the status of its answer. Raises LoadFailed where there is none."""
        try:
            return self._session.request(method, self._base + path, json=body, timeout=PATIENCE)
        except requests.RequestException as error:
            raise LoadFailed(f"{method} {path}: no answer ({error}).") from error

    def call(self, method: str, path: str, body: Any = None) -> Any:
        """One request; its JSON. Raises LoadFailed for any status that is not a success."""
        answer = self.ask(method, path, body)
        if not answer.ok:
            raise LoadFailed(f"{method} {path}: {answer.status_code} {answer.text[:1000]}")
        return answer.json()

    def post_entries(self, entries: list[dict[str, Any]]) -> int:
        """One batch. Returns the largest seq; raises LoadFailed for an entry that was not taken."""
        sent_at = datetime.now(UTC).isoformat(timespec="milliseconds")
        body = {"device_id": self.device_id, "contract": CONTRACT, "sent_at": sent_at, "entries": entries}
        results = self.call("POST", "/entries", body)["results"]
        for entry, result in zip(entries, results, strict=True):
            if result["status"] not in TAKEN:
                raise LoadFailed(f"Entry {entry['kind']} {entry['data']}: {result}")
        return max(result["seq"] for result in results)


def load(book: Book, scenario: Scenario) -> Iterator[str]:
    """Sends everything in order; yields a line of progress after each part."""
    book.call("PUT", "/people", {"people": scenario.people_bodies()})
    book.call("PUT", "/gauges", {"gauges": scenario.gauge_bodies()})
    book.call("PUT", "/customers", {"customers": scenario.customer_bodies()})
    yield f"{len(scenario.people)} people, {len(scenario.gauges)} gauges, {len(scenario.customers)} customers"
    for bike_id, body in scenario.bike_bodies().items():
        book.call("PUT", f"/bikes/{bike_id}", body)
    yield f"{len(scenario.bikes)} bikes"
    sent = 0
    for number, job in enumerate(scenario.jobs, 1):
        _load_job(book, job)
        sent += len(job.entries) + len(job.late_entries)
        if number % 10 == 0 or number == len(scenario.jobs):
            yield f"{number} jobs, {sent} entries"


def _load_job(book: Book, job: DemoJob) -> None:
    """One job as the shop lived it: opened, logged, handed over, then what reached the service late."""
    book.call("PUT", f"/jobs/{job.id}", job.body)
    seen_seq = max(book.post_entries(batch) for batch in _batches(job.entries))
    if job.record_id:
        _hand_over(book, job, seen_seq)
    for batch in _batches(job.late_entries):
        book.post_entries(batch)


def _hand_over(book: Book, job: DemoJob, seen_seq: int) -> None:
    """Hands over as the phone does: what the service names as open is accepted by the person, with a reason."""
    path = f"/jobs/{job.id}/handover"
    body = {"id": job.record_id, "seen_seq": seen_seq, "by": job.by, "accepted": [], "handed_over_at": job.ended_at}
    first = book.ask("POST", path, body)
    if first.status_code == 409 and first.json().get("type") == NOT_ACCEPTED:
        body["accepted"] = [{"what": point["what"], "reason": ACCEPTED_BECAUSE} for point in first.json()["missing"]]
    record = book.call("POST", path, body)
    if job.visit.link and not record["links"]:
        book.call("POST", f"/records/{job.record_id}/links", {})
    if job.close_id:
        visit = job.visit
        closing = {"id": job.close_id, "outcome": visit.outcome, "cause": visit.cause, "remedy": visit.remedy}
        book.call("POST", f"/jobs/{job.id}/close", closing | {"borne_by": visit.borne_by})


def _batches(entries: list[dict[str, Any]]) -> Iterable[list[dict[str, Any]]]:
    return (entries[start : start + BATCH] for start in range(0, len(entries), BATCH))


def main(words: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--url", required=True, help="where the service answers, such as http://127.0.0.1:8321")
    parser.add_argument("--token", required=True, help="token of an owner's device")
    parser.add_argument("--device-id", help="the device's id; asked of the service where it is not given")
    parser.add_argument("--reference-date", type=date.fromisoformat, help="the scenario ends the day before (today)")
    chosen = parser.parse_args(words)
    began = time.monotonic()
    scenario = simulate(chosen.reference_date or date.today())
    print(f"simulated {len(scenario.entries)} entries in {time.monotonic() - began:.1f} s", flush=True)
    try:
        for line in load(Book(chosen.url, chosen.token, chosen.device_id), scenario):
            print(line, flush=True)
    except LoadFailed as failure:
        sys.exit(f"The demo scenario was not loaded.\n{failure}")
    print(f"loaded in {time.monotonic() - began:.1f} s", flush=True)


if __name__ == "__main__":
    main()
