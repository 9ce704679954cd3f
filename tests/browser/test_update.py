"""An update of the app never interrupts a ride, and is taken before one starts."""

from __future__ import annotations

import shutil
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright

from tests.browser.phone import Phone
from tests.browser.served import Served


@pytest.fixture
def released(tmp_path: Path, phone_app: Path) -> Iterator[Served]:
    """A service whose phone app a test can replace by a newer one."""
    service = Served(tmp_path, shutil.copytree(phone_app, tmp_path / "dist"))
    service.start()
    yield service
    service.stop(signal.SIGKILL)


@pytest.fixture
def riding(browser: Browser, playwright: Playwright, released: Served) -> Iterator[Phone]:
    """A paired phone with a job, on the older app."""
    context = browser.new_context(**playwright.devices["Pixel 7"])
    phone = Phone(context.new_page(), released.url).open().offline_ready().pair(released.pairing_code())
    assert version(phone) == "1"
    yield phone
    context.close()


def version(phone: Phone) -> str:
    return phone.page.evaluate("() => window.version")


def release(served: Served, app: Path) -> None:
    shutil.rmtree(served.phone)
    shutil.copytree(app, served.phone)


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


def test_an_update_during_a_ride_is_refused_even_when_the_page_is_killed(
    riding: Phone, released: Served, newer_app: Path
) -> None:
    job = riding.new_job()
    riding.call("openRide", job)
    release(released, newer_app)
    assert look_for_update(riding) == "redundant"
    context = riding.context
    riding.page.close()
    context.set_offline(True)
    again = Phone(context.new_page(), released.url).open()
    assert version(again) == "1"
    assert again.signal("ride")["jobId"] == job
    again.turn(job, 1)
    context.set_offline(False)
    assert look_for_update(again) == "redundant"
    again.call("closeRide")
    assert look_for_update(again) == "installed"
    again.page.close()
    later = Phone(context.new_page(), released.url).open()
    later.until("() => window.version === '2'")
    later.wait_entries(job, 1)


def test_a_waiting_update_is_taken_before_a_ride_starts(riding: Phone, released: Served, newer_app: Path) -> None:
    job = riding.new_job()
    riding.wait_sent()
    release(released, newer_app)
    assert look_for_update(riding) == "installed"
    assert riding.signal("updateReady") is True
    # The page is loaded anew under the call, which therefore never answers.
    riding.page.evaluate("(job) => void window.book.openRide(job)", job)
    riding.until("() => window.version === '2' && !!window.book.ride.value")
    assert riding.signal("ride")["jobId"] == job
    waiting = "async () => (await navigator.serviceWorker.getRegistration()).waiting === null"
    assert riding.page.evaluate(waiting)


def test_a_portal_in_place_of_the_app_is_never_kept(riding: Phone, released: Served, newer_app: Path) -> None:
    release(released, newer_app)
    for script in (released.phone / "assets").glob("*.js"):
        script.write_text("<html>Log in to this network</html>")
    assert look_for_update(riding) in ("redundant", "none")
    riding.reload()
    assert version(riding) == "1"
