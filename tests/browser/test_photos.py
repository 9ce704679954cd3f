"""Photos of entries: small, place and device left out, kept offline, sent after what was measured, seen elsewhere."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from hashlib import sha256

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone
from tests.browser.photos import BLUE, MAKER, RED, TURNED_RIGHT, is_like, opened, taken, tells
from tests.browser.served import Served
from tests.browser.workshop_book import WorkshopBook

HELD = """() => new Promise((resolve) => {
  const opening = indexedDB.open("roadproof");
  opening.onsuccess = () => {
    const asked = opening.result.transaction("photos").objectStore("photos").getAll();
    asked.onsuccess = () => {
      opening.result.close();
      resolve(asked.result.map(({ bytes, ...row }) => ({ ...row, bytes: Array.from(new Uint8Array(bytes)) })));
    };
  };
})"""

BEGUN = """(count) => new Promise((resolve) => {
  const opening = indexedDB.open("roadproof");
  opening.onsuccess = () => {
    const begun = IDBKeyRange.bound("begun ", "begun \uffff");
    const asked = opening.result.transaction("meta").objectStore("meta").getAll(begun);
    asked.onsuccess = () => {
      opening.result.close();
      resolve(asked.result.flat().length === count);
    };
  };
})"""


def held(phone: Phone) -> list[dict]:
    """Photos on the phone, read past the app."""
    return [{**row, "bytes": bytes(row["bytes"])} for row in phone.page.evaluate(HELD)]


def wait_held(phone: Phone, state: str, count: int = 1) -> list[dict]:
    for _ in range(400):
        found = held(phone)
        if [row["state"] for row in found] == [state] * count:
            return found
        phone.page.wait_for_timeout(25)
    raise AssertionError(f"{[row['state'] for row in found]} on the phone, not {count} {state}")


def wait_begun(phone: Phone, count: int) -> None:
    """Until so many photos of something begun lie on the phone's disk."""
    phone.until(BEGUN, count)


def choose(phone: Phone, button: str | Locator, data: bytes, how: str = "Take a photo") -> None:
    """Two taps: a photo, and taken or chosen."""
    hand = Mechanic(phone.page)
    hand.tap(button)
    with phone.page.expect_file_chooser() as chooser:
        hand.tap(how)
    chooser.value.set_files({"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": data})


def read_with_photo(phone: Phone, job: str, data: bytes, value: str = "1.4") -> None:
    """A value on Bench with a photo of it."""
    phone.go(f"#/jobs/{job}/bench/front_cage/cage_height_gap")
    phone.page.locator(".now").wait_for()
    choose(phone, phone.page.locator(".now").get_by_role("button", name="Photo"), data)
    phone.page.locator(".now").get_by_role("button", name="1 photo").wait_for()
    hand = Mechanic(phone.page)
    hand.type(value)
    hand.tap(phone.page.locator(".pad").get_by_role("button", name="Keep", exact=True))
    phone.page.locator(".now", has_text="Cage height").wait_for(state="detached")


def in_book(served: Served) -> list[tuple[str, bytes]]:
    return served.rows("SELECT sha256, data FROM photos ORDER BY received_at")


def standing_photos(phone: Phone, job: str) -> list[list[str]]:
    """Photos of each entry that still stands."""
    entries = [one["entry"] for one in phone.entries(job)]
    replaced = {entry.get("replaces") for entry in entries}
    return [entry.get("photos") or [] for entry in entries if entry["id"] not in replaced and entry["kind"] != "void"]


@pytest.fixture
def job(phone: Phone) -> str:
    made = phone.new_job()
    phone.wait_sent()
    phone.all_brought()
    return made


