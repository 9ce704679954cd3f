"""Backups made while the book is in use, and restored: nothing is overwritten, and at every moment there is a book."""

from __future__ import annotations

import sqlite3
import threading
import time
from pathlib import Path

import pytest

from service import backup, cli
from service.config import utc_now
from service.ids import new_id
from service.store import Store, connection, migrate, shop
from service.store.connection import durability, open_database


def make(path: Path, seq: int = 0) -> Path:
    """A book with one shop whose counter stands there."""
    migrate(path)
    write(path, seq)
    return path


def write(path: Path, count: int) -> None:
    store = Store(path)
    with store.writing() as db:
        if shop.first(db) is None:
            shop.add(db, "shop", "Yard Workshop", new_id(), utc_now().isoformat())
        shop.take_seq(db, "shop", count)
    store.close()


def found(path: Path) -> dict:
    db = open_database(path, read_only=True)
    try:
        return shop.get(db, "shop")
    finally:
        db.close()


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return make(tmp_path / "book.db", 5)


@pytest.fixture
def copy(book: Path, tmp_path: Path) -> Path:
    """A backup of the book, which has gone on since."""
    backup.back_up(book, tmp_path / "copy.db")
    write(book, 2)
    return tmp_path / "copy.db"


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def run(capsys, *words: object) -> tuple[int, str]:
    status = cli.main([str(word) for word in words])
    said = capsys.readouterr()
    return status, said.out + said.err


def test_a_backup_is_one_file_and_the_book_knows_how_far_it_reaches(book, tmp_path, capsys):
    status, said = run(capsys, "backup", "--db", book, "--to", tmp_path / "copy.db")
    assert (status, "up to number 5" in said) == (0, True), said
    assert found(tmp_path / "copy.db")["seq"] == 5
    assert found(book)["backed_up_to"] == 5
    assert names(tmp_path) == {"book.db", "copy.db"}


def test_what_a_backup_holds_is_told_to_the_phone(shop, app, tmp_path):
    remark = shop.phone.entry(shop.job, "remark", {"text": "Kept twice."})
    [stored] = shop.phone.sent(remark)
    backup.back_up(app.extensions["roadproof.store"].path, tmp_path / "copy.db")
    assert shop.phone.send(remark).json["backed_up_to"] == stored["seq"]


def test_a_backup_of_a_book_in_use_holds_whole_changes_only(book, tmp_path):
    """Another thread moves two counters together, over and over."""
    store, stop = Store(book), threading.Event()

    def go_on() -> None:
        while not stop.is_set():
            time.sleep(0.001)  # for others' turn
            with store.writing() as db:
                seq = shop.take_seq(db, "shop")
                db.execute("UPDATE shops SET name = ? WHERE shop_id = 'shop'", (f"at {seq}",))

    writer = threading.Thread(target=go_on)
    writer.start()
    try:
        for n in range(20):
            backup.back_up(book, tmp_path / f"copy{n}.db")
            copied = found(tmp_path / f"copy{n}.db")
            assert copied["name"] == f"at {copied['seq']}" or copied["seq"] == 5
            assert found(book)["backed_up_to"] == copied["seq"] <= found(book)["seq"]
    finally:
        stop.set()
        writer.join()
        store.close()


def test_a_backup_is_never_written_over_a_file(book, tmp_path, capsys):
    there = tmp_path / "copy.db"
    there.write_text("something else")
    status, said = run(capsys, "backup", "--db", book, "--to", there)
    assert (status, "there already" in said) == (1, True), said
    assert there.read_text() == "something else"
    assert found(book)["backed_up_to"] is None


def test_a_restored_book_has_a_new_epoch_and_the_old_file_is_kept_beside(book, copy, tmp_path, capsys):
    before = found(book)
    assert before["seq"] == 7
    status, said = run(capsys, "restore", "--db", book, "--from", copy)
    assert status == 0, said
    after = found(book)
    assert after["seq"] == 5
    assert after["epoch"] not in (before["epoch"], found(copy)["epoch"])
    [kept] = tmp_path.glob("book.db.before-*")
    assert str(kept) in said
    assert found(kept) == before
    assert names(tmp_path) == {"book.db", "copy.db", kept.name}
    assert "later backup" not in said


