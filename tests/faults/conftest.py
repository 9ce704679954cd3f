"""Faults are tried on a real browser as a phone, against a real service process."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from tests.browser.conftest import new_phone, newer_app, phone, phone_browser, served
from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.faults.between import Between

__all__ = ["new_phone", "newer_app", "phone", "phone_browser", "served"]


@pytest.fixture
def between(served: Served) -> Iterator[Between]:
    """A network of the test's own in front of the service."""
    network = Between(served)
    yield network
    network.close()


@pytest.fixture
def far_phone(new_phone: Callable[[], Phone], between: Between, served: Served) -> Phone:
    """A paired phone that reaches the service through that network only."""
    phone = new_phone()
    phone.url = between.url
    return phone.open().offline_ready().pair(served.pairing_code())
