"""One entry is at fault, the others are not: it alone is set aside or waits, where a person sees it."""

from __future__ import annotations

import json

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.faults.between import API, ENTRIES, Between, Exchange, lost, problem
from tests.faults.network_faults import first_changed, without_the_second
from tests.faults.truth import KEPT_ONE, agree, amounts, one_job, says, says_not, settle, shown

TOO_MUCH = 20_000  # steps; the service takes 10,000 at most
SET_ASIDE = "1 entry set aside: the service cannot take it as it is."


def ask(phone: Phone, path: str) -> dict:
    """What the service answers to this phone."""
    return phone.page.evaluate("(path) => window.book.api.get(path)", path)


def set_aside(phone: Phone, job: str) -> list[dict]:
    return [logged for logged in phone.entries(job) if logged["state"] == "set_aside"]


def export(phone: Phone) -> list[dict]:
    """What the button gives a person to take away."""
    with phone.page.expect_download() as waiting:
        phone.page.get_by_role("button", name="Export as a file").click()
    return json.loads(waiting.value.path().read_text(encoding="utf-8"))


def rename(phone: Phone, job: str, label: str) -> None:
    """The bike of a job."""
    bike = "window.book.bikeById(window.book.jobById(id).bike_id)"
    phone.page.evaluate(f"([id, label]) => window.book.putBike({{ ...{bike}, label }})", [job, label])


def write_anew(phone: Phone, job: str, amount: float) -> None:
    """Put what was set aside right, from the list of it to its job and back."""
    phone.page.get_by_role("link", name="Go to its job and write it anew").click()
    phone.turn(job, amount)
    phone.go("#/settings")


def test_a_correction_that_is_refused_holds_up_none_after_it(far_phone: Phone, served: Served) -> None:
    """Typed wrong, corrected to something worse, corrected again, all without a signal."""
    job = one_job(far_phone)
    first = far_phone.entries(job)[0]["entry"]["id"]
    far_phone.context.set_offline(True)
    for amount in (TOO_MUCH, 3):
        data = {"adjuster": "rear_trim", "amount": amount, "unit": "step"}
        draft = {"kind": "adjustment", "stage": "road", "replaces": first, "data": data}
        first = far_phone.call("log", job, draft)["entry"]["id"]
    far_phone.context.set_offline(False)
    settle(far_phone)
    assert amounts(served, job) == [1, 3]
    [(replaces,)] = served.rows("SELECT replaces FROM entries WHERE job_id = ? ORDER BY seq DESC LIMIT 1", job)
    assert replaces == far_phone.entries(job)[0]["entry"]["id"]
    far_phone.go("#/settings")
    says_not(far_phone, SET_ASIDE)
    says(far_phone, "1 entry put right or laid aside")


def test_poison_entry_among_100(far_phone: Phone, served: Served, between: Between):
    job, good = one_job(far_phone), list(range(1, 101))
    far_phone.context.set_offline(True)
    far_phone.page.evaluate(
        """async ([job, all]) => {
          for (const amount of all) {
            const data = { adjuster: "rear_trim", amount, unit: "step" };
            await window.book.log(job, { kind: "adjustment", stage: "road", data });
          }
        }""",
        [job, [*good[1:50], TOO_MUCH, *good[50:]]],
    )
    between.seen.clear()
    far_phone.context.set_offline(False)
    far_phone.wait_sent()
    assert amounts(served, job) == good
    assert [len(one.json["entries"]) for one in between.requests(ENTRIES)] == [100]

    says(far_phone, SET_ASIDE)
    says_not(far_phone, "not yet confirmed")
    says_not(far_phone, "all confirmed")
    far_phone.go("#/settings")
    says(far_phone, "10000")
    [exported] = export(far_phone)
    assert exported["entry"]["data"]["amount"] == TOO_MUCH
    assert exported["problem"]["errors"][0]["pointer"] == "/data/amount"
    far_phone.reload()
    says(far_phone, SET_ASIDE)
    far_phone.wait_entries(job, 101)
    assert sorted(shown(far_phone, job)) == [*good, TOO_MUCH]

    write_anew(far_phone, job, 51)
    settle(far_phone)
    says_not(far_phone, "set aside")
    assert amounts(served, job) == [*good, 51]
    assert [bool(logged.get("fixedBy")) for logged in set_aside(far_phone, job)] == [True]


