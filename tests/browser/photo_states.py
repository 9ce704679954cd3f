"""The states of the screens that show photos."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from playwright.sync_api import Page, expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone, go
from tests.browser.photos import taken


def photo_states(phone: Phone, job: str, go: Callable[..., None]) -> Iterator[tuple[str, Callable[[], None]]]:
    """Taken for a value in hand, added to what is written down, enlarged, and waiting without a signal."""
    page, hand = phone.page, Mechanic(phone.page)
    photo = re.compile("^Photo")
    yield "photo-in-hand", lambda: (
        go(job, "bench", "front_cage", "cage_alignment"),
        hand.tap(page.locator(".now").get_by_role("button", name="Photo", exact=True)),
        page.get_by_role("button", name="Take a photo").wait_for(),
    )
    yield "photo-no-picture", lambda: (
        give(page, b"no picture"),
        expect(page.get_by_role("alert")).to_be_visible(),
    )
    yield "photo-written", lambda: (
        phone.context.set_offline(True),
        go(job, "plan"),
        hand.tap(page.locator(".entry").get_by_role("button", name=photo)),
        give(page, taken(800, 600)),
        page.get_by_role("img", name=photo).first.wait_for(),
    )
    yield "photo-enlarged", lambda: (
        page.get_by_role("img", name=photo).first.click(),
        page.get_by_role("dialog").wait_for(),
    )
    yield "photo-waiting", lambda: (
        page.get_by_role("dialog").get_by_role("button", name="Close").click(),
        go_to_settings(page),
        page.get_by_text("1 photo waits to be sent.").wait_for(),
    )
    yield "photo-sent", lambda: (
        phone.context.set_offline(False),
        phone.call("sendNow"),
        page.get_by_text("1 photo waits to be sent.").wait_for(state="detached"),
    )


def go_to_settings(page: Page) -> None:
    go(page, "#/settings")


def give(page: Page, data: bytes) -> None:
    """What the camera or the gallery hands over."""
    field = page.locator("input[type=file]").first
    field.set_input_files({"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": data})