def test_a_photo_is_small_tells_nothing_but_its_pixels_and_is_kept_offline(phone: Phone, job: str) -> None:
    data = taken(orientation=TURNED_RIGHT)
    assert {"Make", "GPSInfo", "Orientation", "comment"} <= set(tells(data)), "the camera tells much"
    assert MAKER.encode() in data
    phone.context.set_offline(True)
    read_with_photo(phone, job, data)
    [row] = held(phone)
    assert (row["state"], row["sha256"]) == ("queued", sha256(row["bytes"]).hexdigest())
    assert standing_photos(phone, job) == [[row["sha256"]]]
    assert tells(row["bytes"]) == []
    assert not any(word in row["bytes"] for word in (b"Exif", b"GPS", MAKER.encode(), b"door"))
    small = opened(row["bytes"])
    # 3000 by 2000 on the sensor, its top to the right: an upright picture, its red half above.
    assert (small.format, small.size) == ("JPEG", (1067, 1600))
    assert is_like(small.getpixel((500, 400)), RED) and is_like(small.getpixel((500, 1200)), BLUE)
    assert len(row["bytes"]) < 400_000 < 1024 * 1024
    phone.reload()
    assert held(phone) == [row]
    phone.go(f"#/jobs/{job}/plan")
    expect(phone.page.get_by_role("img", name=re.compile("^Photo of Cage height"))).to_be_visible()
    expect(phone.page.get_by_text("not sent yet")).to_be_visible()
    phone.go("#/settings")
    expect(phone.page.get_by_text("1 photo waits to be sent.")).to_be_visible()
    assert phone.signal("pending")["count"] == 1, "photos are counted apart"


def test_what_is_measured_goes_first_even_while_a_photo_hangs(
    phone: Phone, job: str, served: Served, new_phone: Callable[[], Phone]
) -> None:
    order, hanging = [], []
    phone.context.on("request", lambda r: order.append(r.url.split("/api/v1/")[1][:7]) if r.method != "GET" else None)
    phone.page.route("**/api/v1/photos/*", lambda route: hanging.append(route) or None)
    read_with_photo(phone, job, taken(800, 600))
    phone.wait_for(lambda: hanging)
    assert order == ["entries", "photos/"]
    # A round that nobody asked for, by a timer or another tab, is not held up; nor is one after a new reading.
    phone.call("sendNow")
    phone.turn(job, 2)
    phone.wait_sent()
    assert len(served.rows("SELECT 1 FROM entries WHERE job_id = ?", job)) == 2
    assert in_book(served) == []
    phone.page.unroute("**/api/v1/photos/*")
    phone.call("sendNow")
    [row] = wait_held(phone, "sent")
    assert in_book(served) == [(row["sha256"], row["bytes"])]
    assert row["seq"] == served.rows("SELECT seq FROM shops")[0][0]

    second = new_phone().open().offline_ready().pair(served.pairing_code())
    second.call("sendNow")
    second.go(f"#/jobs/{job}/plan")
    seen = second.page.get_by_role("img", name=re.compile("^Photo of Cage height"))
    expect(seen).to_be_visible()
    assert seen.evaluate("(img) => [img.naturalWidth, img.naturalHeight]") == [800, 600]
    seen.click()
    large = second.page.get_by_role("dialog")
    expect(large.get_by_role("img")).to_be_visible()
    large.get_by_role("button", name="Close").click()
    expect(large).not_to_be_visible()


def test_a_second_phone_says_what_it_lacks(
    phone: Phone, job: str, served: Served, new_phone: Callable[[], Phone]
) -> None:
    phone.context.route("**/api/v1/photos/*", lambda route: route.abort())
    read_with_photo(phone, job, taken(800, 600))
    phone.wait_sent()
    second = new_phone().open().offline_ready().pair(served.pairing_code())
    second.call("sendNow")
    second.wait_entries(job, 1)
    second.go(f"#/jobs/{job}/plan")
    expect(second.page.get_by_text("the phone that took it has not sent it yet")).to_be_visible()
    phone.context.unroute("**/api/v1/photos/*")
    phone.call("sendNow")
    wait_held(phone, "sent")
    second.context.set_offline(True)
    second.reload()
    second.go(f"#/jobs/{job}/plan")
    expect(second.page.get_by_text("it is shown when there is a signal")).to_be_visible()
    second.context.set_offline(False)
    second.call("sendNow")
    expect(second.page.get_by_role("img", name=re.compile("^Photo of Cage height"))).to_be_visible()