def test_conflict(far_phone: Phone, served: Served, between: Between):
    """The same id with another content: what came first stands, both are kept, and the phone shows it."""
    job = one_job(far_phone)

    def changed_and_not_heard_of(exchange: Exchange) -> None:
        first_changed(exchange, 7)

    between.on(ENTRIES, changed_and_not_heard_of, times=1)
    between.on(ENTRIES, lost)
    far_phone.turn(job, 2)
    says(far_phone, KEPT_ONE)
    between.clear()
    settle(far_phone)
    assert amounts(served, job) == [1, 7]
    [clash] = ask(far_phone, "/conflicts")["conflicts"]
    assert clash["entry"]["data"]["amount"] == 7
    assert [other["data"]["amount"] for other in clash["others"]] == [2]

    says(far_phone, SET_ASIDE)
    far_phone.go("#/settings")
    says(far_phone, "The shop's book holds this entry with something else in it. Both are kept")
    assert [row["entry"]["data"]["amount"] for row in export(far_phone)] == [2]
    far_phone.reload()
    far_phone.wait_entries(job, 2)
    assert [logged["entry"]["data"]["amount"] for logged in set_aside(far_phone, job)] == [2]
    says(far_phone, SET_ASIDE)
    write_anew(far_phone, job, 3)
    settle(far_phone)
    says_not(far_phone, "set aside")
    assert amounts(served, job) == [1, 7, 3]
    assert len(ask(far_phone, "/conflicts")["conflicts"]) == 1


def test_gap_in_the_device_sequence(far_phone: Phone, served: Served, between: Between):
    """One entry has to wait and those after it do not: they are stored, the gap is shown, and closes by itself."""
    job = one_job(far_phone)

    far_phone.context.set_offline(True)
    for n in range(2, 6):
        far_phone.turn(job, n)
    between.on(ENTRIES, without_the_second, times=1)
    between.on(ENTRIES, lost)
    far_phone.context.set_offline(False)
    far_phone.wait_for(lambda: len(amounts(served, job)) > 1)
    assert amounts(served, job) == [1, 2, 4, 5]
    far_phone.wait_pending(1)
    assert shown(far_phone, job) == [1, 2, 3, 4, 5]
    says(far_phone, "1 entry not yet confirmed")
    device = far_phone.signal("session")["deviceId"]
    gap = {"device_id": device, "first": 3, "last": 3}
    assert [one["gaps"] for one in ask(far_phone, "/devices")["devices"]] == [[gap]]
    assert ask(far_phone, f"/jobs/{job}/entries")["gaps"] == [gap]
    far_phone.go("#/workshop/people")
    says(far_phone, "a gap in its count")

    between.clear()
    agree(far_phone, served, job, [1, 2, 3, 4, 5])
    assert ask(far_phone, f"/jobs/{job}/entries")["gaps"] == []


def test_a_refused_bike_is_held_back_with_its_reason(far_phone: Phone, served: Served, between: Between):
    """Its entries wait with it, others do not; to take it back, the book must have it."""
    good = one_job(far_phone)
    refused = problem(422, "Not taken", "A bike of another kind than the shop knows.")
    between.on(f"{API}/bikes/", refused)
    job = far_phone.new_job()
    far_phone.turn(job, 5)
    far_phone.turn(good, 2)
    far_phone.call("sendNow")
    assert (amounts(served, good), amounts(served, job)) == ([1, 2], [])
    far_phone.go("#/settings")
    says(far_phone, "A bike of another kind than the shop knows.")
    expect(far_phone.page.get_by_role("link", name="Put it right")).to_be_visible()
    expect(far_phone.page.get_by_role("button", name="Take it back")).to_have_count(0)
    between.clear()
    rename(far_phone, job, "Another kind")
    agree(far_phone, served, job, [5])

    between.on(f"{API}/bikes/", refused)
    rename(far_phone, job, "Renamed")
    far_phone.page.get_by_role("button", name="Take it back").click()
    far_phone.wait_sent()
    assert "Another kind" in [bike["label"] for bike in far_phone.signal("bikes")]
