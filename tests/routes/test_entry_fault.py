"""Faults on our side of a batch: nothing half done, nothing doubled, and the phone is told to try again."""

from __future__ import annotations

import threading

from tests.conftest import Phone


def statuses(results: list[dict]) -> list[str]:
    return [result["status"] for result in results]


def test_one_of_our_own_faults_does_not_hold_up_the_others(shop, monkeypatch):
    from service import entry_judging

    monkeypatch.setitem(entry_judging._OF_KIND, "remark", lambda *_: 1 / 0)
    results = shop.phone.sent(
        shop.phone.entry(shop.job, "remark", {"text": "x"}), shop.phone.reading(shop.job, "guide_pulley_gap", 5)
    )
    assert statuses(results) == ["retry", "stored"]
    assert results[0]["problem"]["type"].endswith("fault")


def test_a_book_that_is_being_written_is_busy(shop, store, monkeypatch):
    from service.store import connection

    monkeypatch.setattr(connection, "WRITER_PATIENCE", 0.02)
    entry = shop.phone.reading(shop.job, "guide_pulley_gap", 5.2)
    assert store._turn.acquire()
    try:
        answer = shop.phone.send(entry)
    finally:
        store._turn.release()
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "2")
    assert answer.content_type == "application/problem+json"
    assert statuses(shop.phone.sent(entry)) == ["stored"]


def test_a_fault_of_the_store_rolls_back_all_of_it(shop, monkeypatch):
    from service.store import StoreFault, entry

    def fail(*_):
        raise StoreFault("disk full")

    sent = [shop.phone.reading(shop.job, "guide_pulley_gap", 5.2) for _ in range(3)]
    with monkeypatch.context() as broken:
        broken.setattr(entry, "add_conflicts", fail)
        answer = shop.phone.send(*sent)
    assert answer.status_code == 503
    assert int(answer.headers["Retry-After"]) > 0
    assert shop.phone.get(f"/jobs/{shop.job}/entries").json["entries"] == []
    assert [r["seq"] for r in shop.phone.sent(*sent)] == [3, 4, 5]


def test_a_full_disk_stores_nothing_and_is_said(shop, store):
    """SQLite's own limit on pages stands in for the disk's end."""
    entries = [shop.phone.entry(shop.job, "remark", {"text": "x" * 4000}) for _ in range(50)]
    pages = store._writer.execute("PRAGMA page_count").fetchone()[0]
    store._writer.execute(f"PRAGMA max_page_count = {pages + 2}").fetchone()
    answer = shop.phone.send(*entries)
    assert answer.status_code == 503
    assert "nothing was kept" in answer.json["detail"]
    assert shop.phone.get(f"/jobs/{shop.job}/entries").json["entries"] == []
    store._writer.execute("PRAGMA max_page_count = 1000000").fetchone()
    assert statuses(shop.phone.sent(*entries)) == ["stored"] * 50


def test_a_batch_delivered_twice_at_the_same_time_is_stored_once(app, shop):
    entries = [shop.phone.reading(shop.job, "guide_pulley_gap", 5.2) for _ in range(40)]
    body, answers = shop.phone.batch(entries), []

    def deliver() -> None:
        http = app.test_client()
        answers.append(http.post("/api/v1/entries", json=body, headers=shop.phone.headers).json["results"])

    threads = [threading.Thread(target=deliver) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for one in zip(*answers, strict=True):
        assert sorted(statuses(one)) == ["duplicate"] * 3 + ["stored"]
        assert len({result["seq"] for result in one}) == 1
    stored = shop.phone.get(f"/jobs/{shop.job}/entries").json["entries"]
    assert [entry["id"] for entry in stored] == [entry["id"] for entry in entries]


def test_two_phones_at_once_take_their_own_numbers(app, shop, mechanic):
    def send(phone: Phone) -> None:
        for _ in range(10):
            phone.sent(*(phone.entry(shop.job, "remark", {"text": "x"}) for _ in range(5)))

    threads = [threading.Thread(target=send, args=(phone,)) for phone in (shop.phone, mechanic)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    changes = shop.phone.get("/changes?limit=1000").json["changes"]
    assert [change["seq"] for change in changes] == list(range(1, 103))


def test_what_a_newer_contract_writes_is_asked_for_again_and_never_rejected(shop):
    phone = shop.phone
    later = phone.entry(shop.job, "remark", {"text": "wet"}, weather="rain")
    plain = phone.entry(shop.job, "remark", {"text": "dry"})
    results = phone.send(later, plain, contract=2).json["results"]
    assert [result["status"] for result in results] == ["retry", "stored"]
    assert results[0]["problem"]["type"].endswith(":newer-contract")
    assert results[0]["problem"]["errors"][0]["pointer"] == "/weather"
    assert phone.sent(later)[0]["status"] == "rejected", "by the contract that both speak it is at fault"
