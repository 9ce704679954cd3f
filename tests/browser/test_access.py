"""Every screen in every state can be read and used: axe, size of targets and text, contrast, light and dark."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.browser.devices import DEVICES, LAPTOP
from tests.browser.every_screen import EveryScreen
from tests.browser.measured import OVERFLOW, TARGETS, TEXTS
from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.browser.workshop_book import WorkshopBook

HERE = Axe()  # for a page that has its script already: it is large, and stays until the page is loaded anew
HERE.axe_script = "() => null"


@pytest.fixture
def screens(browser: Browser, device: dict, served: Served, book: WorkshopBook) -> Iterator[EveryScreen]:
    """A walk over all screens at the size of a device."""
    context = browser.new_context(**device)
    phone = Phone(context.new_page(), served.url).open("#/pair").offline_ready()
    yield EveryScreen(phone, book, served.pairing_code())
    context.close()


@pytest.mark.parametrize(
    ("device", "with_axe"),
    [
        (DEVICES["phone"], True),
        (DEVICES["small"], False),
        (DEVICES["tablet"], False),
        (LAPTOP, True),
    ],
    ids=["phone", "small phone", "tablet", "desktop"],
)
def test_every_state_can_be_read_and_used(screens: EveryScreen, with_axe: bool) -> None:
    """Targets, texts and width measured on every device; axe on the narrowest layout and the widest."""
    axe, found = Axe(), []
    for name, reach in screens.states():
        reach()
        for theme in ("light", "dark"):
            screens.page.emulate_media(color_scheme=theme)
            seen = [words for measure in (TARGETS, TEXTS, OVERFLOW) for words in screens.page.evaluate(measure)]
            seen += violations(axe, screens.page) if with_axe else []
            found += [f"{name}, {theme}: {words}" for words in seen]
    assert found == []


def violations(axe: Axe, page: Page) -> list[str]:
    found = (HERE if page.evaluate("() => 'axe' in window") else axe).run(page).response["violations"]
    return [f"{one['id']}: {node['html'][:160]}" for one in found for node in one["nodes"]]
