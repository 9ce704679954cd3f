"""Two tabs of one phone: one outbox, one count, sent once and in order, whichever of them is killed."""

from __future__ import annotations

import contextlib
import uuid

import pytest
from playwright.sync_api import Error, Page, Request, Route

from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.faults.truth import agree, amounts, device_numbers, settle, shown

SAVE_MANY = """([job, from, count]) => {
  window.many = Promise.all(Array.from({ length: count }, (_, i) => {
    const data = { adjuster: "rear_trim", amount: from + i, unit: "step" };
    return window.book.log(job, { kind: "adjustment", stage: "road", data });
  }));
}"""
WAITS_ITS_TURN = """async () =>
  (await navigator.locks.query()).pending.some(({ name }) => name === "roadproof-sync")"""
ENTRIES = "**/api/v1/entries"


@pytest.fixture
def other(phone: Phone, served: Served) -> Phone:
    """A second tab beside the phone's first one."""
    return Phone(phone.context.new_page(), served.url).open()


def sent_by(phone: Phone) -> list[str]:
    """Ids of the entries that any tab sends from here on."""
    sent: list[str] = []

    def note(request: Request) -> None:
        if request.url.endswith("/entries") and request.method == "POST":
            sent.extend(entry["id"] for entry in request.post_data_json["entries"])

    phone.context.on("request", note)
    return sent


def test_two_tabs_share_one_outbox(phone: Phone, other: Phone, served: Served) -> None:
    job = phone.new_job()
    phone.wait_sent()
    phone.context.set_offline(True)
    for n in range(1, 11):
        (phone if n % 2 else other).turn(job, n)
    other.wait_entries(job, 10)
    assert shown(phone, job) == shown(other, job) == list(range(1, 11))
    other.wait_pending(10)
    sent = sent_by(phone)
    phone.context.set_offline(False)
    phone.wait_sent()
    other.wait_sent()
    assert amounts(served, job) == list(range(1, 11))
    assert device_numbers(served, job) == list(range(1, 11))
    assert len(sent) == len(set(sent)) == 10
    other.wait_entries(job, 10)
    assert {logged["state"] for logged in other.entries(job)} == {"confirmed"}


def test_both_tabs_save_at_the_same_time(phone: Phone, other: Phone, served: Served) -> None:
    """Each takes its numbers in the transaction that writes: none twice, none left out."""
    job = phone.new_job()
    phone.wait_sent()
    phone.page.evaluate(SAVE_MANY, [job, 1, 30])
    other.page.evaluate(SAVE_MANY, [job, 51, 30])
    for tab in (phone, other):
        tab.page.evaluate("() => window.many.then((all) => all.length)")
    settle(phone)
    settle(other)
    assert sorted(amounts(served, job)) == [*range(1, 31), *range(51, 81)]
    assert device_numbers(served, job) == list(range(1, 61))
    # Each tab's own entries in the order in which it saved them.
    in_order = [n for (n,) in served.rows("SELECT amount FROM entries WHERE job_id = ? ORDER BY device_seq", job)]
    assert [n for n in in_order if n < 50] == list(range(1, 31))
    assert [n for n in in_order if n > 50] == list(range(51, 81))


@pytest.mark.parametrize("committed", [True, False], ids=["service has it", "service has nothing"])
@pytest.mark.parametrize("how", ["closed", "crashed"])
def test_a_tab_killed_while_it_sends_leaves_the_rest_to_the_other(
    phone: Phone, other: Phone, served: Served, committed: bool, how: str
) -> None:
    job = phone.new_job()
    phone.turn(job, 1)
    phone.wait_sent()
    under_way: list[str] = []

    def hold(route: Route) -> None:
        """The first batch is under way for good; the tab that sent it holds the lock meanwhile."""
        if under_way:
            route.continue_()
            return
        if committed:
            route.fetch()
        under_way.append(route.request.post_data or "")

    phone.context.route(ENTRIES, hold)
    phone.turn(job, 2)
    phone.wait_for(lambda: under_way)
    other.turn(job, 3)
    other.page.evaluate("() => void window.book.sendNow()")
    other.until(WAITS_ITS_TURN)
    assert amounts(served, job) == ([1, 2] if committed else [1]), "one tab sends at a time"
    kill(phone.page, how)
    other.wait_sent()
    agree(other, served, job, [1, 2, 3])
    assert device_numbers(served, job) == [1, 2, 3]


def kill(page: Page, how: str) -> None:
    """Closed as by hand, or its process gone without a word."""
    if how == "closed":
        page.close()
        return
    with page.expect_event("crash"), contextlib.suppress(Error):
        page.goto("chrome://crash", wait_until="commit")


def test_the_pairing_is_one_for_both_tabs(phone: Phone, other: Phone, served: Served) -> None:
    """Each tab hears of it with nothing of its own to send; what it saved meanwhile goes out with the new token."""
    job = phone.new_job()
    phone.wait_sent()
    phone.call("unpair")
    other.until("() => window.book.session.value === null")
    other.turn(job, 1)
    other.wait_pending(1)
    phone.page.route(ENTRIES, lambda route: route.abort())
    phone.pair(served.pairing_code())
    other.until("() => window.book.session.value !== null")
    other.wait_sent()  # by itself: the first tab gets no entry through
    phone.page.unroute(ENTRIES)
    other.turn(job, 2)
    agree(phone, served, job, [1, 2])


def test_who_logs_is_one_for_both_tabs(phone: Phone, other: Phone) -> None:
    colleague = str(uuid.uuid4())
    phone.call("choosePerson", colleague)
    other.until("(id) => window.book.person.value === id", colleague)
    phone.call("choosePerson", None)
    other.until("() => window.book.person.value === null")
