"""The bench without a pointer: WCAG 2.2, 2.1.1 (all by keyboard), 2.1.2 (no trap), 2.4.7 (focus can be seen)."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.phone import Phone, go

IN_FOCUS = """() => {
  const el = document.activeElement;
  const style = getComputedStyle(el);
  return { words: el.innerText ?? '', named: el.ariaLabel ?? '', tag: el.tagName,
    outline: style.outlineStyle === 'none' ? 0 : parseFloat(style.outlineWidth) };
}"""
MOST = 60  # presses of Tab before a page counts as a trap


def tab_to(page: Page, words: str) -> None:
    """Presses Tab until what has the focus says these words, seeing the focus each time."""
    for _ in range(MOST):
        page.keyboard.press("Tab")
        focus = page.evaluate(IN_FOCUS)
        if focus["tag"] == "BODY":
            continue  # round the browser's own controls and back
        assert focus["outline"] >= 2, f"the focus cannot be seen: {focus}"
        if words in focus["words"] or words in focus["named"]:
            return
    raise AssertionError(f"Tab never came to “{words}”")


def test_a_reading_and_a_remark_by_keyboard_alone(phone: Phone) -> None:
    job, page = phone.new_job(), phone.page
    phone.open("#/")
    tab_to(page, "Test bike")
    page.keyboard.press("Enter")
    tab_to(page, "Plan")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Plan of the build")).to_be_focused()
    tab_to(page, "Cage height and rotation")
    page.keyboard.press("Enter")
    tab_to(page, "Cage height")
    page.keyboard.press("Enter")
    page.locator(".now").wait_for()
    page.keyboard.type("1.4")
    page.keyboard.press("Enter")
    [reading] = phone.wait_entries(job, 1)
    assert reading["entry"]["data"]["value"] == 1.4
    tab_to(page, "Close")  # the next line is in hand by itself
    page.keyboard.press("Enter")
    tab_to(page, "Remark or check")
    page.keyboard.press("Enter")
    expect(page.get_by_label("A remark, or work that was advised and not wanted")).to_be_focused()
    page.keyboard.type("bar tape to follow")
    tab_to(page, "Remark")
    page.keyboard.press("Enter")
    [_, remark] = phone.wait_entries(job, 2)
    assert remark["entry"]["data"]["text"] == "bar tape to follow"


def test_an_opened_screen_begins_at_its_title(phone: Phone) -> None:
    """What a screen reader says first; the window's title says the same."""
    job, page = phone.new_job(), phone.page
    for where in (f"#/jobs/{job}/road", "#/settings", f"#/jobs/{job}/plan", "#/"):
        go(page, where)
        # A screen whose code comes late says that it opens, under a title of its own.
        phone.until("() => document.activeElement.tagName === 'H1' && !document.body.innerText.includes('Opening ')")
        assert page.title() == f"{page.locator('h1').first.text_content()} · Roadproof"
