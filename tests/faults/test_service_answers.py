"""The service answers, but not with a plain yes: the phone heeds what is said, keeps all, and says the truth."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable

from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.faults.between import ENTRIES, Answer, Between, Exchange, html, problem
from tests.faults.broken_service import BROKEN
from tests.faults.truth import KEPT_ONE, agree, amounts, one_job, says, says_not, settle

KEPT_TWO = "2 entries not yet confirmed, all are kept on this phone"


def log_remark(phone: Phone, job: str, text: str) -> dict:
    return phone.call("log", job, {"kind": "remark", "stage": "bench", "data": {"text": text}})


def test_503_with_retry_after(far_phone: Phone, served: Served, between: Between):
    """Nothing is asked before the time is over, whatever is saved or tapped meanwhile."""
    job = one_job(far_phone)
    between.on(ENTRIES, problem(503, "The service cannot do this now", "Back in a moment.", Retry_After="5"), times=1)
    far_phone.turn(job, 2)
    says(far_phone, f"The service is busy. {KEPT_ONE}")
    refused = between.requests(ENTRIES)[-1]
    far_phone.turn(job, 3)
    far_phone.go("#/settings")
    far_phone.page.get_by_role("button", name="Send 2 entries now").click()
    says(far_phone, "Back in a moment.")
    far_phone.wait_sent()
    assert between.quiet_after(refused) >= 5
    agree(far_phone, served, job, [1, 2, 3])
    says(far_phone, "No entry waits: all are confirmed by the service.")


def test_429(far_phone: Phone, served: Served, between: Between):
    """Said by something in front of the service, in its own words; its Retry-After holds too."""
    job = one_job(far_phone)
    between.on(ENTRIES, html(429, "slow down", Retry_After="3"), times=1)
    far_phone.turn(job, 2)
    says(far_phone, f"The service is busy. {KEPT_ONE}")
    refused = between.requests(ENTRIES)[-1]
    far_phone.call("sendNow")
    far_phone.wait_sent()
    assert between.quiet_after(refused) >= 3
    agree(far_phone, served, job, [1, 2])


def test_500_with_html(far_phone: Phone, served: Served, between: Between):
    job = one_job(far_phone)
    between.on(ENTRIES, html(500, "<h1>Internal error</h1>"))
    far_phone.turn(job, 2)
    says(far_phone, f"Something else than the service answers. {KEPT_ONE}")
    assert amounts(served, job) == [1]
    between.clear()
    agree(far_phone, served, job, [1, 2])


def test_answer_for_another_batch(far_phone: Phone, served: Served, between: Between):
    """A well-formed answer that speaks of other entries confirms none of these."""
    job = one_job(far_phone)
    earlier = between.requests(ENTRIES)[-1].forward()
    between.on(ENTRIES, lambda _: earlier)
    far_phone.turn(job, 2)
    says(far_phone, f"Something else than the service answers. {KEPT_ONE}")
    assert amounts(served, job) == [1]
    between.clear()
    agree(far_phone, served, job, [1, 2])


def test_database_locked(far_phone: Phone, served: Served, between: Between):
    """Another process holds the write lock of the file for longer than the service waits."""
    job = one_job(far_phone)
    served.start_as(BROKEN, "impatient")
    lock = sqlite3.connect(served.db, isolation_level=None)
    lock.execute("BEGIN IMMEDIATE")
    answers: list[Answer] = []

    def note(exchange: Exchange) -> Answer:
        answers.append(exchange.forward())
        return answers[-1]

    between.on(ENTRIES, note)
    far_phone.turn(job, 2)
    far_phone.turn(job, 3)
    says(far_phone, f"The service is busy. {KEPT_TWO}")
    assert (answers[0].status, answers[0].headers["Retry-After"]) == (503, "2")
    assert amounts(served, job) == [1]
    lock.execute("ROLLBACK")
    lock.close()
    agree(far_phone, served, job, [1, 2, 3])
    says_not(far_phone, "The service is busy.")


def test_401_with_a_revoked_token(far_phone: Phone, new_phone: Callable[[], Phone], served: Served):
    """Work goes on, over a new start without a signal too; what was held is sent once the phone is paired again."""
    job = one_job(far_phone)
    device = far_phone.signal("session")["deviceId"]
    owner = new_phone().open().pair(served.pairing_code())
    owner.page.evaluate("(id) => window.book.api.delete(`/devices/${id}`)", device)
    far_phone.turn(job, 2)
    says(far_phone, f"This phone is no longer paired with the shop. {KEPT_ONE}")
    far_phone.context.set_offline(True)
    far_phone.reload()
    far_phone.turn(job, 3)
    far_phone.wait_entries(job, 3)
    far_phone.context.set_offline(False)
    says(far_phone, f"This phone is no longer paired with the shop. {KEPT_TWO}")
    assert amounts(served, job) == [1]
    far_phone.page.goto(f"{far_phone.url}/#/pair/{served.pairing_code()}")
    far_phone.wait_sent()
    agree(far_phone, served, job, [1, 2, 3])
    says_not(far_phone, "no longer paired")


def test_413(far_phone: Phone, served: Served, between: Between):
    """A service that takes small bodies: batches are halved until they pass. What is too large by itself is set aside
    with the service's reason, and holds up nothing."""
    job = one_job(far_phone)
    served.start_as(BROKEN, "small_bodies")
    far_phone.context.set_offline(True)
    for n in range(2, 22):
        far_phone.turn(job, n)
    large = log_remark(far_phone, job, "long " * 700)["entry"]
    far_phone.turn(job, 22)
    far_phone.context.set_offline(False)
    far_phone.wait_sent()
    assert max(len(one.json["entries"]) for one in between.requests(ENTRIES)) == 22
    kept = [body for (body,) in served.rows("SELECT body FROM entries WHERE job_id = ? ORDER BY device_seq", job)]
    assert [json.loads(body)["data"]["amount"] for body in kept] == list(range(1, 23))
    says(far_phone, "1 entry set aside: the service cannot take it as it is.")
    far_phone.go("#/settings")
    says(far_phone, "3000 are taken at most.")
    held = {logged["entry"]["id"]: logged["state"] for logged in far_phone.wait_entries(job, 23)}
    assert held.pop(large["id"]) == "set_aside"
    assert set(held.values()) == {"confirmed"}


