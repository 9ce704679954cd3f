"""The phone's clock is wrong, or is set between two saves: order and times are true for all, and the user is told."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import Route

from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.faults.phone_clock import DAY, YEAR, give_clock, set_clock
from tests.faults.truth import agree, amounts, says, says_not, settle, shown

NEAR = timedelta(seconds=30)
WRONG = {"one day back": -DAY, "one year ahead": YEAR}
wrong_clock = pytest.mark.parametrize("ahead", WRONG.values(), ids=WRONG.keys())


@pytest.fixture
def phones(new_phone: Callable[[], Phone], served: Served) -> Callable[[timedelta], Phone]:
    """Makes paired phones whose clock can be set."""

    def make(ahead: timedelta) -> Phone:
        phone = new_phone()
        give_clock(phone.context)
        phone.page.goto(f"{served.url}/healthz")
        set_clock(phone, ahead)
        return phone.open().offline_ready().pair(served.pairing_code())

    return make


def moments(served: Served, job: str) -> dict[float, datetime]:
    """When the book takes each amount of a job to have been logged."""
    rows = served.rows("SELECT body, taken_ms + offset_ms FROM entries WHERE job_id = ?", job)
    return {json.loads(body)["data"]["amount"]: datetime.fromtimestamp(ms / 1000, UTC) for body, ms in rows}


def times_shown(phone: Phone, job: str) -> dict[float, datetime]:
    found = [logged["entry"] for logged in phone.entries(job)]
    return {entry["data"]["amount"]: datetime.fromisoformat(entry["taken_at"]) for entry in found}


def all_near(times: dict[float, datetime], true: dict[float, datetime]) -> None:
    assert times.keys() == true.keys()
    assert {n: at for n, at in times.items() if abs(at - true[n]) > NEAR} == {}


def estimate_out_by(served: Served, phone: Phone, ahead: timedelta) -> timedelta:
    """How far the service's estimate of this phone's clock is out: what comes closer together may change places."""
    device = phone.signal("session")["deviceId"]
    [(ms,)] = served.rows("SELECT clock_offset_ms FROM devices WHERE id = ?", device)
    return abs(timedelta(milliseconds=ms) + ahead)


def set_by_hand(phone: Phone, ahead: timedelta) -> None:
    """A person takes a while to set a clock: longer than a request is on its way, by which the estimate may be out."""
    time.sleep(1)
    set_clock(phone, ahead)


def turn(phone: Phone, job: str, amount: float, true: dict[float, datetime]) -> None:
    true[amount] = datetime.now(UTC)
    phone.turn(job, amount)


@wrong_clock
def test_two_phones_one_with_a_wrong_clock_agree_on_order_and_times(
    phones: Callable[[timedelta], Phone], served: Served, ahead: timedelta
) -> None:
    wrong, right = phones(ahead), phones(timedelta())
    true: dict[float, datetime] = {}
    job = wrong.new_job()
    settle(wrong)
    settle(right)
    turn(wrong, job, 1, true)
    settle(wrong)
    out_by = estimate_out_by(served, wrong, ahead)
    for n in range(2, 7):
        time.sleep(out_by.total_seconds() + 0.05)
        turn(wrong if n % 2 else right, job, n, true)
    settle(wrong)
    settle(right)
    settle(wrong)
    assert amounts(served, job) == [1, 2, 3, 4, 5, 6]
    all_near(moments(served, job), true)
    for phone in (wrong, right):
        phone.wait_entries(job, 6)
        assert shown(phone, job) == [1, 2, 3, 4, 5, 6]
        all_near(times_shown(phone, job), true)
    far = "1 day behind" if ahead < timedelta() else "365 days ahead"
    says(wrong, f"This phone's clock is {far}.")
    says_not(right, "This phone's clock is")


class OutOfReach:
    """A phone that has heard the right time, and has no signal from here on."""

    def __init__(self, phone: Phone, served: Served) -> None:
        self.phone, self.served, self.job = phone, served, phone.new_job()
        self.true: dict[float, datetime] = {}
        self.turn()
        settle(phone)
        phone.context.set_offline(True)

    def turn(self) -> None:
        turn(self.phone, self.job, len(self.true) + 1, self.true)

    def back_in_reach(self) -> None:
        """Once there is a signal: all of it in order and at its true time, in the book and on the phone."""
        self.phone.context.set_offline(False)
        agree(self.phone, self.served, self.job, list(self.true))
        all_near(moments(self.served, self.job), self.true)
        all_near(times_shown(self.phone, self.job), self.true)


@wrong_clock
def test_a_clock_set_between_two_saves_without_a_signal(
    phones: Callable[[timedelta], Phone], served: Served, ahead: timedelta
) -> None:
    phone = phones(timedelta())
    work = OutOfReach(phone, served)
    work.turn()
    work.turn()
    set_by_hand(phone, ahead)
    work.turn()
    phone.reload()
    work.turn()
    work.back_in_reach()
    says(phone, "This phone's clock is")
    # And set right again, once more with entries on both sides.
    phone.context.set_offline(True)
    work.turn()
    set_by_hand(phone, timedelta())
    work.turn()
    work.back_in_reach()
    says_not(phone, "This phone's clock is")


@wrong_clock
def test_a_clock_set_twice_without_a_signal(
    phones: Callable[[timedelta], Phone], served: Served, ahead: timedelta
) -> None:
    """Wrong for a while, and right again before there is a signal: nobody was there to tell the phone."""
    phone = phones(timedelta())
    work = OutOfReach(phone, served)
    work.turn()
    set_by_hand(phone, ahead)
    work.turn()
    phone.reload()
    work.turn()
    set_by_hand(phone, timedelta())
    work.turn()
    work.back_in_reach()
    says_not(phone, "This phone's clock is")


@wrong_clock
def test_a_correction_made_by_a_wrong_clock_keeps_the_place_of_what_it_corrects(
    phones: Callable[[timedelta], Phone], served: Served, ahead: timedelta
) -> None:
    wrong, right = phones(ahead), phones(timedelta())
    true: dict[float, datetime] = {}
    job = right.new_job()
    true[1] = datetime.now(UTC)
    slip = right.turn(job, 1)["entry"]["id"]
    time.sleep(1)
    turn(right, job, 2, true)
    settle(right)
    settle(wrong)
    data = {"adjuster": "rear_trim", "amount": 1.5, "unit": "step"}
    wrong.call("log", job, {"kind": "adjustment", "stage": "road", "replaces": slip, "data": data})
    settle(wrong)
    assert [n for n in amounts(served, job) if n != 1] == [1.5, 2]
    true[1.5] = true[1]
    all_near(moments(served, job), true)


def test_a_clock_set_back_does_not_make_the_phone_wait_a_day(
    phones: Callable[[timedelta], Phone], served: Served
) -> None:
    """The service asked for two seconds: by the time that passes, not by the clock on the screen."""
    phone = phones(timedelta())
    job = phone.new_job()
    settle(phone)
    asked = []

    def busy(route: Route) -> None:
        asked.append(route.request.url)
        problem = {"type": "about:blank", "title": "Busy", "status": 503}
        route.fulfill(
            status=503, content_type="application/problem+json", headers={"Retry-After": "2"}, body=json.dumps(problem)
        )

    phone.page.route("**/api/v1/entries", busy, times=1)
    phone.turn(job, 1)
    phone.until("() => window.book.signal.value === 'busy'")
    set_clock(phone, -DAY)
    phone.wait_sent()
    assert asked
    agree(phone, served, job, [1])
