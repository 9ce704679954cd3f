"""The service is set back to an older backup: what the phones still hold makes the book whole again, each once."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable

from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.faults.restoring import back_up, restore
from tests.faults.truth import agree, amounts, one_job, says, says_not, settle, shown

SET_BACK = "The shop's book was set back to an older backup"


def bike_of(served: Served, job: str) -> dict:
    [(bike, body)] = served.rows(
        "SELECT bikes.id, bikes.body FROM bikes JOIN jobs ON jobs.bike_id = bikes.id WHERE jobs.id = ?", job
    )
    return {"id": bike, "label": json.loads(body)["label"]}


def rename(phone: Phone, bike: str, label: str) -> None:
    phone.page.evaluate("([id, label]) => window.book.putBike({ ...window.book.bikeById(id), label })", [bike, label])


def nothing_doubled(served: Served, bikes: int, jobs: int, entries: int) -> None:
    counts = [served.rows(f"SELECT count(*) FROM {table}") for table in ("bikes", "jobs", "entries")]
    assert counts == [[(bikes,)], [(jobs,)], [(entries,)]]


def test_restored_from_an_older_backup(phone: Phone, new_phone: Callable[[], Phone], served: Served):
    """After the backup one phone has written entries, a bike, a job and a new label, the other an entry; one waits."""
    job = one_job(phone)
    other = new_phone().open().pair(served.pairing_code())
    other.call("sendNow")
    copy = back_up(served)

    phone.turn(job, 2)
    rename(phone, bike_of(served, job)["id"], "Renamed since")
    later = phone.new_job()
    phone.turn(later, 10)
    phone.turn(later, 11)
    phone.wait_sent()
    other.turn(job, 3)
    other.wait_sent()
    phone.call("sendNow")
    assert amounts(served, job) == [1, 2, 3]
    phone.context.set_offline(True)
    phone.turn(job, 4)
    restore(served, copy)
    assert amounts(served, job) == [1]

    phone.context.set_offline(False)
    settle(phone)
    says(phone, SET_BACK)
    states = {logged["entry"]["data"]["amount"]: logged["state"] for logged in phone.wait_entries(job, 4)}
    assert states.pop(3) == "queued", "the book does not have it until the other phone has sent it again"
    assert set(states.values()) == {"confirmed"}
    settle(other)
    says(other, SET_BACK)
    for one in (phone, other):
        agree(one, served, job, [1, 2, 3, 4])
        agree(one, served, later, [10, 11])
        assert sorted(bike["label"] for bike in one.signal("bikes")) == sorted(
            ["Renamed since", bike_of(served, later)["label"]]
        )
    assert bike_of(served, job)["label"] == "Renamed since"
    nothing_doubled(served, bikes=2, jobs=2, entries=6)

    phone.reload()
    says(phone, SET_BACK)
    phone.page.get_by_role("button", name="I have read it").click()
    says_not(phone, SET_BACK)
    phone.reload()
    phone.wait_entries(job, 4)
    says_not(phone, SET_BACK)


def test_restored_from_a_backup_older_than_the_pairing(phone: Phone, served: Served):
    """The restored service does not know this phone: said so, and once it is paired again all is sent."""
    copy = back_up(served)
    db = sqlite3.connect(copy, isolation_level=None)
    db.execute("DELETE FROM devices")
    db.close()
    job = one_job(phone)
    phone.turn(job, 2)
    phone.wait_sent()
    restore(served, copy)
    phone.turn(job, 3)
    says(phone, "This phone is no longer paired with the shop. 1 entry not yet confirmed, it is kept on this phone")
    assert served.rows("SELECT count(*) FROM entries") == [(0,)]
    phone.page.goto(f"{phone.url}/#/pair/{served.pairing_code()}")
    phone.wait_entries(job, 3)
    phone.wait_sent()
    says(phone, SET_BACK)
    agree(phone, served, job, [1, 2, 3])
    assert shown(phone, job) == [1, 2, 3]
    nothing_doubled(served, bikes=1, jobs=1, entries=3)
