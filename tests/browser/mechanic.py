"""A mechanic at the screens: taps what a hand would tap, and nothing else."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page

from tests.browser.expecting import expect


class Mechanic:
    """Works one page of a paired phone. Every tap is counted, so that a test can say what a job costs."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps = page, 0
        page.set_default_timeout(10_000)

    def tap(self, target: str | Locator) -> None:
        """Taps a button or link by its words, or what a locator finds."""
        found = self.named(target) if isinstance(target, str) else target
        found.first.click()
        self.taps += 1

    def named(self, words: str) -> Locator:
        button = self.page.get_by_role("button", name=words, exact=True)
        return button.or_(self.page.get_by_role("link", name=words, exact=True))

    def type(self, text: str) -> None:
        """Types on the app's own keypad; the digits are not counted as taps."""
        for key in text:
            name = {"-": "change sign", ".": "decimal point"}.get(key, key)
            self.page.locator(".pad").get_by_role("button", name=name, exact=True).click()

    def pair_by_link(self, url: str, code: str) -> None:
        self.page.goto(f"{url}/#/pair/{code}")
        expect(self.heading("Bikes")).to_be_visible()

    def heading(self, words: str) -> Locator:
        return self.page.get_by_role("heading", level=1, name=words)

    def add_bike(self, label: str) -> None:
        """A double-ring electronic bike, and its build."""
        self.tap("New bike")
        self.page.get_by_label("What the shop calls it").fill(label)
        self.tap("46/33")
        self.tap("12-speed 10–36")
        self.tap("tubeless")
        self.tap("Keep, then the job")
        self.tap("Start the build")

    def to_step(self, label: str) -> None:
        """To a step through the plan."""
        self.page.locator("a.planlink").click()
        self.page.locator(".pln a", has_text=label).first.click()
        expect(self.heading(label)).to_be_attached()

    def read(self, quantity: str, value: str) -> None:
        """Takes a line in hand, unless the step has put it there, types and keeps."""
        in_hand = self.page.locator(".now", has_text=quantity)
        if not in_hand.is_visible():
            self.tap(self.page.locator("button.take", has_text=quantity))
        in_hand.wait_for()
        self.type(value)
        self.tap(self.page.locator(".pad").get_by_role("button", name="Keep", exact=True))
        in_hand.wait_for(state="detached")

    def read_hanger(self, gaps: dict[int, str]) -> None:
        """The clock face, place after place."""
        self.tap(self.page.locator("button.take", has_text="Hanger deviation"))
        for gap in gaps.values():
            self.type(gap)
            self.tap(self.page.locator(".pad").get_by_role("button", name="Next", exact=True))
        self.tap(self.page.get_by_role("button", name=re.compile(r"^Keep \d")))
        expect(self.heading("Hanger straight")).to_be_attached()

    def turned(self, adjuster: str, by: int, gear: tuple[int, int] | None = None, because: str | None = None) -> None:
        """What was turned since the last stop, written down."""
        row = self.page.get_by_role("group", name=adjuster)
        for _ in range(abs(by)):
            self.tap(row.get_by_role("button").nth(1 if by > 0 else 0))
        self.judged_in(gear)
        if because:
            self.tap(because)
        self.write_down()

    def judged_in(self, gear: tuple[int, int] | None) -> None:
        if gear is None:
            return
        parts = [f"ring {gear[0]}", f"cog {gear[1]}"]
        within = self.page.get_by_role("group", name=parts[0], exact=True)
        if within.count():  # the cogs of each ring
            buttons = [within.get_by_role("button", name=parts[1], exact=True)]
        else:
            buttons = [self.page.get_by_role("button", name=part, exact=True) for part in parts]
        for button in buttons:
            if button.get_attribute("aria-pressed") != "true":
                self.tap(button)

    def start_ride(self) -> None:
        """Starts the test ride; with checks open by the second step, which names them."""
        self.tap(self.page.get_by_role("button", name=re.compile("^Start the test ride")))
        sure = self.page.get_by_role("button", name=re.compile("^Start with"))
        riding = self.page.get_by_text("it moves nothing on the bike")
        expect(sure.or_(riding)).to_be_visible()
        if sure.is_visible():
            self.tap(sure)
        expect(riding).to_be_visible()

    def shift(self, outcome: str = "clean", to: str | None = None) -> None:
        """Writes down how the next shift went, or one to another gear, on the page of shift checks."""
        if outcome != "clean":
            self.tap(self.page.get_by_role("group", name="How it went").get_by_role("button", name=outcome, exact=True))
        gear = self.page.get_by_role("button", name=re.compile(f"^{to}(,|$)")) if to else None
        self.tap(gear or self.page.get_by_role("button", name=re.compile("^Write down")))
        expect(self.page.locator(".said").first).to_contain_text(f": {outcome}")

    def write_down(self) -> None:
        """Writes down what the page holds, and waits until it says so."""
        button = self.page.get_by_role("button", name=re.compile("^Write down"))
        words = button.locator("small").inner_text()
        self.tap(button)
        expect(button).to_contain_text("nothing yet")
        expect(self.page.get_by_text(f"Written down: {words}", exact=True)).to_be_visible()