def test_a_page_killed_while_a_photo_is_sent(phone: Phone, job: str, served: Served) -> None:
    got = []

    def keep(route: Route) -> None:
        got.append(route.fetch().status)  # the service has it; the page never hears of it

    phone.context.route("**/api/v1/photos/*", keep)
    read_with_photo(phone, job, taken(800, 600))
    phone.wait_for(lambda: got)
    context = phone.context
    phone.page.close()
    context.unroute("**/api/v1/photos/*")
    again = Phone(context.new_page(), served.url).open()
    wait_held(again, "sent")
    assert got == [200] and len(in_book(served)) == 1


def test_a_photo_of_what_is_written_down_already(phone: Phone, job: str, served: Served) -> None:
    """A check, and a reading of before: written anew with its photo, of the same moment."""
    phone.go(f"#/jobs/{job}/bench/stop_ride")
    check = phone.page.get_by_role("listitem").filter(has_text="Right side on the right, both tight").first
    check.get_by_role("button", name="passed").click()
    button = check.get_by_role("button", name=re.compile("^Photo of"))
    choose(phone, button, taken(400, 300), "Choose one")
    expect(check.get_by_role("img")).to_be_visible()
    first, second = phone.wait_entries(job, 2)
    assert second["entry"]["replaces"] == first["entry"]["id"]
    assert len(second["entry"]["photos"]) == 1
    same = ("kind", "stage", "taken_at", "data", "by")
    assert [second["entry"][name] for name in same] == [first["entry"][name] for name in same]
    # Another one goes beside the first.
    phone.go(f"#/jobs/{job}/plan")
    row = phone.page.get_by_role("listitem").filter(has=phone.page.get_by_role("img")).first
    # A photo takes nothing back: the check stands once.
    expect(phone.page.locator("li.entry")).to_have_count(1)
    expect(phone.page.locator("li.entry s")).to_have_count(0)
    choose(phone, row.get_by_role("button", name=re.compile("^Photo of")), taken(400, 300, seed=9))
    phone.wait_entries(job, 3)
    assert [len(photos) for photos in standing_photos(phone, job)] == [2]
    wait_held(phone, "sent", 2)
    phone.wait_sent()
    statuses = served.rows("SELECT outcome FROM entries WHERE job_id = ?", job)
    assert [outcome for (outcome,) in statuses] == ["passed"] * 3
    assert served.rows("SELECT count(*) FROM entry_conflicts") == [(0,)]


def test_on_the_road_at_a_fastener_and_with_words(phone: Phone, job: str) -> None:
    hand, page = Mechanic(phone.page), phone.page
    phone.go(f"#/jobs/{job}/bench/cockpit/stem_steerer")
    choose(phone, page.locator(".now").get_by_role("button", name="Photo"), taken(400, 300, seed=1))
    page.locator(".now").get_by_role("button", name="1 photo").wait_for()
    hand.tap(page.locator(".pad").get_by_role("button", name="Keep", exact=True))
    phone.wait_entries(job, 1)
    phone.go(f"#/jobs/{job}/plan")
    page.get_by_label("A remark, or work").fill("Scratch on the left seat stay, as it came")
    choose(phone, page.get_by_role("button", name="Photo", exact=True), taken(400, 300, seed=2))
    page.get_by_role("button", name="1 photo").wait_for()
    hand.tap("Advised, not wanted")
    phone.wait_entries(job, 2)
    phone.go(f"#/jobs/{job}/road")
    hand.start_ride()
    choose(phone, page.get_by_role("button", name="Photo", exact=True), taken(400, 300, seed=3))
    page.get_by_role("button", name="1 photo").wait_for()
    hand.turned("Rear fine position", 1)
    phone.wait_entries(job, 3)
    assert [len(photos) for photos in standing_photos(phone, job)] == [1, 1, 1]
    wait_held(phone, "sent", 3)