def test_a_restore_where_nothing_stood_makes_the_book(copy, tmp_path):
    place = tmp_path / "new.db"
    assert backup.restore(place, copy, utc_now()) == (None, 0)
    assert found(place)["seq"] == 5


def test_a_later_backup_than_the_one_restored_is_told(book, copy, tmp_path, capsys):
    """Phones have let go of what only that one holds."""
    backup.back_up(book, tmp_path / "later.db")
    _, said = run(capsys, "restore", "--db", book, "--from", copy)
    assert "A later backup held 2 changes more" in said


def test_a_backup_of_an_earlier_version_is_brought_to_this_one(book, copy):
    db = sqlite3.connect(copy)
    db.executescript("DROP TABLE first_guesses; DROP TABLE shop_tables;")
    db.execute("DELETE FROM _sqlite_migrations WHERE name = '0006_reviews'")
    db.commit()
    db.close()
    backup.restore(book, copy, utc_now())
    assert migrate(book) == []


@pytest.mark.parametrize("wrong", ["no file", "text", "another program's", "damaged", "newer"])
def test_what_is_no_whole_book_of_ours_is_not_restored(book, copy, tmp_path, capsys, wrong):
    spoil(copy, wrong)
    before, there = found(book), names(tmp_path)
    status, said = run(capsys, "restore", "--db", book, "--from", copy)
    assert (status, str(copy) in said) == (1, True), said
    assert found(book) == before
    assert names(tmp_path) == there


def spoil(copy: Path, how: str) -> None:
    if how == "damaged":
        text = bytearray(copy.read_bytes())
        text[4096:] = b"\x55" * (len(text) - 4096)
        copy.write_bytes(text)
        return
    if how == "newer":
        db = sqlite3.connect(copy)
        db.execute(
            "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('book', '9999_later', '2099')"
        )
        db.commit()
        db.close()
        return
    copy.unlink()
    if how == "text":
        copy.write_text("a list of spokes" * 500)
    elif how == "another program's":
        db = sqlite3.connect(copy)
        db.execute("CREATE TABLE shops (name)")
        db.commit()
        db.close()


@pytest.mark.skipif(
    durability(connection.sqlite3.sqlite_version_info)[0] != "WAL",
    reason="an idle service is only seen where it keeps a write-ahead log",
)
def test_a_book_in_use_is_not_replaced(book, copy, tmp_path, capsys):
    store, there = Store(book), names(tmp_path)
    with store.reading() as db:
        before = shop.get(db, "shop")
    status, said = run(capsys, "restore", "--db", book, "--from", copy)
    assert (status, "stop the service first" in said) == (1, True), said
    with store.reading() as db:
        assert shop.get(db, "shop") == before
    store.close()
    assert found(book) == before
    assert {name for name in names(tmp_path) if "before" in name or "restoring" in name} == set(), there


def test_a_damaged_book_is_replaced_and_kept_with_what_lay_beside_it(book, copy, tmp_path):
    book.write_bytes(b"\x55" * 8192)
    Path(f"{book}-wal").write_bytes(b"the newest rows, perhaps")
    kept, _ = backup.restore(book, copy, utc_now())
    assert found(book)["seq"] == 5
    assert kept.read_bytes() == b"\x55" * 8192
    assert Path(f"{kept}-wal").read_bytes() == b"the newest rows, perhaps"


def test_a_restore_that_breaks_off_leaves_the_book_as_it_was(book, copy, monkeypatch):
    before = found(book)

    def full(self, target):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    assert cli.main(["restore", "--db", str(book), "--from", str(copy)]) == 1
    assert found(book) == before
    monkeypatch.undo()
    write(book, 1)
    backup.restore(book, copy, utc_now().replace(year=2090))
    assert found(book)["seq"] == 5