def test_413_of_a_proxy(far_phone: Phone, served: Served, between: Between):
    """Something between takes small bodies only, and says so in its own words: halved too, but nothing is set aside."""
    job = one_job(far_phone)
    too_large = html(413, "<h1>Request entity too large</h1>")
    far_phone.context.set_offline(True)
    log_remark(far_phone, job, "long " * 700)
    for n in range(2, 12):
        far_phone.turn(job, n)
    between.on(ENTRIES, lambda exchange: too_large(exchange) if len(exchange.body) > 3000 else exchange.forward())
    far_phone.context.set_offline(False)
    says(far_phone, "Something else than the service answers. 11 entries not yet confirmed, all are kept on this phone")
    assert far_phone.signal("pending")["setAside"] == 0
    assert amounts(served, job) == [1]
    between.clear()
    settle(far_phone)
    kept = served.rows("SELECT body FROM entries WHERE job_id = ? ORDER BY device_seq", job)
    assert [json.loads(body)["data"].get("amount") for (body,) in kept] == [1, None, *range(2, 12)]
    says_not(far_phone, "not yet confirmed")


def test_426(far_phone: Phone, served: Served):
    """A service that no longer takes what this app speaks: nothing is deleted, the work goes on."""
    job = one_job(far_phone)
    served.start_as(BROKEN, "newer")
    far_phone.turn(job, 2)
    says(far_phone, f"This app is older than the service. {KEPT_ONE}")
    far_phone.reload()
    far_phone.turn(job, 3)
    says(far_phone, f"This app is older than the service. {KEPT_TWO}")
    assert [logged["state"] == "confirmed" for logged in far_phone.wait_entries(job, 3)] == [True, False, False]
    far_phone.go("#/settings")
    says(far_phone, "Update the app.")
    served.start_as("service")
    agree(far_phone, served, job, [1, 2, 3])
    says_not(far_phone, "This app is older than the service.")
