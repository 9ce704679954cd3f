"""What a page is expected to come to show, in whichever browser it is open."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect as expect_of_playwright

from tests.browser.webdriver_page import Expected, Found


def expect(found: Any) -> Any:
    """Playwright's own expectations for its locators; the same words for what WebDriver finds."""
    return Expected(found) if isinstance(found, Found) else expect_of_playwright(found)