def test_words_and_photo_begun_stay_until_they_are_kept_or_left_out(phone: Phone, job: str) -> None:
    """Over another page, and over a page killed without a signal."""
    hand, page = Mechanic(phone.page), phone.page
    phone.context.set_offline(True)
    words = page.get_by_label("A remark, or work")
    phone.go(f"#/jobs/{job}/plan")
    words.fill("Scratch on the left seat stay")
    choose(phone, page.get_by_role("button", name="Photo", exact=True), taken(400, 300, seed=2))
    page.get_by_role("button", name="1 photo").wait_for()
    phone.go(f"#/jobs/{job}/bench/front_cage/cage_height_gap")
    choose(phone, page.locator(".now").get_by_role("button", name="Photo"), taken(400, 300, seed=3))
    page.locator(".now").get_by_role("button", name="1 photo").wait_for()
    for opened_again in (False, True):
        if opened_again:
            wait_begun(phone, 2)
            phone.reload()
        phone.go(f"#/jobs/{job}/plan")
        expect(words).to_have_value("Scratch on the left seat stay")
        hand.tap("1 photo")
        expect(page.get_by_role("img", name="Photo of what is in hand")).to_be_visible()
    hand.tap("Remark")
    [entry] = phone.wait_entries(job, 1)
    assert entry["entry"]["data"]["text"] == "Scratch on the left seat stay" and len(entry["entry"]["photos"]) == 1
    phone.go(f"#/jobs/{job}/bench/front_cage/cage_height_gap")
    hand.tap(page.locator(".now").get_by_role("button", name="1 photo"))
    hand.tap("Leave out")
    wait_begun(phone, 0)
    phone.reload()
    phone.go(f"#/jobs/{job}/plan")
    expect(words).to_have_value("")
    expect(page.get_by_role("button", name="Photo", exact=True)).to_be_visible()


def test_a_photo_without_words_is_a_remark(phone: Phone, job: str, served: Served) -> None:
    page = phone.page
    phone.go(f"#/jobs/{job}/plan")
    choose(phone, page.get_by_role("button", name="Photo", exact=True), taken(400, 300))
    page.get_by_role("button", name="1 photo").wait_for()
    Mechanic(page).tap("Advised, not wanted")
    expect(page.get_by_text("Write which work it was.")).to_be_visible()
    Mechanic(page).tap("Remark")
    [entry] = phone.wait_entries(job, 1)
    assert entry["entry"]["data"] == {"text": "Photo"} and len(entry["entry"]["photos"]) == 1
    phone.wait_sent()
    assert served.rows("SELECT kind FROM entries WHERE job_id = ?", job) == [("remark",)]


def test_one_the_service_refuses_is_told_kept_and_can_be_saved(phone: Phone, job: str, served: Served) -> None:
    detail = "The body has 9000000 bytes; 4194304 are taken at most."
    problem = json.dumps({"type": "about:blank", "title": "Too large", "status": 413, "detail": detail})
    phone.context.route(
        "**/api/v1/photos/*",
        lambda route: route.fulfill(status=413, content_type="application/problem+json", body=problem),
    )
    read_with_photo(phone, job, taken(800, 600))
    [row] = wait_held(phone, "refused")
    phone.context.unroute("**/api/v1/photos/*")
    phone.go("#/settings")
    expect(phone.page.get_by_text(detail)).to_be_visible()
    expect(phone.page.get_by_text("Take the photo again, as a JPEG or PNG, and add it to its entry")).to_be_visible()
    with phone.page.expect_download() as saved:
        phone.page.get_by_role("link", name="Save as a file").click()
    assert saved.value.path().read_bytes() == row["bytes"]
    phone.reload()
    phone.call("sendNow")
    assert [one["state"] for one in held(phone)] == ["refused"]
    assert phone.signal("pending")["count"] == 0 and in_book(served) == []


