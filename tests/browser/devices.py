"""The devices that the screens are looked at on, and the phone that tests work with."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Playwright

TOUCH = {"has_touch": True, "is_mobile": True, "device_scale_factor": 2}
SMALL, PHONE = {"width": 360, "height": 640}, {"width": 412, "height": 839}
DEVICES: dict[str, dict[str, Any]] = {
    "phone": {"viewport": PHONE, **TOUCH},
    "small": {"viewport": SMALL, **TOUCH},
    "tablet": {"viewport": {"width": 820, "height": 1180}, "has_touch": True},
    "desktop": {"viewport": {"width": 1440, "height": 900}},
}
LAPTOP = {"viewport": {"width": 1280, "height": 800}}


def phone_of(playwright: Playwright) -> dict[str, Any]:
    """What makes a browser's context one of a phone; a profile on the disk refuses the name of a browser."""
    return {k: v for k, v in playwright.devices["Pixel 7"].items() if k != "default_browser_type"}
