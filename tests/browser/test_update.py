"""An update of the app never interrupts a ride, is taken before one starts, and takes nothing that the phone holds."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.phone import Phone
from tests.browser.phone_browser import PhoneBrowser
from tests.browser.served import Served
from tests.faults.between import Answer, Between, Exchange

# What a worker that had looked too early would leave behind: a ride is open, and the newer app waits.
OPEN_UNSEEN = """(job) => new Promise((resolve, reject) => {
  const opening = indexedDB.open("roadproof");
  opening.onsuccess = () => {
    const tx = opening.result.transaction("meta", "readwrite");
    tx.objectStore("meta").put({ jobId: job, openedAt: new Date().toISOString(), marks: [] }, "ride");
    tx.oncomplete = () => resolve(opening.result.close());
    tx.onabort = () => reject(tx.error);
  };
})"""


@pytest.fixture
def riding(phone: Phone) -> Phone:
    """A paired phone on the older app."""
    assert version(phone) == "1"
    return phone


@pytest.fixture
def between(served: Served) -> Iterator[Between]:
    network = Between(served)
    yield network
    network.close()


def version(phone: Phone) -> str:
    return phone.page.evaluate("() => window.version")


def look_for_update(phone: Phone) -> str:
    """Ask for the newer worker; what became of it."""
    return phone.page.evaluate(
        """async () => {
          const registration = await navigator.serviceWorker.getRegistration();
          await registration.update().catch(() => undefined);
          const worker = registration.installing ?? registration.waiting;
          if (!worker) return "none";
          while (worker.state === "installing") await new Promise((next) => setTimeout(next, 20));
          return worker.state;
        }"""
    )


def amounts(phone: Phone, job: str, count: int) -> list[float]:
    return [logged["entry"]["data"]["amount"] for logged in phone.wait_entries(job, count)]


def test_an_update_during_a_ride_is_refused_even_when_the_page_is_killed(
    riding: Phone, served: Served, newer_app: Path
) -> None:
    job = riding.new_job()
    riding.call("openRide", job)
    served.release(newer_app)
    assert look_for_update(riding) == "redundant"
    context = riding.context
    riding.page.close()
    context.set_offline(True)
    again = Phone(context.new_page(), served.url).open()
    assert version(again) == "1"
    assert again.signal("ride")["jobId"] == job
    again.turn(job, 1)
    context.set_offline(False)
    assert look_for_update(again) == "redundant"
    again.call("closeRide")
    assert look_for_update(again) == "installed"
    again.page.close()
    later = Phone(context.new_page(), served.url).open()
    later.until("() => window.version === '2'")
    later.wait_entries(job, 1)


def test_a_waiting_update_is_taken_at_a_start_without_a_signal(riding: Phone, served: Served, newer_app: Path) -> None:
    """Nothing of the older app is left open, so the newer one starts, whole: it was brought before it could wait."""
    job = riding.new_job()
    riding.turn(job, 1)
    riding.wait_sent()
    served.release(newer_app)
    assert look_for_update(riding) == "installed"
    context = riding.context
    context.set_offline(True)
    riding.turn(job, 2)
    assert version(riding) == "1"
    riding.page.close()
    again = Phone(context.new_page(), served.url).open()
    again.until("() => window.version === '2' && !!window.book?.loaded.value")
    assert amounts(again, job, 2) == [1, 2]
    for where in ("plan", "bench/front_cage", "road", "trend", "handover"):
        again.go(f"#/jobs/{job}/{where}")
        again.page.locator("h1").first.wait_for(state="attached")
    again.turn(job, 3)
    context.set_offline(False)
    again.call("sendNow")
    again.wait_sent()
    assert amounts(again, job, 3) == [1, 2, 3]
    assert served.rows("SELECT count(*), count(DISTINCT device_seq) FROM entries") == [(3, 3)]


def test_an_update_that_is_being_brought_when_the_ride_begins_waits_until_it_is_closed(
    riding: Phone, served: Served, between: Between, newer_app: Path
) -> None:
    """The worker has looked before the ride, and looks again when it has all its files."""
    riding.url = between.url
    riding.open().offline_ready().pair(served.pairing_code())
    job = riding.new_job()
    riding.wait_sent()
    served.release(newer_app)
    asked, let_go = threading.Event(), threading.Event()

    def hold(exchange: Exchange) -> Answer:
        asked.set()
        let_go.wait(20)
        return exchange.forward()

    between.on("/assets/app-", hold)
    riding.page.evaluate(
        "async () => { void (await navigator.serviceWorker.getRegistration()).update().catch(() => undefined); }"
    )
    riding.until("async () => !!(await navigator.serviceWorker.getRegistration()).installing")
    riding.wait_for(asked.is_set)
    riding.call("openRide", job)
    riding.turn(job, 1)
    between.clear()
    let_go.set()
    riding.until("async () => !(await navigator.serviceWorker.getRegistration()).installing")
    assert riding.page.evaluate("async () => (await navigator.serviceWorker.getRegistration()).waiting") is None

    context = riding.context
    context.set_offline(True)
    riding.page.close()
    again = Phone(context.new_page(), between.url).open()
    assert version(again) == "1"
    assert again.signal("ride")["jobId"] == job
    again.turn(job, 2)
    assert amounts(again, job, 2) == [1, 2]
    context.set_offline(False)
    again.call("closeRide")
    assert look_for_update(again) == "installed"


def test_a_phone_killed_on_a_ride_with_an_update_waiting_opens_whole_without_a_signal(
    phone_browser: PhoneBrowser, served: Served, newer_app: Path
) -> None:
    """The worker's last look and the ride's first breath may miss each other. Then the newer app starts in the middle
    of the ride; ride, marks and entries are there, and the ride ends as it would have."""
    phone = Phone(phone_browser.open().new_page(), served.url).open().offline_ready().pair(served.pairing_code())
    job = phone.new_job()
    phone.turn(job, 1)
    phone.wait_sent()
    served.release(newer_app)
    assert look_for_update(phone) == "installed"
    phone.context.set_offline(True)
    phone.page.evaluate(OPEN_UNSEEN, job)
    phone.turn(job, 2)
    phone.turn(job, 3)
    phone_browser.kill()

    context = phone_browser.open()
    context.set_offline(True)
    phone = Phone(context.new_page(), served.url).open()
    phone.until("() => window.version === '2' && !!window.book?.loaded.value")
    assert phone.signal("ride")["jobId"] == job
    assert amounts(phone, job, 3) == [1, 2, 3]
    phone.call("markMoment")
    phone.turn(job, 4)
    phone.call("closeRide")
    phone.reload()
    assert phone.signal("ride") is None
    context.set_offline(False)
    phone.call("sendNow")
    phone.wait_sent()
    assert amounts(phone, job, 4) == [1, 2, 3, 4]
    assert served.rows("SELECT count(*), count(DISTINCT device_seq) FROM entries") == [(4, 4)]


def test_a_waiting_update_is_taken_before_a_ride_starts(riding: Phone, served: Served, newer_app: Path) -> None:
    job = riding.new_job()
    riding.wait_sent()
    served.release(newer_app)
    assert look_for_update(riding) == "installed"
    assert riding.signal("updateReady") is True
    # The page is loaded anew under the call, which therefore never answers.
    riding.page.evaluate("(job) => void window.book.openRide(job)", job)
    riding.until("() => window.version === '2' && !!window.book.ride.value")
    assert riding.signal("ride")["jobId"] == job
    waiting = "async () => (await navigator.serviceWorker.getRegistration()).waiting === null"
    assert riding.page.evaluate(waiting)


def test_a_portal_in_place_of_the_app_is_never_kept(
    riding: Phone, served: Served, newer_app: Path, tmp_path: Path
) -> None:
    portal = shutil.copytree(newer_app, tmp_path / "portal")
    for script in (portal / "assets").glob("*.js"):
        script.write_text("<html>Log in to this network</html>")
    served.release(portal)
    assert look_for_update(riding) in ("redundant", "none")
    riding.reload()
    assert version(riding) == "1"
