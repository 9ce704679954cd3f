"""The browser throws away what the phone holds: the loss is said plainly, with its number; the phone works again."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.phone_browser import PhoneBrowser
from tests.browser.served import Served
from tests.faults.truth import agree, amounts, says, says_not, settle, shown

MARK = "() => localStorage.getItem('roadproof')"  # how much is held, as the phone remembers it
ON_ITS_DISK = 6000  # milliseconds; Chromium brings what is in localStorage to its disk within five seconds
OLDER = """() => {
  const mark = JSON.parse(localStorage.getItem('roadproof'));
  localStorage.setItem('roadproof', JSON.stringify({ ...mark, held: 1, n: mark.n - 2 }));
}"""
CLEARED = "The browser has cleared this phone's storage."


def some_unsent(phone: Phone, unsent: int) -> str:
    """A job of two confirmed entries, and some that were never sent."""
    job = phone.new_job()
    phone.turn(job, 1)
    phone.turn(job, 2)
    phone.wait_sent()
    phone.context.set_offline(True)
    for n in range(unsent):
        phone.turn(job, 10 + n)
    phone.wait_for(lambda: json.loads(phone.page.evaluate(MARK))["held"] == unsent)
    return job


def back_to_work(phone: Phone, served: Served, job: str) -> None:
    """Paired again, what was confirmed is there, and the next save is too."""
    phone.pair(served.pairing_code())
    phone.wait_entries(job, 2)
    assert shown(phone, job) == [1, 2]
    phone.turn(job, 3)
    agree(phone, served, job, [1, 2, 3])


def clear(phone: Phone, what: str) -> None:
    tool = phone.context.new_cdp_session(phone.page)
    tool.send("Storage.clearDataForOrigin", {"origin": phone.url, "storageTypes": what})


def test_databases_evicted_between_two_starts(phone_browser: PhoneBrowser, served: Served) -> None:
    context = phone_browser.open()
    phone = Phone(context.new_page(), served.url).open().offline_ready().pair(served.pairing_code())
    device = phone.signal("session")["deviceId"]
    job = some_unsent(phone, 3)
    phone.page.wait_for_timeout(ON_ITS_DISK)
    phone_browser.close()
    phone_browser.evict_databases()

    context = phone_browser.open()
    phone = Phone(context.new_page(), served.url).open()
    says(phone, CLEARED)
    says(phone, "3 entries that had not been confirmed are lost")
    phone.reload()
    says(phone, "3 entries that had not been confirmed are lost")
    back_to_work(phone, served, job)
    phone.go("#/")
    says(phone, "3 entries that had not been confirmed are lost")
    phone.page.get_by_role("button", name="I have read it").click()
    says_not(phone, CLEARED)
    phone.reload()
    says_not(phone, CLEARED)
    # A count that starts anew belongs to a new device: no number is given twice.
    assert phone.signal("session")["deviceId"] != device
    assert amounts(served, job) == [1, 2, 3]


@pytest.mark.parametrize(
    "what", ["indexeddb,cache_storage,service_workers", "indexeddb,local_storage,cache_storage,service_workers"]
)
def test_what_browsers_clear_together_still_leaves_a_witness(phone: Phone, served: Served, what: str) -> None:
    """Some clear databases and caches, some what scripts have written beside them too; a cookie outlives both."""
    job = some_unsent(phone, 1)
    context = phone.context
    phone.page.goto("about:blank")
    clear(phone, what)
    context.set_offline(False)
    phone.open()
    says(phone, "1 entry that had not been confirmed is lost: write it down again")
    back_to_work(phone, served, job)


def test_of_two_witnesses_the_newer_one_counts(phone: Phone, served: Served) -> None:
    """A browser that ends early has brought one of them to its disk and not the other."""
    some_unsent(phone, 3)
    phone.page.evaluate(OLDER)
    phone.page.goto("about:blank")
    clear(phone, "indexeddb,cache_storage,service_workers")
    phone.context.set_offline(False)
    phone.open()
    says(phone, "3 entries that had not been confirmed are lost")


PHOTO = """async (job) => {
  const bytes = new Uint8Array([0xff, 0xd8, 0xff, 0xd9]);
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const sha256 = [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  const data = { text: "A photo of the dropout." };
  await window.book.log(job, { kind: "remark", stage: "bench", data }, [{ sha256, bytes: bytes.buffer }]);
}"""


def test_photos_lost_before_they_were_sent_are_told_too(phone: Phone, served: Served) -> None:
    job = some_unsent(phone, 1)
    phone.new_job()
    phone.page.evaluate(PHOTO, job)
    phone.wait_for(lambda: json.loads(phone.page.evaluate(MARK))["photos"] == 1)
    context = phone.context
    phone.page.goto("about:blank")
    clear(phone, "indexeddb")
    context.set_offline(False)
    phone.open()
    says(phone, "2 entries and 2 bikes or jobs that had not been confirmed are lost")
    says(phone, "1 photo that had not been sent is lost.")
    back_to_work(phone, served, job)


def test_everything_cleared_leaves_no_witness_and_no_claim(phone: Phone, served: Served) -> None:
    """Nothing on the phone can know a number then: it says what follows for a phone that was paired before."""
    job = some_unsent(phone, 2)
    phone.page.goto("about:blank")
    clear(phone, "all")
    phone.context.clear_cookies()
    phone.context.set_offline(False)
    phone.open()
    says_not(phone, CLEARED)
    says(phone, "If this phone was paired before, its browser has cleared it")
    back_to_work(phone, served, job)


def test_nothing_unsent_means_nothing_lost(phone: Phone, served: Served) -> None:
    job = some_unsent(phone, 0)
    phone.page.goto("about:blank")
    clear(phone, "indexeddb")
    phone.context.set_offline(False)
    phone.open()
    expect(phone.page.get_by_role("heading", name="Pair this phone")).to_be_visible()
    says_not(phone, CLEARED)
    back_to_work(phone, served, job)


def test_storage_cleared_under_an_open_page(phone: Phone, served: Served) -> None:
    """A person clears the site's data while the app is open: it does not go on as if nothing had happened."""
    job = some_unsent(phone, 2)
    clear(phone, "indexeddb")
    phone.context.set_offline(False)
    phone.turn(job, 3)
    says(phone, "2 entries that had not been confirmed are lost")
    expect(phone.page.get_by_role("heading", name="Pair this phone")).to_be_visible()
    phone.pair(served.pairing_code())
    agree(phone, served, job, [1, 2, 3])


def test_a_phone_that_was_only_unpaired_has_lost_nothing(phone: Phone, served: Served) -> None:
    job = some_unsent(phone, 2)
    phone.call("unpair")
    phone.reload()
    says_not(phone, CLEARED)
    says_not(phone, "If this phone was paired before")
    phone.context.set_offline(False)
    phone.pair(served.pairing_code())
    settle(phone)
    assert amounts(served, job) == [1, 2, 10, 11]
