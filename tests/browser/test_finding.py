"""Finding a bike by any word: its own, those of its jobs and remarks, and whose it is where there is a signal."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import expect

from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.browser.workshop_book import WorkshopBook, keep_some


def test_a_bike_is_found_by_any_word(
    new_phone: Callable[[], Phone], served: Served, book: WorkshopBook
) -> None:
    keep_some(book)
    phone = new_phone().open().offline_ready().pair(served.pairing_code())
    phone.wait_sent()
    page = phone.page
    phone.call("log", book.build, {"kind": "remark", "stage": "bench", "data": {"text": "Kratzer an der Sattelstütze"}})
    bike = next(one for one in phone.signal("bikes") if one["id"] == book.tourer)
    phone.call("putBike", {**bike, "label": "Ålesund tourer 58", "customer_id": book.customer})
    phone.all_brought()
    field = page.get_by_label("Find a bike by any word")
    built = page.get_by_role("link", name="Grey all-road 54")
    tourer = page.get_by_role("link", name="Ålesund tourer 58")

    def find(words: str, shown: object, count: int = 1) -> None:
        field.fill(words)
        expect(shown).to_be_visible()
        expect(page.locator("li.li a.bike")).to_have_count(count)

    find("alesund", tourer)
    find("SATTELSTUTZE kratz", built)
    find("FENNIMARK", tourer)
    # Without a signal the phone knows no names, and says what it looked for.
    page.evaluate("() => { location.hash = '#/settings'; }")
    phone.context.set_offline(True)
    phone.reload()
    page.evaluate("() => { location.hash = '#/'; }")
    find("alesund", tourer)
    find("sattelstutze", built)
    field.fill("Fennimark")
    expect(page.get_by_text("No bike is found by “Fennimark”.")).to_be_visible()
