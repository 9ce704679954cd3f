"""What is held against each other after a fault: what was told, what the phone holds, what the book holds."""

from __future__ import annotations

import json

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served

KEPT_ONE = "1 entry not yet confirmed, it is kept on this phone"
TOLD_WITHIN = 10_000  # milliseconds; a retry of the phone's own lies in between, and the machine may be busy


def amounts(served: Served, job: str) -> list[float]:
    """What the book holds of a job, in the order it works with; a doubled entry shows up twice."""
    rows = served.rows(
        "SELECT body FROM entries WHERE job_id = ? ORDER BY taken_ms + offset_ms, device_seq, seq", job
    )
    return [json.loads(body)["data"]["amount"] for (body,) in rows]


def device_numbers(served: Served, job: str) -> list[int]:
    """The phone's own count of a job's entries, in the order in which they came in."""
    return [n for (n,) in served.rows("SELECT device_seq FROM entries WHERE job_id = ? ORDER BY seq", job)]


def shown(phone: Phone, job: str) -> list[float]:
    """The amounts that the phone shows of a job, in its order."""
    return [logged["entry"]["data"]["amount"] for logged in phone.entries(job)]


def settle(phone: Phone) -> None:
    """Send and read until nothing is left, as *Send now* does."""
    phone.call("sendNow")
    phone.wait_sent()


def agree(phone: Phone, served: Served, job: str, told: list[float]) -> None:
    """Once all is settled: exactly what was told as saved is in the book and on the phone, once and in order."""
    settle(phone)
    assert amounts(served, job) == told
    phone.wait_entries(job, len(told))
    assert shown(phone, job) == told
    assert {logged["state"] for logged in phone.entries(job)} == {"confirmed"}
    assert phone.signal("pending")["setAside"] == 0


def one_job(phone: Phone) -> str:
    """A job with its first adjustment, all confirmed."""
    job = phone.new_job()
    phone.turn(job, 1)
    phone.wait_sent()
    return job


def says(phone: Phone, words: str) -> None:
    """The screen says this, where a person sees it."""
    expect(phone.page.get_by_text(words).first).to_be_visible(timeout=TOLD_WITHIN)


def says_not(phone: Phone, words: str) -> None:
    expect(phone.page.get_by_text(words)).to_have_count(0, timeout=TOLD_WITHIN)
