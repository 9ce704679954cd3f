"""Every screen in every state can be read and used: axe, size of targets and text, contrast, light and dark."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Playwright

from tests.browser.every_screen import EveryScreen
from tests.browser.measured import OVERFLOW, TARGETS, TEXTS
from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.browser.workshop_book import WorkshopBook, fill


@pytest.fixture
def book(served: Served) -> WorkshopBook:
    return fill(WorkshopBook(served.url, served.pairing_code()))


@pytest.fixture
def walk(
    browser: Browser, playwright: Playwright, served: Served, book: WorkshopBook
) -> Iterator[Callable[[dict], EveryScreen]]:
    """Makes a walk over all screens at the size of a device."""
    contexts = []

    def make(device: dict) -> EveryScreen:
        contexts.append(browser.new_context(**device))
        phone = Phone(contexts[-1].new_page(), served.url).open("#/pair").offline_ready()
        return EveryScreen(phone, book, served.pairing_code())

    yield make
    for context in contexts:
        context.close()


def looked_at(screens: EveryScreen, look: Callable[[str], list[str]]) -> list[str]:
    """What `look` finds in each state, light and dark."""
    found = []
    for name, reach in screens.states():
        reach()
        for theme in ("light", "dark"):
            screens.page.emulate_media(color_scheme=theme)
            found += [f"{name}, {theme}: {words}" for words in look(name)]
    return found


def test_axe_finds_nothing(walk: Callable[[dict], EveryScreen], playwright: Playwright) -> None:
    screens, axe = walk(playwright.devices["Pixel 7"]), Axe()

    def look(_name: str) -> list[str]:
        violations = axe.run(screens.page).response["violations"]
        return [f"{v['id']}: {node['html'][:160]}" for v in violations for node in v["nodes"]]

    assert looked_at(screens, look) == []


PHONE = {"has_touch": True, "is_mobile": True}


@pytest.mark.parametrize(
    "device",
    [
        {"viewport": {"width": 412, "height": 839}, **PHONE},
        {"viewport": {"width": 360, "height": 640}, **PHONE},
        {"viewport": {"width": 820, "height": 1180}, "has_touch": True},
        {"viewport": {"width": 1280, "height": 800}},
    ],
    ids=["phone", "small phone", "tablet", "desktop"],
)
def test_targets_and_texts_are_large_and_clear_enough(walk: Callable[[dict], EveryScreen], device: dict) -> None:
    screens = walk(device)

    def look(_name: str) -> list[str]:
        return [words for measure in (TARGETS, TEXTS, OVERFLOW) for words in screens.page.evaluate(measure)]

    assert looked_at(screens, look) == []
