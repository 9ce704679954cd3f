"""The database file: which journal it may be trusted with, one writer at a time, whole transactions or none."""

from __future__ import annotations

import threading
import time

import pytest
from sqlite_utils.utils import sqlite3

from service.ids import new_id
from service.store import Store, StoreBusy, StoreFault, connection, migrate, shop
from service.store.connection import durability, open_database


@pytest.fixture
def store(tmp_path):
    path = tmp_path / "book.db"
    migrate(path)
    store = Store(path)
    with store.writing() as db:
        shop.add(db, "shop", "Yard Workshop", new_id(), "2026-03-05T12:00:00+00:00")
    yield store
    store.close()


@pytest.mark.parametrize(
    ("version", "mode"),
    [
        # SQLite's release notes of 3.51.3, and of the back-ports 3.50.7 and 3.44.6
        ((3, 40, 1), "DELETE"),
        ((3, 44, 5), "DELETE"),
        ((3, 44, 6), "WAL"),
        ((3, 44, 9), "WAL"),
        ((3, 45, 0), "DELETE"),
        ((3, 50, 6), "DELETE"),
        ((3, 50, 7), "WAL"),
        ((3, 51, 0), "DELETE"),
        ((3, 51, 2), "DELETE"),
        ((3, 51, 3), "WAL"),
        ((3, 53, 4), "WAL"),
        ((4, 0, 0), "WAL"),
    ],
)
def test_wal_only_where_its_race_is_fixed(version, mode):
    assert durability(version) == (mode, {"WAL": "FULL", "DELETE": "EXTRA"}[mode])


@pytest.mark.parametrize(("mode", "level", "number"), [("WAL", "FULL", 2), ("DELETE", "EXTRA", 3)])
def test_every_connection_is_durable_and_checks_foreign_keys(tmp_path, monkeypatch, mode, level, number):
    monkeypatch.setattr(connection, "durability", lambda _: (mode, level))
    migrate(tmp_path / "book.db")
    store = Store(tmp_path / "book.db")
    for context in (store.reading, store.writing):
        with context() as db:
            assert db.execute("PRAGMA synchronous").fetchone()[0] == number
            assert db.execute("PRAGMA foreign_keys").fetchone()[0] == 1
            assert db.execute("PRAGMA busy_timeout").fetchone()[0] == 5000
            assert db.execute("PRAGMA journal_mode").fetchone()[0].upper() == mode
    state = store.state()
    assert (state["journal_mode"], state["synchronous"]) == (mode, level)
    store.close()


def test_a_block_that_fails_leaves_nothing(store):
    with pytest.raises(ZeroDivisionError), store.writing() as db:
        assert shop.take_seq(db, "shop", 5) == 1
        raise ZeroDivisionError
    with store.writing() as db:
        assert shop.take_seq(db, "shop") == 1


def test_seqs_are_handed_out_in_blocks(store):
    with store.writing() as db:
        assert [shop.take_seq(db, "shop", 3), shop.take_seq(db, "shop"), shop.take_seq(db, "shop", 2)] == [1, 4, 5]
        assert shop.get(db, "shop")["seq"] == 6


def test_a_reader_cannot_write(store):
    with pytest.raises(StoreFault), store.reading() as db:
        db.execute("UPDATE shops SET name = 'x' WHERE shop_id = 'shop'")


def test_a_reader_sees_one_moment(store):
    with store.reading() as db:
        before = shop.get(db, "shop")["seq"]
        with store.writing() as other:
            shop.take_seq(other, "shop")
        assert shop.get(db, "shop")["seq"] == before
    with store.reading() as db:
        assert shop.get(db, "shop")["seq"] == before + 1


def test_a_block_inside_a_block_sees_the_same_moment(store):
    with store.reading() as db:
        before = shop.get(db, "shop")
        with store.writing() as other:
            shop.take_seq(other, "shop")
        with store.reading() as inner:
            assert shop.get(inner, "shop") == before
        assert shop.get(db, "shop") == before


def test_writers_take_turns(store):
    order: list[int] = []

    def write(n: int) -> None:
        with store.writing() as db:
            first = shop.take_seq(db, "shop")
            time.sleep(0.005)
            order.append(first)

    threads = [threading.Thread(target=write, args=(n,)) for n in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert order == list(range(1, 9))


def test_a_writer_does_not_wait_for_ever(store, monkeypatch):
    monkeypatch.setattr(connection, "WRITER_PATIENCE", 0.05)
    held, done = threading.Event(), threading.Event()

    def hold() -> None:
        with store.writing():
            held.set()
            done.wait(5)

    thread = threading.Thread(target=hold)
    thread.start()
    held.wait(5)
    with pytest.raises(StoreBusy), store.writing():
        pass
    done.set()
    thread.join()
    with store.writing() as db:  # and the next one gets its turn again
        shop.take_seq(db, "shop")


def test_a_file_locked_by_another_process_is_busy(store, monkeypatch):
    store._writer.execute("PRAGMA busy_timeout = 20")
    other = open_database(store.path)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(StoreBusy), store.writing():
        pass
    other.rollback()
    other.close()
    with store.writing() as db:
        shop.take_seq(db, "shop")


def test_a_broken_constraint_is_a_fault_of_ours(store):
    with pytest.raises(StoreFault), store.writing() as db:
        shop.add(db, "shop", "twice", new_id(), "2026-03-05T12:00:00+00:00")


def test_a_file_that_is_no_database(tmp_path):
    (tmp_path / "book.db").write_bytes(b"not a database, but long enough to be read as one" * 100)
    with pytest.raises((StoreFault, sqlite3.DatabaseError)):
        Store(tmp_path / "book.db")
