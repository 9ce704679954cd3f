"""What was confirmed on the screen is never lost, doubled or put out of order: phone, network and service, all real."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.phone_browser import PhoneBrowser
from tests.browser.served import Served
from tests.faults.truth import amounts


def test_a_save_is_on_the_disk_before_it_is_confirmed(phone: Phone, served: Served) -> None:
    job = phone.new_job()
    phone.wait_sent()
    phone.context.set_offline(True)
    order = phone.page.evaluate(
        """async (job) => {
          const order = [];
          const transaction = IDBDatabase.prototype.transaction;
          IDBDatabase.prototype.transaction = function (stores, mode, options) {
            const tx = transaction.call(this, stores, mode, options);
            if (mode === "readwrite") tx.addEventListener("complete", () => order.push(`complete ${tx.durability}`));
            return tx;
          };
          const data = { adjuster: "rear_trim", amount: 1, unit: "step" };
          await window.book.log(job, { kind: "adjustment", stage: "road", data });
          order.push("confirmed");
          return order;
        }""",
        job,
    )
    assert order[:2] == ["complete strict", "confirmed"]


def test_a_whole_job_made_offline_survives_a_reload_and_is_sent_once_in_order(phone: Phone, served: Served) -> None:
    phone.context.set_offline(True)
    job = phone.new_job()
    for n in range(1, 8):
        phone.turn(job, n)
    phone.reload()
    assert [e["entry"]["data"]["amount"] for e in phone.wait_entries(job, 7)] == [1, 2, 3, 4, 5, 6, 7]
    phone.wait_pending(9)
    expect(phone.page.get_by_text("7 entries and 2 bikes or jobs not yet confirmed, all are kept")).to_be_visible()
    assert phone.signal("signal") == "no_signal"
    for n in range(8, 11):
        phone.turn(job, n)
    phone.context.set_offline(False)
    phone.wait_sent()
    assert amounts(served, job) == list(range(1, 11))
    assert {e["state"] for e in phone.wait_entries(job, 10)} == {"confirmed"}


def test_the_browser_closed_and_opened_again_offline(phone_browser: PhoneBrowser, served: Served) -> None:
    context = phone_browser.open()
    phone = Phone(context.new_page(), served.url).open().offline_ready().pair(served.pairing_code())
    context.set_offline(True)
    job = phone.new_job()
    for n in range(1, 6):
        phone.turn(job, n)
    phone.call("openRide", job)
    phone_browser.close()

    context = phone_browser.open()
    context.set_offline(True)
    phone = Phone(context.new_page(), served.url).open()
    assert phone.signal("ride")["jobId"] == job
    phone.wait_entries(job, 5)
    phone.turn(job, 6)
    context.set_offline(False)
    phone.wait_sent()
    assert amounts(served, job) == [1, 2, 3, 4, 5, 6]


def test_a_second_phone_gets_the_book(phone: Phone, new_phone: Callable[[], Phone], served: Served) -> None:
    job = phone.new_job()
    phone.turn(job, 1)
    phone.wait_sent()
    second = new_phone().open().pair(served.pairing_code())
    second.call("sendNow")
    assert [bike["label"] for bike in second.signal("bikes")] == [bike["label"] for bike in phone.signal("bikes")]
    assert [e["entry"]["data"]["amount"] for e in second.wait_entries(job, 1)] == [1]
    second.turn(job, 2)
    second.wait_sent()
    phone.call("sendNow")
    assert [e["entry"]["data"]["amount"] for e in phone.wait_entries(job, 2)] == [1, 2]


def test_a_browser_that_stores_nothing_is_said_so(new_phone: Callable[[], Phone]) -> None:
    phone = new_phone()
    denied = "() => { throw new DOMException('denied', 'SecurityError') }"
    phone.page.add_init_script(f"IDBFactory.prototype.open = {denied}")
    phone.page.goto(phone.url)
    phone.page.get_by_role("heading", name="keeps nothing").wait_for()
