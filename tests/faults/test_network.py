"""The network between phone and service fails; both are as they should be."""

from __future__ import annotations

import signal
import threading

import pytest

from tests.browser.phone import Phone
from tests.browser.phone_browser import PhoneBrowser
from tests.browser.served import Served
from tests.faults.between import ENTRIES, Act, Answer, Between, Exchange, answer_lost, html, lost
from tests.faults.network_faults import at_once, later_first
from tests.faults.truth import KEPT_ONE, agree, amounts, device_numbers, one_job, says, says_not, shown


@pytest.mark.parametrize(
    ("act", "reached"),
    [(lost, [1]), (answer_lost, [1, 2])],
    ids=["before the service has it", "after the commit"],
)
def test_page_killed_while_sending(
    act: Act, reached: list[int], phone_browser: PhoneBrowser, served: Served, between: Between
):
    """The browser is gone at once, as on a phone that runs out of memory or power."""
    held, go_on = threading.Event(), threading.Event()

    def hold(exchange: Exchange) -> None:
        act(exchange)
        held.set()
        go_on.wait(10)

    phone = Phone(phone_browser.open().new_page(), between.url).open().offline_ready().pair(served.pairing_code())
    job = one_job(phone)
    between.on(ENTRIES, hold)
    phone.turn(job, 2)
    phone.wait_for(held.is_set)
    phone.turn(job, 3)
    phone_browser.kill()
    assert amounts(served, job) == reached
    go_on.set()
    between.clear()
    phone = Phone(phone_browser.open().new_page(), between.url).open()
    agree(phone, served, job, [1, 2, 3])
    says_not(phone, "not yet confirmed")


def test_answer_lost_after_the_commit(far_phone: Phone, served: Served, between: Between):
    job = one_job(far_phone)
    between.on(ENTRIES, answer_lost)
    far_phone.turn(job, 2)
    says(far_phone, KEPT_ONE)
    says(far_phone, "No signal.")
    assert amounts(served, job) == [1, 2]
    assert shown(far_phone, job) == [1, 2]
    between.clear()
    agree(far_phone, served, job, [1, 2])
    says_not(far_phone, "No signal.")


def test_answer_cut_in_the_middle(far_phone: Phone, served: Served, between: Between):
    job = one_job(far_phone)
    between.on(ENTRIES, lambda exchange: exchange.forward().cut())
    far_phone.turn(job, 2)
    says(far_phone, KEPT_ONE)
    assert amounts(served, job) == [1, 2]
    between.clear()
    agree(far_phone, served, job, [1, 2])


def test_double_delivery_at_the_same_time(far_phone: Phone, served: Served, between: Between):
    job = one_job(far_phone)
    statuses: list[list[str]] = []

    def twice(exchange: Exchange) -> Answer:
        """The phone hears of the one that came second."""
        answers = at_once(exchange)
        statuses.extend([result["status"] for result in answer.json["results"]] for answer in answers)
        return answers[1]

    far_phone.context.set_offline(True)
    for n in range(2, 12):
        far_phone.turn(job, n)
    between.on(ENTRIES, twice)
    far_phone.context.set_offline(False)
    far_phone.wait_sent()
    assert sorted(map(set, statuses), key=sorted) == [{"duplicate"}, {"stored"}]
    agree(far_phone, served, job, list(range(1, 12)))
    says_not(far_phone, "not yet confirmed")


def test_reordered_delivery(far_phone: Phone, new_phone, served: Served, between: Between):
    """The later half of what was sent reaches the service first. A second phone, which reads it in the order in which
    it came in, shows it in the order in which it was done."""
    job = one_job(far_phone)

    far_phone.context.set_offline(True)
    for n in range(2, 8):
        far_phone.turn(job, n)
    between.on(ENTRIES, later_first)
    far_phone.context.set_offline(False)
    far_phone.wait_sent()
    assert device_numbers(served, job) == [1, 5, 6, 7, 2, 3, 4]
    agree(far_phone, served, job, [1, 2, 3, 4, 5, 6, 7])
    second = new_phone().open().pair(served.pairing_code())
    second.wait_entries(job, 7)
    assert shown(second, job) == [1, 2, 3, 4, 5, 6, 7]


def test_late_copy_of_a_batch(far_phone: Phone, served: Served, between: Between):
    """The network held a batch back and the phone sent it again with what came after; then the first copy arrives."""
    job = one_job(far_phone)
    kept: list[Exchange] = []
    between.on(ENTRIES, kept.append, times=1)
    between.on(ENTRIES, lost)
    far_phone.turn(job, 2)
    far_phone.wait_for(lambda: kept)
    says(far_phone, KEPT_ONE)
    between.clear()
    far_phone.turn(job, 3)
    far_phone.wait_sent()
    assert [result["status"] for result in kept[0].forward().json["results"]] == ["duplicate"]
    agree(far_phone, served, job, [1, 2, 3])


def test_service_killed_and_started_again(phone: Phone, served: Served):
    job = one_job(phone)
    served.stop(signal.SIGKILL)
    phone.turn(job, 2)
    says(phone, f"No signal. {KEPT_ONE}")
    served.start()
    agree(phone, served, job, [1, 2])
    says_not(phone, "No signal.")


def test_captive_portal(far_phone: Phone, served: Served, between: Between):
    """A page of the network's own for every request: the app opens and works, nothing counts as sent."""
    job = one_job(far_phone)
    between.on("/", html(200))
    far_phone.turn(job, 2)
    says(far_phone, KEPT_ONE)
    says(far_phone, "Something else than the service answers.")
    far_phone.reload()
    far_phone.turn(job, 3)
    far_phone.wait_pending(2)
    says(far_phone, "2 entries not yet confirmed, all are kept on this phone")
    assert amounts(served, job) == [1]
    between.clear()
    agree(far_phone, served, job, [1, 2, 3])
    says_not(far_phone, "Something else than the service answers.")


def test_captive_portal_that_redirects(far_phone: Phone, served: Served, between: Between):
    job = one_job(far_phone)
    between.on("/login", html(200))
    between.on("/", html(302, Location="/login"))
    far_phone.turn(job, 2)
    says(far_phone, KEPT_ONE)
    says(far_phone, "Something else than the service answers.")
    assert amounts(served, job) == [1]
    assert between.count("/login") == 0
    between.clear()
    agree(far_phone, served, job, [1, 2])
