"""An old app before a newer service, a newer app before an old service, and the way from one to the other."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.faults.between import ENTRIES, Answer, Between, Exchange
from tests.faults.broken_service import BROKEN
from tests.faults.phone_clock import DAY, give_clock, set_clock
from tests.faults.truth import agree, one_job, says, says_not, settle

LATER = "tests.faults.later_service"


def kinds(served: Served, job: str) -> list[str]:
    rows = served.rows("SELECT kind FROM entries WHERE job_id = ? ORDER BY taken_ms + offset_ms, device_seq", job)
    return [kind for (kind,) in rows]


def weigh(phone: Phone, job: str) -> None:
    phone.call("log", job, {"kind": "weighing", "stage": "bench", "data": {"grams": 9120}})


def with_more(value: Any) -> Any:
    """A field more in every object."""
    if isinstance(value, dict):
        return {**{name: with_more(one) for name, one in value.items()}, "of_a_later_contract": {"any": [1]}}
    return [with_more(one) for one in value] if isinstance(value, list) else value


def later_contract(exchange: Exchange) -> Answer:
    """What a newer app sends, since its requests name the contract it speaks."""
    return exchange.forward({**exchange.json, "contract": 2})


def test_a_newer_service_and_an_old_app(far_phone: Phone, new_phone, served: Served, between: Between) -> None:
    """Fields, nouns and kinds that the app has never heard of: it works on, and shows what it can."""
    phone = far_phone
    job = one_job(phone)
    served.start_as(LATER)

    def more(exchange: Exchange) -> Answer:
        answer = exchange.forward()
        if answer.headers.get("Content-Type") != "application/json":
            return answer
        body = with_more(answer.json)
        if exchange.path.startswith("/api/v1/changes"):
            body["changes"].insert(0, {"seq": body["next"], "noun": "weather", "body": {"words": "rain"}})
        return replace(answer, body=json.dumps(body).encode())

    between.on("/api/v1/", more)
    newer = new_phone().open().pair(served.pairing_code())
    weigh(newer, job)
    newer.wait_sent()
    phone.turn(job, 2)
    settle(phone)
    assert kinds(served, job) == ["adjustment", "weighing", "adjustment"]
    phone.reload()
    assert [logged["entry"]["kind"] for logged in phone.wait_entries(job, 3)] == kinds(served, job)
    for where in ("plan", "bench", "road", "trend", "handover"):
        phone.go(f"#/jobs/{job}/{where}")
        expect(phone.page.get_by_role("heading", level=1).first).to_be_attached()
    phone.go(f"#/jobs/{job}/plan")
    says(phone, "written by a newer app")
    assert phone.signal("signal") == "online"
    phone.turn(job, 3)
    settle(phone)
    assert kinds(served, job) == ["adjustment", "weighing", "adjustment", "adjustment"]
    assert phone.signal("pending")["setAside"] == 0


def test_a_newer_app_and_an_old_service(
    new_phone: Callable[[], Phone], served: Served, between: Between
) -> None:
    """What the service cannot read yet waits, and is never rejected; the rest goes on; after a day it is said why."""
    phone = new_phone()
    give_clock(phone.context)
    phone.url = between.url
    phone.open().offline_ready().pair(served.pairing_code())
    between.on(ENTRIES, later_contract)
    job = one_job(phone)
    weigh(phone, job)
    data = {"adjuster": "rear_trim", "amount": 2, "unit": "step"}
    phone.call("log", job, {"kind": "adjustment", "stage": "road", "weather": "rain", "data": data})
    phone.turn(job, 3)
    phone.call("sendNow")
    phone.wait_pending(2)
    assert kinds(served, job) == ["adjustment", "adjustment"]
    assert [e["state"] for e in phone.entries(job)] == ["confirmed", "queued", "queued", "confirmed"]
    says_not(phone, "set aside")

    # A day later, by the phone's clock.
    set_clock(phone, DAY + DAY / 24)
    phone.reload()
    phone.go("#/settings")
    says(phone, "For more than a day the service has not been able to take it: This service does not know the kind")
    assert phone.signal("pending")["setAside"] == 0

    served.start_as(LATER)
    settle(phone)
    assert kinds(served, job) == ["adjustment", "weighing", "adjustment", "adjustment"]
    assert {e["state"] for e in phone.wait_entries(job, 4)} == {"confirmed"}


def test_an_app_that_is_too_old_renews_itself(phone: Phone, served: Served, newer_app: Path) -> None:
    """The service no longer takes what the app speaks, and serves the app that it does: what waits is kept and sent."""
    job = one_job(phone)
    served.release(newer_app)
    served.start_as(BROKEN, "newer")
    phone.turn(job, 2)
    says(phone, "This app is older than the service.")
    # Told so, it has looked for the newer app by itself; the next start takes it.
    phone.wait_for(lambda: phone.signal("updateReady"))
    context = phone.context
    phone.page.close()
    phone = Phone(context.new_page(), served.url).open()
    phone.until("() => window.version === '2' && !!window.book?.loaded.value")
    phone.wait_entries(job, 2)
    served.start_as("service")  # which takes what the app now speaks
    agree(phone, served, job, [1, 2])
    says_not(phone, "This app is older than the service.")
