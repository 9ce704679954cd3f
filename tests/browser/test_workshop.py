"""The shop's own pages in a real browser: its charts, its people, and the phones that write into its book."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.browser.workshop_book import WorkshopBook


def test_a_chart_shows_first_bench_values_and_says_what_is_missing(owner: Mechanic) -> None:
    page = owner.page
    expect(page.locator(".plot .st.bench").first).to_be_visible()
    expect(page.get_by_text("A chart needs")).to_be_visible()
    page.get_by_label("Quantity").select_option(label="Wheel dish")
    expect(page.get_by_text("Choose another quantity or drivetrain family.")).to_be_visible()


def test_the_chart_and_the_service_tell_the_same(owner: Mechanic, book: WorkshopBook) -> None:
    answer = book.call("GET", "/workshop/comebacks")["comebacks"]
    owner.page.get_by_label("Drivetrain family").select_option(label="all bikes")
    said = owner.page.get_by_text(re.compile("jobs came back"))
    expect(said).to_contain_text(f"{answer['count']} of {answer['n']} jobs came back")


def test_a_new_mechanic_gets_a_code_that_pairs_a_phone(
    owner: Mechanic, new_phone: Callable[[], Phone], served: Served
) -> None:
    page = owner.page
    page.get_by_label("Page of Workshop").select_option(label="People and phones")
    page.get_by_label("A new mechanic's name").fill("I. Sorrel")
    owner.tap("Add")
    expect(page.get_by_role("button", name="I. Sorrel: works here")).to_have_attribute("aria-pressed", "true")
    owner.tap("Settings")
    page.get_by_role("heading", name="Pair another phone").wait_for()
    page.get_by_role("button", name="I. Sorrel", exact=True).last.click()
    code = page.locator(".code").inner_text()
    second = new_phone().open()
    Mechanic(second.page).pair_by_link(served.url, code)
    assert second.signal("session")["role"] == "mechanic"


def test_a_phone_taken_off_the_list_writes_no_more(
    owner: Mechanic, new_phone: Callable[[], Phone], served: Served
) -> None:
    second = new_phone().open().offline_ready().pair(served.pairing_code())
    owner.page.get_by_label("Page of Workshop").select_option(label="People and phones")
    owner.tap(owner.page.get_by_role("button", name=re.compile("^Take Stand phone")))
    expect(owner.page.get_by_text(re.compile(r"taken off \d"))).to_have_count(1)
    second.new_job()
    second.until("() => window.book.signal.value === 'revoked'")
    expect(second.page.get_by_text("no longer paired with the shop")).to_be_visible()
    assert second.signal("pending")["count"] == 2
