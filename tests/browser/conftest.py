"""A real browser as a phone, against a real service process."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright

from tests.browser.built_phone import build
from tests.browser.devices import phone_of
from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone
from tests.browser.phone_browser import PhoneBrowser
from tests.browser.served import Served
from tests.browser.workshop_book import WorkshopBook, fill


@pytest.fixture(scope="session")
def newer_app(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The phone app of a later release."""
    return build(tmp_path_factory.mktemp("newer") / "dist", "2")


@pytest.fixture
def served(tmp_path: Path, phone_app: Path) -> Iterator[Served]:
    """A running service with an empty book."""
    service = Served(tmp_path, phone_app)
    service.start()
    yield service
    service.stop(signal.SIGKILL)  # how it ends by itself is shown in tests/test_serve.py


@pytest.fixture
def new_phone(browser: Browser, playwright: Playwright, served: Served) -> Iterator[Callable[[], Phone]]:
    """Makes phones that know nothing of each other: each has its own storage."""
    contexts = []

    def make() -> Phone:
        context = browser.new_context(**phone_of(playwright))
        contexts.append(context)
        return Phone(context.new_page(), served.url)

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def phone_browser(playwright: Playwright, tmp_path: Path) -> Iterator[PhoneBrowser]:
    """A phone's browser that a test closes, kills and opens again."""
    browser = PhoneBrowser(playwright, tmp_path / "profile")
    yield browser
    browser.close()


@pytest.fixture
def book(served: Served) -> WorkshopBook:
    """The small invented shop, in the service's book."""
    return fill(WorkshopBook(served.url, served.pairing_code()))


@pytest.fixture
def owner(new_phone: Callable[[], Phone], served: Served, book: WorkshopBook) -> Mechanic:
    """The owner's phone, at Workshop."""
    mechanic = Mechanic(new_phone().open().offline_ready().page)
    mechanic.pair_by_link(served.url, served.pairing_code())
    mechanic.tap("Workshop")
    return mechanic


@pytest.fixture
def phone(new_phone: Callable[[], Phone], served: Served) -> Phone:
    """A paired phone that works offline from here on."""
    return new_phone().open().offline_ready().pair(served.pairing_code())