def test_what_is_no_picture_is_said_at_once(phone: Phone, job: str) -> None:
    phone.go(f"#/jobs/{job}/bench/front_cage/cage_height_gap")
    choose(phone, phone.page.locator(".now").get_by_role("button", name="Photo"), b"no picture at all")
    expect(phone.page.get_by_role("alert")).to_contain_text("no picture that this browser can read")
    assert held(phone) == []


def expect_in_sight(page: Page, found: Locator) -> None:
    """Nothing lies over it: what is met in its middle is itself."""
    expect(found).to_be_visible()
    page.wait_for_timeout(100)
    assert found.evaluate(
        """(el) => {
          const { left, top, width, height } = el.getBoundingClientRect();
          return el.contains(document.elementFromPoint(left + width / 2, top + height - 4));
        }"""
    ), "something lies over it, or it is out of sight"


@pytest.mark.parametrize("height", [839, 640])
def test_taking_or_choosing_opens_in_sight(phone: Phone, job: str, height: int) -> None:
    hand, page = Mechanic(phone.page), phone.page
    page.set_viewport_size({"width": 412, "height": height})
    check = {"kind": "check", "stage": "bench", "data": {"check": "brake_hold", "outcome": "passed"}}
    for _ in range(12):
        phone.call("log", job, check)
    for where in ("plan", "bench/stop_ride", "bench/front_cage/note", "bench/front_cage/cage_height_gap",
                  "bench/hanger/hanger_deviation"):  # fmt: skip
        phone.go(f"#/jobs/{job}/{where}")
        page.get_by_role("button", name=re.compile("^Photo")).first.wait_for()
        for button in page.get_by_role("button", name=re.compile("^Photo")).all():
            # At the lower edge of what is seen, where a thumb comes to it.
            button.evaluate(
                """(el) => {
                  const foot = document.querySelector('.foot');
                  if (foot.contains(el)) return;
                  el.scrollIntoView();
                  scrollBy(0, el.getBoundingClientRect().bottom - foot.getBoundingClientRect().top);
                }"""
            )
            hand.tap(button)
            expect_in_sight(page, page.get_by_role("button", name="Choose one"))
            give_to(page, b"no picture")
            expect(page.get_by_role("alert")).to_contain_text("choose a JPEG or PNG")
            expect_in_sight(page, page.get_by_role("alert"))
            hand.tap(button)


def give_to(page: Page, *pictures: bytes) -> None:
    """What the gallery hands over."""
    files = [{"name": f"{n}.jpg", "mimeType": "image/jpeg", "buffer": data} for n, data in enumerate(pictures)]
    page.locator("input[type=file][multiple]").set_input_files(files)


def test_one_that_cannot_be_used_does_not_hold_up_the_others(phone: Phone, job: str) -> None:
    page = phone.page
    phone.go(f"#/jobs/{job}/plan")
    Mechanic(page).tap("Photo")
    give_to(page, taken(400, 300, seed=1), b"no picture", taken(400, 300, seed=2))
    expect(page.get_by_role("alert")).to_contain_text("1.jpg: This is no picture")
    page.get_by_role("button", name="2 photos").wait_for()
    give_to(page, *(taken(100, 100, seed=n) for n in range(20)))
    expect(page.get_by_role("alert")).to_contain_text("An entry holds 20 photos at most: the first 18 of these")
    page.get_by_role("button", name="20 photos").wait_for()


