"""The browsers that the main path is walked in, each as a phone: a profile on the disk, closed and opened again."""

from __future__ import annotations

import os
import select
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Protocol

import pytest
from playwright.sync_api import BrowserContext, BrowserType, Playwright
from selenium import webdriver

from tests.browser.devices import PHONE, phone_of
from tests.browser.phone import ARGS, CHROMIUM
from tests.browser.served import Served
from tests.browser.webdriver_page import WebDriverPage

FIREFOX = "/usr/bin/firefox-esr"
WEBKIT_DRIVER = "/usr/bin/WebKitWebDriver"
WEBKIT_WINDOW = Path(__file__).parent / "webkit_window.py"


class Engine(Protocol):
    """A browser, and the signal it has."""

    def open(self) -> Any:
        """Starts it on the profile it had; a page."""

    def close(self) -> None: ...

    def lose_signal(self) -> None:
        """From now on, over closing and opening too."""

    def regain_signal(self) -> None: ...

    def stranger(self) -> Any:
        """A page of another browser that knows nothing of the shop, and runs no script where that can be told."""


class _Playwright:
    """Driven by Playwright, whose offline switch stops the worker's requests too."""

    def __init__(self, kind: BrowserType, profile: Path, launch: dict, device: dict) -> None:
        self._kind, self._profile, self._launch, self._device = kind, profile, launch, device
        self._offline = False
        self._contexts: list[BrowserContext] = []

    def open(self) -> Any:
        context = self._new(self._profile)
        context.set_offline(self._offline)
        return context.new_page()

    def _new(self, profile: Path, **more: Any) -> BrowserContext:
        context = self._kind.launch_persistent_context(str(profile), **self._launch, **self._device, **more)
        self._contexts.append(context)
        return context

    def close(self) -> None:
        while self._contexts:
            self._contexts.pop().close()

    def lose_signal(self) -> None:
        self._signal(False)

    def regain_signal(self) -> None:
        self._signal(True)

    def _signal(self, there: bool) -> None:
        self._offline = not there
        self._contexts[0].set_offline(self._offline)

    def stranger(self) -> Any:
        return self._new(self._profile.with_name("stranger"), java_script_enabled=False).new_page()


class _WebKit:
    """Driven by WebDriver; it has no offline switch, so the service is stopped instead."""

    def __init__(self, profile: Path, served: Served, display: str) -> None:
        self._profile, self._served, self._display = profile, served, display
        self._drivers: list[webdriver.WebKitGTK] = []

    def open(self) -> WebDriverPage:
        return self._new(self._profile)

    def _new(self, profile: Path) -> WebDriverPage:
        profile.mkdir(exist_ok=True)
        options = webdriver.WebKitGTKOptions()
        options.binary_location = str(WEBKIT_WINDOW)
        options.add_argument(str(profile))
        options.set_capability("browserName", WEBKIT_WINDOW.stem)
        service = webdriver.WebKitGTKService(WEBKIT_DRIVER, env={**os.environ, "DISPLAY": self._display})
        self._drivers.append(webdriver.WebKitGTK(options=options, service=service))
        return WebDriverPage(self._drivers[-1])

    def close(self) -> None:
        while self._drivers:
            self._drivers.pop().quit()

    def lose_signal(self) -> None:
        self._served.stop()

    def regain_signal(self) -> None:
        self._served.start()

    def stranger(self) -> WebDriverPage:
        return self._new(self._profile.with_name("stranger"))


@contextmanager
def engine_of(name: str, playwright: Playwright, profile: Path, served: Served) -> Iterator[Engine]:
    """Chromium, Firefox or WebKitGTK; the test is skipped where it is not installed."""
    with _display() if name == "webkit" else _none() as display:
        engine = _make(name, playwright, profile, served, display)
        try:
            yield engine
        finally:
            engine.close()


def _make(name: str, playwright: Playwright, profile: Path, served: Served, display: str) -> Engine:
    if name == "webkit":
        return _WebKit(profile, served, display)
    if name == "firefox":
        _needs(FIREFOX)
        launch = {"channel": "moz-firefox", "executable_path": FIREFOX}
        return _Playwright(playwright.firefox, profile, launch, {"viewport": PHONE})
    launch = {"executable_path": CHROMIUM, "args": ARGS}
    return _Playwright(playwright.chromium, profile, launch, phone_of(playwright))


@contextmanager
def _none() -> Iterator[str]:
    yield ""


@contextmanager
def _display() -> Iterator[str]:
    """A screen that nobody sees, on the first free number."""
    _needs(WEBKIT_DRIVER)
    _needs("/usr/bin/Xvfb")
    read, write = os.pipe()
    command = ["Xvfb", "-displayfd", str(write), "-screen", "0", "1024x1024x24", "-nolisten", "tcp"]
    with subprocess.Popen(command, pass_fds=[write], stderr=subprocess.DEVNULL) as server:
        os.close(write)
        try:
            assert select.select([read], [], [], 20)[0], "no screen"
            yield f":{os.read(read, 16).decode().strip()}"
        finally:
            os.close(read)
            server.terminate()


def _needs(program: str) -> None:
    if not Path(program).exists():
        pytest.skip(f"{program} is not installed")
