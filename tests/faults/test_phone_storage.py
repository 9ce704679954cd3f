"""The phone cannot write: full, a commit that fails, a connection gone. What was not saved is never shown as saved."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Error, expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.faults.full_storage import fill, free, limit
from tests.faults.truth import agree, amounts, device_numbers, says, says_not

FULL = "this phone's storage is full. Make room first. Try again."
FAILED = "this phone could not write it. Try again."
# The commit itself fails, as it does when the disk cannot take it: every request before it has succeeded.
FAIL_COMMITS = """() => {
  const transaction = IDBDatabase.prototype.transaction;
  window.failures = 0;
  IDBDatabase.prototype.transaction = function (stores, mode, options) {
    const tx = transaction.call(this, stores, mode, options);
    const names = [].concat(stores);
    if (mode !== "readwrite" || window.failures === 0) return tx;
    const put = IDBObjectStore.prototype.put;
    for (const name of names) {
      const store = tx.objectStore(name);
      store.put = function (...given) {
        const request = put.apply(this, given);
        request.addEventListener("success", () => {
          if (window.failures-- > 0) tx.abort();
        });
        return request;
      };
    }
    return tx;
  };
}"""


def at_work(phone: Phone, where: str) -> tuple[Mechanic, str]:
    """An open build with two readings, offline, and a screen of it."""
    job = phone.new_job()
    phone.turn(job, 1)
    phone.wait_sent()
    phone.context.set_offline(True)
    phone.go(f"#/jobs/{job}/{where}")
    return Mechanic(phone.page), job


def start_unchecked(mechanic: Mechanic) -> None:
    mechanic.tap(mechanic.page.get_by_role("button", name=re.compile("^Start with")))


@pytest.fixture
def narrow_phone(new_phone: Callable[[], Phone], served: Served) -> Phone:
    """A paired phone with little room left for this site."""
    phone = new_phone()
    phone.page.goto(f"{served.url}/healthz")
    limit(phone)
    return phone.open().offline_ready().pair(served.pairing_code())


def test_a_full_phone_says_so_keeps_the_digits_in_hand_and_goes_on_once_there_is_room(
    narrow_phone: Phone, served: Served
) -> None:
    phone = narrow_phone
    mechanic, job = at_work(phone, "bench/front_cage")
    fill(phone)
    line = phone.page.locator(".now", has_text="Cage height")

    def keep_while_full() -> None:
        if not line.is_visible():
            mechanic.tap(phone.page.locator("button.take", has_text="Cage height"))
        mechanic.type("1.4")
        mechanic.tap(phone.page.locator(".pad").get_by_role("button", name="Keep", exact=True))
        says(phone, f"Not saved: {FULL}")
        expect(line).to_contain_text("1.4")
        assert len(phone.entries(job)) == 1
        assert phone.signal("pending")["count"] == 0, "what was not saved is not counted as kept"

    keep_while_full()
    # Still full after a new start: what was saved before is there, what was not is not, and is said again.
    phone.reload()
    phone.wait_entries(job, 1)
    keep_while_full()
    free(phone)
    mechanic.tap(phone.page.locator(".pad").get_by_role("button", name="Keep", exact=True))
    line.wait_for(state="detached")
    says_not(phone, "Not saved")
    phone.reload()
    assert [e["entry"]["data"].get("value") for e in phone.wait_entries(job, 2)] == [None, 1.4]
    phone.context.set_offline(False)
    phone.call("sendNow")
    phone.wait_sent()
    assert device_numbers(served, job) == [1, 2]


def test_a_phone_that_is_full_when_the_answer_comes_confirms_later(narrow_phone: Phone, served: Served) -> None:
    """A full phone sends what it holds, but cannot note that: it stays queued until there is room, and counts once."""
    phone = narrow_phone
    _, job = at_work(phone, "plan")
    phone.turn(job, 2)
    fill(phone)
    phone.context.set_offline(False)
    phone.call("sendNow")
    assert phone.signal("pending")["count"] == 1
    assert [e["state"] for e in phone.wait_entries(job, 2)] == ["confirmed", "queued"]
    assert amounts(served, job) == [1, 2]
    phone.go("#/settings")
    says(phone, "The service's answer is not noted: this phone's storage is full. Make room first.")
    free(phone)
    agree(phone, served, job, [1, 2])


@pytest.mark.parametrize("how", ["full", "commit"])
def test_a_tap_on_the_road_that_was_not_written_is_said_so(narrow_phone: Phone, served: Served, how: str) -> None:
    """Marks, checks and the ride itself: a tap that asks nothing back must not fail in silence."""
    phone = narrow_phone
    mechanic, job = at_work(phone, "road")
    words = FULL if how == "full" else FAILED
    stop, work = break_writing(phone, how)

    mechanic.tap(phone.page.get_by_role("button", name=re.compile("^Start the test ride")))
    stop()
    start_unchecked(mechanic)
    says(phone, words)
    assert phone.signal("ride") is None
    work()
    start_unchecked(mechanic)
    says(phone, "it moves nothing on the bike")
    says_not(phone, "Not saved")

    stop()
    mechanic.tap(phone.page.get_by_role("button", name=re.compile("^Mark this moment")))
    says(phone, words)
    says_not(phone, "1 marked")
    work()
    mechanic.tap(phone.page.get_by_role("button", name=re.compile("^Mark this moment")))
    says(phone, "1 marked")
    says_not(phone, "Not saved")

    row = phone.page.get_by_role("group", name="Rear fine position")
    mechanic.tap(row.get_by_role("button").nth(1))
    stop()
    mechanic.tap(phone.page.get_by_role("button", name=re.compile("^Write down")))
    says(phone, words)
    says_not(phone, "Written down:")
    assert len(phone.entries(job)) == 1
    work()
    mechanic.write_down()
    phone.context.set_offline(False)
    agree(phone, served, job, [1, 1])
    assert device_numbers(served, job) == [1, 2]


def break_writing(phone: Phone, how: str) -> tuple[Callable[[], None], Callable[[], None]]:
    """What makes writing fail from now on, and what mends it."""
    if how == "full":
        return lambda: fill(phone), lambda: free(phone)
    phone.page.evaluate(FAIL_COMMITS)
    return (
        lambda: phone.page.evaluate("() => { window.failures = Infinity; }"),
        lambda: phone.page.evaluate("() => { window.failures = 0; }"),
    )


def test_a_commit_that_fails_is_not_shown_as_saved_and_takes_no_number(phone: Phone, served: Served) -> None:
    _, job = at_work(phone, "plan")
    phone.page.evaluate(FAIL_COMMITS)
    told = [1]
    for n in range(2, 12):
        if n % 3 == 0:
            phone.page.evaluate("() => { window.failures = Infinity; }")
            with pytest.raises(Error, match="Not saved: this phone could not write it"):
                phone.turn(job, 100 + n)
            phone.page.evaluate("() => { window.failures = 0; }")
            assert [e["entry"]["data"]["amount"] for e in phone.entries(job)] == told
        phone.turn(job, n)
        told.append(n)
    phone.reload()
    assert [e["entry"]["data"]["amount"] for e in phone.wait_entries(job, len(told))] == told
    phone.context.set_offline(False)
    agree(phone, served, job, told)
    assert device_numbers(served, job) == list(range(1, len(told) + 1))


def force_close(phone: Phone) -> None:
    """The browser closes every connection of the site by its own tool for it, as it does when storage fails."""
    tool = phone.context.new_page()
    tool.goto("chrome://indexeddb-internals")
    ours = tool.locator("indexeddb-bucket").first
    ours.locator(".force-close").click()
    expect(ours.locator(".connection-count").first).to_have_text(re.compile(r"^\s*0\s*$"))
    tool.close()


def test_a_connection_that_the_browser_closes_is_opened_again(phone: Phone, served: Served) -> None:
    mechanic, job = at_work(phone, "road")
    mechanic.start_ride()
    force_close(phone)
    mechanic.turned("Rear fine position", 2)
    force_close(phone)
    phone.turn(job, 3)
    phone.reload()
    phone.wait_entries(job, 3)
    force_close(phone)
    phone.context.set_offline(False)
    agree(phone, served, job, [1, 2, 3])


def test_a_connection_lost_in_the_middle_of_a_save_saves_once_or_says_not(phone: Phone, served: Served) -> None:
    """Closed between the write and its commit: the page may say either, but only what is true."""
    _, job = at_work(phone, "plan")
    phone.page.evaluate(
        """() => {
          const transaction = IDBDatabase.prototype.transaction;
          window.lose = false;
          IDBDatabase.prototype.transaction = function (stores, mode, options) {
            const tx = transaction.call(this, stores, mode, options);
            if (mode === "readwrite" && window.lose) {
              window.lose = false;
              this.close();
              this.dispatchEvent(new Event("close"));
            }
            return tx;
          };
        }"""
    )
    told = [1]
    for n in range(2, 6):
        phone.page.evaluate("() => { window.lose = true; }")
        try:
            phone.turn(job, n)
            told.append(n)
        except Error as error:
            assert "Not saved" in error.message
        assert [e["entry"]["data"]["amount"] for e in phone.entries(job)] == told
    phone.context.set_offline(False)
    agree(phone, served, job, told)
    assert device_numbers(served, job) == list(range(1, len(told) + 1))
