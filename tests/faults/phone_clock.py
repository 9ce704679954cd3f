"""The phone's own clock, set by a test: every page of the browser reads it as if the system had been set."""

from __future__ import annotations

from datetime import timedelta

from playwright.sync_api import BrowserContext

from tests.browser.phone import Phone

SHIFTED = """(() => {
  const RealDate = Date;
  const shift = () => {
    try {
      return Number(localStorage.getItem("clock of the test") ?? 0);
    } catch {
      return 0;
    }
  };
  globalThis.Date = class extends RealDate {
    constructor(...given) {
      if (given.length) super(...given);
      else super(RealDate.now() + shift());
    }
    static now() {
      return RealDate.now() + shift();
    }
  };
})()"""
DAY, YEAR = timedelta(days=1), timedelta(days=365)


def give_clock(context: BrowserContext) -> None:
    """Pages loaded from here on have a clock that can be set."""
    context.add_init_script(SHIFTED)


def set_clock(phone: Phone, ahead: timedelta) -> None:
    """Set the phone's clock this far ahead of the true time; a negative span: behind."""
    ms = str(round(ahead.total_seconds() * 1000))
    phone.page.evaluate("(ms) => localStorage.setItem('clock of the test', ms)", ms)
