"""A phone in a real browser. `book` calls go to the app's own seam: a test says what is done, not where to tap."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from playwright.sync_api import BrowserContext, Error, Page

from service.ids import new_id

ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
CHROMIUM = "/usr/bin/chromium"
ALL_KEPT = """async () => {
  const named = (await (await fetch("/worker.js")).text()).match(/assets\\/[\\w-]+\\.\\w+/g);
  const kept = await Promise.all((await caches.keys()).map(async (name) => (await caches.open(name)).keys()));
  const paths = new Set(kept.flat().map((request) => new URL(request.url).pathname));
  return named.every((path) => paths.has(`/${path}`));
}"""
NOTED = """(name) => new Promise((resolve, reject) => {
  const opening = indexedDB.open("roadproof");
  opening.onerror = () => reject(opening.error);
  opening.onsuccess = () => {
    const asked = opening.result.transaction("meta").objectStore("meta").get(name);
    asked.onsuccess = () => resolve(asked.result);
    opening.result.close();
  };
})"""
DRIVETRAIN = {
    "rings": [46, 33],
    "cogs": [10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 36],
    "shifting": "electronic",
    "rear_mount": "hanger",
    "front_derailleur": True,
    "suspension": False,
}


def go(page: Page, where: str) -> None:
    """To another screen of the open app, as `#/settings`, without loading it anew."""
    page.evaluate("(where) => { location.hash = where; }", where)


class Phone:
    """One tab of a paired or unpaired phone."""

    def __init__(self, page: Page, url: str) -> None:
        self.page, self.url = page, url

    @property
    def context(self) -> BrowserContext:
        return self.page.context

    def until(self, true: str, given: Any = None, within: float = 20.0) -> None:
        """Wait until a JavaScript function of one argument says true. Playwright's own wait evaluates text in the page,
        which the app's content security policy forbids."""
        last_moment = time.monotonic() + within
        while not self._holds(true, given):
            assert time.monotonic() < last_moment, f"never came true: {true}"
            self.page.wait_for_timeout(25)

    def _holds(self, true: str, given: Any) -> bool:
        try:
            return bool(self.page.evaluate(true, given))
        except Error as error:
            if "Execution context was destroyed" in error.message:  # the page is being loaded anew
                return False
            raise

    def wait_for(self, true: Callable[[], Any], within: float = 20.0) -> None:
        """Wait for something outside of the page, while the page goes on."""
        last_moment = time.monotonic() + within
        while not true():
            assert time.monotonic() < last_moment, "never came true"
            self.page.wait_for_timeout(20)

    def open(self, where: str = "") -> Phone:
        """Load the app, and wait until it has read what the phone holds."""
        self.page.goto(f"{self.url}/{where}")
        self.until("() => !!window.book?.loaded.value")
        return self

    def offline_ready(self) -> Phone:
        """Wait until the worker is in charge of this page, so that it opens without a signal."""
        self.until("() => navigator.serviceWorker.controller?.state === 'activated'")
        return self

    def all_brought(self) -> Phone:
        """Have the worker bring at once what a first load leaves out; the app itself waits some seconds for that."""
        self.page.evaluate("async () => (await navigator.serviceWorker.ready).active.postMessage('bring the rest')")
        self.until(ALL_KEPT)
        return self

    def go(self, where: str) -> None:
        go(self.page, where)

    def reload(self) -> None:
        self.page.reload()
        self.until("() => !!window.book?.loaded.value")

    def pair(self, code: str) -> Phone:
        self.call("pair", code, "Stand phone")
        return self

    def call(self, name: str, *given: Any) -> Any:
        """Call one of the book's own functions and wait for what it promises."""
        return self.page.evaluate("([name, given]) => window.book[name](...given)", [name, list(given)])

    def signal(self, name: str) -> Any:
        return self.page.evaluate("(name) => JSON.parse(JSON.stringify(window.book[name].value))", name)

    def noted(self, name: str) -> Any:
        """What the phone's database has noted under this name, read past the app."""
        return self.page.evaluate(NOTED, name)

    def wait_sent(self, count: int = 0) -> None:
        """Wait until no more than `count` bikes, jobs and entries are unconfirmed."""
        self.until("(count) => window.book.pending.value.count <= count", count)

    def entries(self, job_id: str) -> list[dict]:
        """Entries of a job as the screens show them now."""
        shown = "(job) => JSON.parse(JSON.stringify(window.book.entriesOf(job).value))"
        return self.page.evaluate(shown, job_id)

    def wait_entries(self, job_id: str, count: int) -> list[dict]:
        """Entries of a job once the screens show so many."""
        self.until("([job, count]) => window.book.entriesOf(job).value.length === count", [job_id, count])
        return self.entries(job_id)

    def wait_pending(self, count: int) -> None:
        """Wait until the screens say that so many bikes, jobs and entries are unconfirmed."""
        self.until("(count) => window.book.pending.value.count === count", count)

    def new_job(self, kind: str = "build") -> str:
        """A new bike with a job, both made on this phone."""
        bike, job = new_id(), new_id()
        body = {"id": bike, "label": f"Test bike {bike[-4:]}", "drivetrain": DRIVETRAIN, "brakes": "disc"}
        self.call("putBike", {**body, "tyres": "tubeless"})
        self.call("putJob", {"id": job, "bike_id": bike, "kind": kind, "opened_at": "2026-05-04T09:00:00+02:00"})
        return job

    def turn(self, job: str, amount: float) -> dict:
        """Log that the rear fine position was turned."""
        data = {"adjuster": "rear_trim", "amount": amount, "unit": "step"}
        return self.call("log", job, {"kind": "adjustment", "stage": "road", "data": data})
