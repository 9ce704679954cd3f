"""A page driven by WebDriver, for the engine that Playwright cannot drive; asked in those words of Playwright that the
mechanic uses.

Roles and names are those that the engine itself computes for a screen reader; taps and keys are WebDriver's own.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from selenium.common.exceptions import WebDriverException
from selenium.webdriver.remote.webdriver import WebDriver
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import Select

Words = str | re.Pattern
Step = Callable[[WebDriver, list[WebElement | None]], list[WebElement]]

FIND = (Path(__file__).parent / "webdriver_find.js").read_text(encoding="utf-8")
# And until it is drawn there: what WebDriver hits is where the element was a moment ago.
TO_THE_MIDDLE = """const [element, done] = arguments;
element.scrollIntoView({ block: "center" });
requestAnimationFrame(() => requestAnimationFrame(() => done()));"""
PAUSE = 0.05
# Of the roles that are asked for: what can have them, so that few elements are asked for their name.
CANDIDATES = {
    "button": "button, summary, [role=button]",
    "group": "fieldset, details, [role=group]",
    "heading": "h1, h2, h3, h4",
    "link": "a[href]",
    "listitem": "li",
}


class Found:
    """What a chain of steps finds now; looked for anew each time it is used."""

    def __init__(self, page: WebDriverPage, steps: tuple[Step, ...]) -> None:
        self.page, self._steps = page, steps

    def _then(self, step: Step) -> Found:
        return Found(self.page, (*self._steps, step))

    def _find(self, kind: str, words: str, exact: bool = False) -> Found:
        return self._then(lambda driver, roots: driver.execute_script(FIND, kind, words, exact, *roots))

    def locator(self, css: str, has_text: Words | None = None) -> Found:
        found = self._find("css", css)
        return found if has_text is None else found.filter(has_text=has_text)

    def filter(self, has_text: Words) -> Found:
        return self._then(lambda _driver, roots: [el for el in roots if _fits(has_text, _text(el), exact=False)])

    def get_by_text(self, words: str, exact: bool = False) -> Found:
        return self._find("text", words, exact)

    def get_by_label(self, words: str) -> Found:
        return self._find("label", words)

    def get_by_role(
        self, role: str, name: Words = "", exact: bool = False, level: int | None = None, pressed: bool | None = None
    ) -> Found:
        css = CANDIDATES[role] if level is None else f"h{level}"
        found = self._find("css", css)
        if pressed is not None:
            found = found._then(
                lambda _driver, roots: [el for el in roots if (el.get_attribute("aria-pressed") == "true") is pressed]
            )
        return found._then(
            lambda _driver, roots: [
                el for el in roots if el.aria_role == role and _fits(name, el.accessible_name, exact)
            ]
        )

    def or_(self, other: Found) -> Found:
        return Found(self.page, (lambda _driver, _roots: self.now() or other.now(),))

    def nth(self, n: int) -> Found:
        return self._then(lambda _driver, roots: roots[n : n + 1])

    @property
    def first(self) -> Found:
        return self.nth(0)

    def now(self) -> list[WebElement]:
        roots: list[Any] = [None]
        for step in self._steps:
            roots = step(self.page.driver, roots)
        return roots

    def count(self) -> int:
        return len(self.now())

    def is_visible(self) -> bool:
        return any(el.is_displayed() for el in self.now())

    def inner_text(self) -> str:
        return self._do(lambda el: el.get_property("innerText"))

    def get_attribute(self, name: str) -> str | None:
        return self._do(lambda el: el.get_dom_attribute(name))

    def click(self) -> None:
        """Scrolled to the middle first: WebDriver scrolls to the edge, where the app's own bars lie over it."""
        self._do(lambda el: (self.page.driver.execute_async_script(TO_THE_MIDDLE, el), el.click()))

    def fill(self, text: str) -> None:
        self._do(lambda el: (el.clear(), el.send_keys(text)))

    def select_option(self, label: str) -> None:
        self._do(lambda el: Select(el).select_by_visible_text(label))

    def wait_for(self, state: str = "visible") -> None:
        shown = {"visible": self.is_visible, "detached": lambda: not self.now()}[state]
        self.page.until(shown, f"{state} within time")

    def _do(self, act: Callable[[WebElement], Any]) -> Any:
        """Acts on the one element that is found and shown, as soon as there is one."""
        done = []

        def try_it() -> bool:
            shown = [el for el in self.now() if el.is_displayed()]
            assert len(shown) < 2, f"{len(shown)} are found where one is meant"
            if shown:
                done.append(act(shown[0]))
            return bool(shown)

        self.page.until(try_it, "found and shown")
        return done[-1]


class Expected:
    """Expectations that come true within the page's time."""

    def __init__(self, found: Found) -> None:
        self._found, self._page = found, found.page

    def to_be_visible(self) -> None:
        self._page.until(self._found.is_visible, "shown")

    def to_be_attached(self) -> None:
        self._page.until(lambda: bool(self._found.now()), "in the page")

    def to_have_count(self, count: int) -> None:
        self._page.until(lambda: self._found.count() == count, f"{count} of them")

    def to_contain_text(self, words: Words) -> None:
        self._page.until(lambda: self._texts(words, exact=False), f"holds {words!r}")

    def to_have_text(self, words: Words) -> None:
        self._page.until(lambda: self._texts(words, exact=True), f"reads {words!r}")

    def _texts(self, words: Words, exact: bool) -> bool:
        found = self._found.now()
        return len(found) == 1 and _fits(words, _text(found[0]), exact)


class WebDriverPage(Found):
    """One window."""

    def __init__(self, driver: WebDriver) -> None:
        super().__init__(self, ())
        self.driver, self._within = driver, 10.0

    @property
    def url(self) -> str:
        return self.driver.current_url

    def set_default_timeout(self, milliseconds: float) -> None:
        self._within = milliseconds / 1000

    def goto(self, url: str) -> None:
        self.driver.get(url)

    def reload(self) -> None:
        self.driver.refresh()

    def wait_for_timeout(self, milliseconds: float) -> None:
        time.sleep(milliseconds / 1000)

    def evaluate(self, function: str, given: Any = None) -> Any:
        """Calls a JavaScript function with one argument; waits for what it promises."""
        told = self.driver.execute_async_script(
            f"const tell = arguments[1]; Promise.resolve(({function})(arguments[0]))"
            ".then((value) => tell({ value }), (error) => tell({ error: String(error) }))",
            given,
        )
        assert "error" not in told, told["error"]
        return told.get("value")

    def until(self, true: Callable[[], bool], words: str) -> None:
        """Waits; what was found may go or be covered meanwhile, then it is looked for again."""
        last_moment, trouble = time.monotonic() + self._within, None
        while True:
            try:
                if true():
                    return
            except WebDriverException as error:
                trouble = error
            assert time.monotonic() < last_moment, f"never {words}: {trouble}"
            time.sleep(PAUSE)


def _text(element: WebElement) -> str:
    """As it stands in the document, which is what Playwright compares."""
    return element.get_property("textContent") or ""


def _fits(words: Words, text: str, exact: bool) -> bool:
    text = " ".join(text.split())
    if isinstance(words, re.Pattern):
        return bool(words.search(text))
    return words == text if exact else words.lower() in text.lower()
