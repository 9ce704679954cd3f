"""Faults are tried on a real browser as a phone, against a real service process."""

from __future__ import annotations

from tests.browser.conftest import browser, new_phone, phone, phone_app, playwright, served

__all__ = ["browser", "new_phone", "phone", "phone_app", "playwright", "served"]