def test_a_phone_without_room_for_a_photo_keeps_the_reading_and_says_so(phone: Phone, job: str) -> None:
    phone.context.set_offline(True)
    phone.go(f"#/jobs/{job}/bench/front_cage/cage_height_gap")
    choose(phone, phone.page.locator(".now").get_by_role("button", name="Photo"), taken(1600, 1200))
    phone.page.locator(".now").get_by_role("button", name="1 photo").wait_for()
    phone.page.evaluate(
        """() => {
          const add = IDBObjectStore.prototype.add;
          IDBObjectStore.prototype.add = function (...given) {
            if (this.name === "photos") throw new DOMException("full", "QuotaExceededError");
            return add.apply(this, given);
          };
        }"""
    )
    hand = Mechanic(phone.page)
    hand.type("1.4")
    hand.tap(phone.page.locator(".pad").get_by_role("button", name="Keep", exact=True))
    expect(phone.page.get_by_role("alert")).to_contain_text("Written down without its photo.")
    expect(phone.page.get_by_role("alert")).to_contain_text("storage is full")
    [entry] = phone.wait_entries(job, 1)
    assert entry["entry"]["data"]["value"] == 1.4 and not entry["entry"].get("photos")
    assert held(phone) == []
    phone.context.set_offline(False)
    phone.call("sendNow")
    phone.wait_sent()


def test_review_and_record_show_them(new_phone: Callable[[], Phone], served: Served, book: WorkshopBook) -> None:
    phone = new_phone().open().offline_ready().pair(served.pairing_code())
    phone.until("(job) => !!window.book.jobs.value.find((one) => one.id === job)", book.comeback)
    phone.go(f"#/jobs/{book.comeback}/plan")
    row = phone.page.get_by_role("listitem").filter(has_text="Hanger deviation").first
    choose(phone, row.get_by_role("button", name=re.compile("^Photo of")), taken(800, 600))
    [shown] = wait_held(phone, "sent")
    phone.go(f"#/jobs/{book.comeback}/review")
    line = phone.page.get_by_role("listitem").filter(has_text="Hanger deviation").first
    expect(line.get_by_role("img", name="Photo of Hanger deviation, as found")).to_be_visible()

    phone.go(f"#/jobs/{book.build}/plan")
    phone.page.get_by_label("A remark, or work").fill("New pads")
    choose(phone, phone.page.get_by_role("button", name="Photo", exact=True), taken(800, 600, seed=4))
    phone.page.get_by_role("button", name="1 photo").wait_for()
    Mechanic(phone.page).tap("Advised, not wanted")
    wait_held(phone, "sent", 2)
    record = book.hand_over(book.build)
    url = book.call("POST", f"/records/{record['id']}/links", {})["url"]
    page = phone.context.new_page()
    page.goto(url)
    picture = page.get_by_role("img", name=re.compile("^Photo: "))
    for medium in ("screen", "print"):
        page.emulate_media(media=medium)
        expect(picture).to_be_visible()
    assert picture.evaluate("(img) => img.naturalWidth") == 800
    assert shown["sha256"] not in page.content(), "another job's photo"


def test_a_photo_of_the_wrong_thing_is_taken_off_and_its_entry_stays(phone: Phone, job: str) -> None:
    hand = Mechanic(phone.page)
    stands = phone.page.get_by_role("button", name="Undo")
    scratch = phone.page.locator("li.entry", has_text="Scratch").filter(has=stands)
    phone.call("log", job, {"kind": "remark", "stage": "bench", "data": {"text": "Scratch on the stay"}})
    phone.go(f"#/jobs/{job}/plan")
    for seed in (1, 2):
        choose(phone, scratch.get_by_role("button", name="Photo of"), taken(600, 400, seed=seed))
        expect(scratch.locator("img")).to_have_count(seed)
    [[first, second]] = standing_photos(phone, job)
    hand.tap(scratch.locator("button.ph").first)
    hand.tap("Take this photo off its entry")
    expect(phone.page.locator("li.entry", has_text="a photo taken off")).to_have_count(1)
    assert standing_photos(phone, job) == [[second]]
    hand.tap(scratch.locator("button.ph").first)
    hand.tap("Take this photo off its entry")
    phone.page.locator("li.entry", has_text="a photo taken off").nth(1).wait_for()
    assert standing_photos(phone, job) == [[]]
    assert first != second
