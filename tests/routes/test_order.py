"""The order of a job's entries, the phone's clock, and the feed of changes."""

from __future__ import annotations

from datetime import timedelta

from service.ids import new_id
from tests.conftest import BIKE, OPENED


def texts(shop) -> list[str]:
    return [e["data"]["text"] for e in shop.phone.get(f"/jobs/{shop.job}/entries").json["entries"]]


def remark(phone, job: str, text: str, taken_at: str, device_seq: int) -> dict:
    entry = phone.entry(job, "remark", {"text": text})
    return {**entry, "taken_at": taken_at, "device_seq": device_seq}


def test_entries_are_ordered_by_when_they_were_taken_then_by_the_devices_count(shop):
    phone = shop.phone
    later, earlier = "2026-03-05T10:00:00+01:00", "2026-03-05T08:30:00Z"
    phone.sent(remark(phone, shop.job, "third", later, 3), remark(phone, shop.job, "second", later, 2))
    phone.sent(remark(phone, shop.job, "first", earlier.replace("30", "00"), 9))
    assert texts(shop) == ["first", "second", "third"]


def test_a_phone_whose_clock_is_a_year_ahead(shop, mechanic):
    """Its entries stand where they belong beside those of a phone whose clock is right."""
    ahead = timedelta(days=365)
    now = mechanic.clock()
    one = remark(shop.phone, shop.job, "first", (now - timedelta(minutes=2)).isoformat(), 1)
    two = remark(mechanic, shop.job, "second", (now + ahead - timedelta(minutes=1)).isoformat(), 1)
    assert mechanic.send(two, sent_at=(now + ahead).isoformat()).status_code == 200
    shop.phone.sent(one)
    assert texts(shop) == ["first", "second"]
    devices = {d["id"]: d for d in shop.phone.get("/devices").json["devices"]}
    assert devices[mechanic.device_id]["clock_offset_ms"] == -365 * 86_400_000
    assert devices[shop.phone.device_id]["clock_offset_ms"] == 0


def test_the_time_a_batch_was_on_its_way_does_not_shuffle_entries(shop):
    phone, now = shop.phone, shop.phone.clock()
    taken = (now - timedelta(seconds=10)).isoformat()
    phone.send(remark(phone, shop.job, "first", taken, 1), sent_at=(now - timedelta(seconds=4)).isoformat())
    phone.send(remark(phone, shop.job, "second", taken, 2), sent_at=now.isoformat())
    assert texts(shop) == ["first", "second"]


def test_gaps_are_shown_and_close_by_themselves(shop):
    phone = shop.phone
    entries = [remark(phone, shop.job, str(n), OPENED, n) for n in (1, 2, 5, 6, 9)]
    phone.sent(*entries)

    def gaps(path: str) -> list[tuple[int, int]]:
        answer = phone.get(path).json
        found = answer["gaps"] if "gaps" in answer else answer["devices"][0]["gaps"]
        return [(gap["first"], gap["last"]) for gap in found]

    assert gaps(f"/jobs/{shop.job}/entries") == gaps("/devices") == [(3, 4), (7, 8)]
    phone.sent(remark(phone, shop.job, "3", OPENED, 3), remark(phone, shop.job, "4", OPENED, 4))
    assert gaps(f"/jobs/{shop.job}/entries") == gaps("/devices") == [(7, 8)]


def test_a_gap_is_shown_only_beside_the_jobs_it_may_belong_to(shop):
    phone, other = shop.phone, new_id()
    job = {"base_seq": None, "bike_id": shop.bike, "kind": "service", "opened_at": OPENED}
    assert phone.put(f"/jobs/{other}", job).status_code == 200
    phone.sent(*(remark(phone, shop.job, str(n), OPENED, n) for n in (1, 3)), remark(phone, other, "4", OPENED, 4))
    assert len(phone.get(f"/jobs/{shop.job}/entries").json["gaps"]) == 1
    assert phone.get(f"/jobs/{other}/entries").json["gaps"] == []


def test_the_feed_gives_bikes_and_jobs_once_and_every_entry(shop):
    phone = shop.phone
    entry = phone.reading(shop.job, "guide_pulley_gap", 5.3)
    phone.sent(entry)
    assert phone.put(f"/bikes/{shop.bike}", {**BIKE, "base_seq": 1, "label": "Renamed"}).status_code == 200
    feed = phone.get("/changes").json
    assert [(c["seq"], c["noun"], c["body"]["id"]) for c in feed["changes"]] == [
        (2, "job", shop.job),
        (3, "entry", entry["id"]),
        (4, "bike", shop.bike),
    ]
    assert (feed["next"], feed["more"]) == (4, False)
    assert feed["epoch"] == phone.get("/me").json["epoch"]
    assert feed["changes"][2]["body"] == phone.get(f"/bikes/{shop.bike}").json
    received = feed["changes"][1]["body"]
    assert received["derived"]["value"] == 5.3
    assert {name: received[name] for name in entry} == entry


def test_the_feed_in_pages(shop):
    phone = shop.phone
    phone.sent(*(phone.entry(shop.job, "remark", {"text": str(n)}) for n in range(7)))
    seqs, after, pages = [], 0, 0
    while True:
        page = phone.get(f"/changes?after={after}&limit=4").json
        seqs += [change["seq"] for change in page["changes"]]
        after, pages = page["next"], pages + 1
        if not page["more"]:
            break
    assert seqs == list(range(1, 10))
    assert pages == 3
    assert phone.get(f"/changes?after={after}").json["changes"] == []
    assert phone.get(f"/changes?after={after}").json["next"] == after


def test_another_shop_sees_none_of_it(app, store, shop):
    from tests.other_shop import other_owner

    shop.phone.sent(shop.phone.entry(shop.job, "remark", {"text": "ours"}))
    stranger = other_owner(app, store, shop.phone.clock)
    assert stranger.get("/changes").json["changes"] == []
    assert stranger.get(f"/jobs/{shop.job}/entries").status_code == 404
    entry = stranger.entry(shop.job, "remark", {"text": "theirs"})
    assert stranger.sent(entry)[0]["status"] == "retry"
