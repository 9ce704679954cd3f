"""A control of what measures the screens: a page with one fault each; contrast worked out by WCAG 2.2's own formula."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.devices import PHONE
from tests.browser.measured import OVERFLOW, TARGETS, TEXTS

# #595959 on white is 7.00 to 1, #5a5a5a 6.90 to 1.
FINE = """
<main style="font: 16px sans-serif; color: #595959; background: #fff">
  <button style="width: 44px; height: 44px">a</button>
  <button class="go" style="width: 64px; height: 64px">b</button>
  <input style="width: 90px; height: 44px; font-size: 16px; color: #595959; background: #fff" value="5.2">
  <p style="font-size: 13px">small, but to be read</p>
  %s
</main>
<style>button { color: #000; background: #fff; } .pale::placeholder { color: #5a5a5a; }</style>
"""
FIELD = '<input style="width: 90px; height: 44px; font-size: 16px; background: #fff; %s" %s>'


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport=PHONE)
    yield context.new_page()
    context.close()


def found(page: Page, fault: str) -> list[str]:
    page.set_content(FINE % fault)
    return [words for measure in (TARGETS, TEXTS, OVERFLOW) for words in page.evaluate(measure)]


def test_a_page_at_the_limits_passes(page: Page) -> None:
    assert found(page, "") == []


@pytest.mark.parametrize(
    ("fault", "said"),
    [
        ('<button style="width: 43px; height: 44px">low</button>', "43 × 44"),
        ('<a href="#/" style="display: block; width: 44px; height: 43px; color: #000">low</a>', "44 × 43"),
        ('<button class="big" style="width: 64px; height: 63px">low</button>', "64 × 63"),
        ('<p style="color: #5a5a5a">pale</p>', "6.90 to 1"),
        ('<p style="color: rgb(0 0 0 / 50%)">pale</p>', "to 1"),
        ('<div style="opacity: 0.5"><p style="color: #000">pale</p></div>', "to 1"),
        (FIELD % ("color: #5a5a5a", 'value="5.2"'), "6.90 to 1"),
        (FIELD % ("color: #000", 'class="pale" placeholder="12.5"'), "6.90 to 1"),
        ('<p style="font-size: 12px">tiny</p>', "12 px"),
        ('<p style="width: 500px">wide</p>', "wide"),
    ],
)
def test_a_fault_is_found(page: Page, fault: str, said: str) -> None:
    seen = found(page, fault)
    assert len(seen) == 1
    assert said in seen[0]
