"""The schema: STRICT tables whose keys the shop leads, CHECKs that hold, migrations that are taken once."""

from __future__ import annotations

import pytest
from sqlite_utils.utils import sqlite3

from service.ids import new_id
from service.store import Store, migrate, migrations, pending, shop
from service.store.connection import open_database


@pytest.fixture
def db(tmp_path):
    migrate(tmp_path / "book.db")
    db = open_database(tmp_path / "book.db")
    yield db
    db.close()


def own_tables(db) -> list[str]:
    return [name for name in db.table_names() if not name.startswith(("_", "sqlite_"))]


def test_they_are_taken_once_and_named(tmp_path):
    path = tmp_path / "book.db"
    taken = migrate(path)
    assert taken == sorted(taken) and taken[0].startswith("0001_")
    assert migrate(path) == []
    db = open_database(path)
    assert pending(db) == []
    db.close()


def test_a_step_that_fails_leaves_nothing_of_itself(tmp_path, monkeypatch):
    from sqlite_utils import Migrations

    book = Migrations("book")

    @book(name="0001_good", transactional=True)
    def good(db):
        db.execute("CREATE TABLE good (shop_id TEXT NOT NULL, PRIMARY KEY (shop_id)) STRICT")

    @book(name="0002_bad", transactional=True)
    def bad(db):
        db.execute("CREATE TABLE half (shop_id TEXT NOT NULL, PRIMARY KEY (shop_id)) STRICT")
        db.execute("CREATE TABLE good (shop_id TEXT)")

    monkeypatch.setattr(migrations, "book", book)
    with pytest.raises(sqlite3.OperationalError):
        migrate(tmp_path / "book.db")
    db = open_database(tmp_path / "book.db")
    assert own_tables(db) == ["good"]
    assert [step.name for step in book.pending(db)] == ["0002_bad"]
    db.close()


def test_every_table_is_strict_and_led_by_the_shop(db):
    for table in own_tables(db):
        assert db[table].strict, table
        assert db[table].pks[0] == "shop_id", table
        for index in db[table].indexes:
            automatic_unique = index.origin == "u"
            assert automatic_unique or index.columns[0] == "shop_id", (table, index)


def test_every_foreign_key_carries_the_shop(db):
    for table in own_tables(db):
        keys: dict[int, list[tuple[str, str]]] = {}
        for row in db.execute(f"PRAGMA foreign_key_list({table})"):
            keys.setdefault(row[0], []).append((row[3], row[4]))
        for columns in keys.values():
            assert "shop_id" in [column for column, _ in columns], (table, columns)


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO people VALUES ('s', 'p', '', 'owner', 1)",
        "INSERT INTO people VALUES ('s', 'p', 'n', 'king', 1)",
        "INSERT INTO people VALUES ('s', 'p', 'n', 'owner', 2)",
        "INSERT INTO people VALUES ('other', 'p', 'n', 'owner', 1)",
        "INSERT INTO people VALUES ('s', 'p', 'n', 'owner', 'yes')",
        "INSERT INTO customers VALUES ('s', 'c', NULL, NULL)",
        "INSERT INTO bikes VALUES ('s', 'b', 0, NULL, 'f', '{}', '', 't')",
        "INSERT INTO bikes VALUES ('s', 'b', 1, 'nobody', 'f', '{}', '', 't')",
        "INSERT INTO jobs VALUES ('s', 'j', 1, 'no bike', 'build', 'open', 't', 0, NULL, '{}', 't', NULL)",
        "UPDATE shops SET seq = -1",
    ],
)
def test_checks_hold(db, statement):
    db.execute("INSERT INTO shops (shop_id, name, created_at, epoch) VALUES ('s', 'Shop', 't', 'e')")
    with pytest.raises(sqlite3.IntegrityError):
        db.execute(statement)


def test_an_unmigrated_file_is_said_to_be_not_ready_and_refuses_to_pair(tmp_path):
    from service import Config, create_app
    from service.config import utc_now
    from service.pairing import owner_code

    app = create_app(Config(tmp_path / "book.db"))
    answer = app.test_client().get("/readyz")
    assert answer.status_code == 503
    assert "migrate" in answer.json["why"]
    assert app.test_client().get("/healthz").status_code == 200
    store = app.extensions["roadproof.store"]
    with pytest.raises(LookupError):
        owner_code(store, utc_now())
    store.close()


def test_two_shops_in_one_book_count_by_themselves(tmp_path):
    migrate(tmp_path / "book.db")
    store = Store(tmp_path / "book.db")
    with store.writing() as db:
        for one in ("a", "b"):
            shop.add(db, one, one, new_id(), "2026-03-05T12:00:00+00:00")
        assert shop.take_seq(db, "a", 7) == 1
        assert shop.take_seq(db, "b") == 1
    store.close()
