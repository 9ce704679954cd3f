"""A browser with a profile of its own on the disk: closed, killed and opened again as a phone's is."""

from __future__ import annotations

import os
import shutil
import signal
from pathlib import Path

from playwright.sync_api import BrowserContext, Error, Playwright

from tests.browser.devices import phone_of
from tests.browser.phone import ARGS, CHROMIUM


class PhoneBrowser:
    def __init__(self, playwright: Playwright, profile: Path) -> None:
        self._playwright, self._profile = playwright, profile
        self._device = phone_of(playwright)
        self.context: BrowserContext | None = None

    def open(self) -> BrowserContext:
        self.context = self._playwright.chromium.launch_persistent_context(
            str(self._profile), executable_path=CHROMIUM, args=ARGS, **self._device
        )
        return self.context

    def close(self) -> None:
        if self.context:
            self.context.close()
            self.context = None

    def kill(self) -> None:
        """The system ends the browser without a word, as it does when memory runs short."""
        # The lock of a profile names its browser's machine and process.
        lock = self._profile / "SingletonLock"
        os.kill(int(os.readlink(lock).rsplit("-", 1)[1]), signal.SIGKILL)
        try:
            self.close()
        except Error:
            self.context = None
        lock.unlink(missing_ok=True)

    def evict_databases(self) -> None:
        """What a browser short of room does to a site: its databases are gone, files and all. Only while closed."""
        assert self.context is None
        folders = [*self._profile.glob("*/IndexedDB"), *self._profile.glob("*/WebStorage/*/IndexedDB")]
        assert folders, "there is no database to evict"
        for folder in folders:
            shutil.rmtree(folder)
