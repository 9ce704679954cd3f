"""The phone in a real browser at a quarter of its speed: tap to durably saved, and starting without a signal."""

from __future__ import annotations

import importlib.util
import re
import shutil
import statistics
import time
import uuid
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from ops.measure import big_shop
from ops.served import Served

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Locator, Page

SLOWDOWN = 4
STORED = 10_000
SAVES = 40
STARTS = 12
ARGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
WATCH = Path(__file__).with_name("phone_watch.js").read_text(encoding="utf-8")
# A keypad's reading that any bike with a front derailleur is asked for.
READING = "bench/front_cage/cage_height_gap"


@dataclass(frozen=True)
class PhoneTimes:
    """Seconds. A start is over when the first tap on its screen is answered by the next screen."""

    bench: list[float]
    road: list[float]
    shown: list[float]
    answered: list[float]


def rows(book: Served) -> list[tuple[str, str, str]]:
    """Lines of the table: label, measured, to reach. Fills the book, so that it has to be one for this alone."""
    labels = [
        (f"phone slowed {SLOWDOWN} ×, {STORED:,} entries unsent: tap to saved on Bench, median / p95", "p95 ≤ 100 ms"),
        ("  the same on Road", "p95 ≤ 100 ms"),
        ("  start without a signal: bikes shown, median / worst", ""),
        ("  start without a signal: first tap answered, median / worst", "≤ 1.5 s"),
    ]
    if why_not := missing():
        return [(label, why_not, goal) for label, goal in labels]
    found = measure(book, book.pair(str(uuid.uuid4()), "phone bench"))
    times = [found.bench, found.road, found.shown, found.answered]
    return [(label, spread(seconds, "p95" in goal), goal) for (label, goal), seconds in zip(labels, times, strict=True)]


def spread(seconds: list[float], in_ms: bool) -> str:
    """Median and 95th percentile in milliseconds, or median and worst in seconds."""
    if in_ms:
        return f"{statistics.median(seconds) * 1000:.0f} / {statistics.quantiles(seconds, n=20)[-1] * 1000:.0f} ms"
    return f"{statistics.median(seconds):.2f} / {max(seconds):.2f} s"


def missing() -> str | None:
    """Why it cannot be measured here; None where it can."""
    if importlib.util.find_spec("playwright") is None:
        return "not measured: the test packages are not installed (./ops/test installs them)"
    return None if shutil.which("chromium") else "not measured: Chromium is not installed"


def measure(book: Served, token: str, saves: int = SAVES, starts: int = STARTS) -> PhoneTimes:
    """With 10,000 entries not yet sent in the phone's outbox, beside the demo's own in its copy of the book."""
    shop = big_shop.fill(book, token, STORED)
    with new_phone() as context:
        page = paired(context, book, token)
        context.set_offline(True)
        page.evaluate("(entries) => writeDown(entries)", shop.entries)
        page.close()
        return times(context, book.url, shop.job_id, saves, starts)


@contextmanager
def new_phone() -> Iterator[BrowserContext]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=ARGS)
        with closing(browser), closing(browser.new_context(**playwright.devices["Pixel 7"])) as context:
            context.add_init_script(WATCH)
            yield context


def paired(context: BrowserContext, book: Served, token: str) -> Page:
    """A page of a phone that holds the shop's book and the app."""
    me = book.call("GET", "/api/v1/me", token=token)
    code = book.call("POST", f"/api/v1/people/{me['person_id']}/codes", token=token)["code"]
    page = context.new_page()
    page.goto(f"{book.url}/#/pair/{code}")
    page.get_by_role("heading", name="Bikes").wait_for()
    wait(page, "() => navigator.serviceWorker.controller?.state === 'activated'")
    while book.call("GET", f"/api/v1/changes?after={page.evaluate('() => cursor()')}&limit=1", token=token)["changes"]:
        page.wait_for_timeout(200)
    return page


def times(context: BrowserContext, url: str, job_id: str, saves: int, starts: int) -> PhoneTimes:
    page = slow_page(context)
    page.goto(f"{url}/#/jobs/{job_id}/{READING}")
    bench = [kept_reading(page, job_id) for _ in range(saves)]
    page.goto(f"{url}/#/jobs/{job_id}/road")
    page.get_by_role("button", name=re.compile("^Start the test ride")).tap()
    # With checks open it asks once more.
    sure = page.get_by_role("button", name=re.compile("^Start with"))
    nothing = page.get_by_role("button", name="Nothing needed", exact=True)
    sure.or_(nothing).wait_for()
    if sure.is_visible():
        sure.tap()
    road = [nothing_needed(page) for _ in range(saves)]
    page.get_by_role("button", name="End the ride").tap()
    page.get_by_role("heading", name="Before the ride").wait_for()
    page.close()
    found = [started(context, url) for _ in range(starts)]
    return PhoneTimes(bench, road, [shown for shown, _ in found], [answered for _, answered in found])


def kept_reading(page: Page, job_id: str) -> float:
    """Types a reading and keeps it; seconds until it was durable."""
    page.evaluate("(to) => { location.hash = to; }", f"#/jobs/{job_id}/{READING}")
    pad = page.locator(".pad")
    for key in "14":
        pad.get_by_role("button", name=key, exact=True).tap()
    return saved_by(page, pad.get_by_role("button", name="Keep", exact=True))


def nothing_needed(page: Page) -> float:
    page.get_by_role("button", name="Nothing needed", exact=True).tap()
    seconds = saved_by(page, page.get_by_role("button", name=re.compile("^Write down")))
    page.get_by_text("Written down:").wait_for()
    return seconds


def saved_by(page: Page, button: Locator) -> float:
    before = page.evaluate("() => measured.saves.length")
    button.tap()
    wait(page, "(before) => measured.saves.length > before", before)
    return page.evaluate("() => measured.saves.at(-1)") / 1000


def started(context: BrowserContext, url: str) -> tuple[float, float]:
    """A new page whose worker has to be started, too: seconds until the bikes are shown, and a tap on one answered."""
    page = slow_page(context)
    page.add_init_script("void measured.tapAtStart()")
    stop_worker(page)
    page.goto(url, wait_until="commit")
    wait(page, "() => measured.answered !== null")
    shown, answered = page.evaluate("() => [measured.shown, measured.answered]")
    page.close()
    return shown / 1000, answered / 1000


def slow_page(context: BrowserContext) -> Page:
    page = context.new_page()
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
    return page


def stop_worker(page: Page) -> None:
    worker = page.context.new_cdp_session(page)
    worker.send("ServiceWorker.enable")
    worker.send("ServiceWorker.stopAllWorkers")
    worker.detach()


def wait(page: Page, true: str, given: object = None) -> None:
    """Until a function of the page says true; playwright's own wait is against the app's content security policy."""
    last_moment = time.monotonic() + 60
    while not page.evaluate(true, given):
        if time.monotonic() > last_moment:
            raise RuntimeError(f"never came true: {true}")
        page.wait_for_timeout(50)
