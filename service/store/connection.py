"""The database file: how it is opened, read from and written to. No business logic lives in this room."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlite_utils import Database
from sqlite_utils.utils import sqlite3

from .errors import StoreBusy, StoreFault

WRITER_PATIENCE = 5.0  # seconds a request waits for the writer's turn
BUSY_TIMEOUT_MS = 5000


def durability(version: tuple[int, ...]) -> tuple[str, str]:
    """Journal mode and synchronous level that never lose a committed row with this SQLite version.

    Versions 3.7.0 to 3.51.2 can lose rows in WAL mode when a checkpoint races a write (SQLite release notes of
    3.51.3; back-ported to 3.44.6 and 3.50.7), so they keep a rollback journal.
    """
    fixed = version >= (3, 51, 3) or (3, 50, 7) <= version < (3, 51) or (3, 44, 6) <= version < (3, 45)
    return ("WAL", "FULL") if fixed else ("DELETE", "EXTRA")


def open_database(path: Path | str, *, read_only: bool = False) -> Database:
    """A connection with foreign keys on, in the journal mode this SQLite version can be trusted with."""
    conn = sqlite3.connect(str(path), isolation_level=None, check_same_thread=False, timeout=BUSY_TIMEOUT_MS / 1000)
    db = Database(conn, recursive_triggers=False, execute_plugins=False)
    journal, synchronous = durability(sqlite3.sqlite_version_info)
    db.execute(f"PRAGMA busy_timeout = {BUSY_TIMEOUT_MS}")
    if not read_only:
        db.execute(f"PRAGMA journal_mode = {journal}").fetchone()
    db.execute(f"PRAGMA synchronous = {synchronous}")
    db.execute("PRAGMA foreign_keys = ON")
    if read_only:
        db.execute("PRAGMA query_only = ON")
    return db


def rows(db: Database, sql: str, params: tuple | dict = ()) -> list[dict[str, Any]]:
    """All rows of a query, as dicts."""
    cursor = db.conn.execute(sql, params)
    names = [column[0] for column in cursor.description]
    return [dict(zip(names, values, strict=True)) for values in cursor]


def row(db: Database, sql: str, params: tuple | dict = ()) -> dict[str, Any] | None:
    """The first row of a query as a dict, or None."""
    cursor = db.conn.execute(sql, params)
    values = cursor.fetchone()
    return None if values is None else dict(zip((column[0] for column in cursor.description), values, strict=True))


class Store:
    """One database file, one writer at a time, a reading connection for each thread."""

    def __init__(self, path: Path | str) -> None:
        self.path = Path(path)
        self._writer = open_database(self.path)
        self._turn = threading.Lock()
        self._local = threading.local()
        self._readers: list[Database] = []

    @contextmanager
    def writing(self) -> Iterator[Database]:
        """One transaction: everything in the block is committed together, or nothing is."""
        if not self._turn.acquire(timeout=WRITER_PATIENCE):
            raise StoreBusy("another write is still going on")
        try:
            with translated():
                self._writer.execute("BEGIN IMMEDIATE")
                try:
                    yield self._writer
                    self._writer.execute("COMMIT")
                except BaseException:
                    self._writer.rollback()
                    raise
        finally:
            self._turn.release()

    @contextmanager
    def reading(self) -> Iterator[Database]:
        """One consistent view of the book: later writes do not show inside the block, nor in a block inside it."""
        with translated():
            db = self._reader()
            if db.conn.in_transaction:
                yield db
                return
            db.execute("BEGIN")
            try:
                yield db
            finally:
                db.rollback()

    def _reader(self) -> Database:
        db = getattr(self._local, "db", None)
        if db is None:
            db = self._local.db = open_database(self.path, read_only=True)
            self._readers.append(db)
        return db

    def state(self) -> dict[str, Any]:
        """What the database says of itself, for /readyz: version, journal mode, synchronous level, a test read."""
        with translated():
            db = self._reader()
            level = db.execute("PRAGMA synchronous").fetchone()[0]
            return {
                "sqlite": sqlite3.sqlite_version,
                "journal_mode": db.execute("PRAGMA journal_mode").fetchone()[0].upper(),
                "synchronous": {0: "OFF", 1: "NORMAL", 2: "FULL", 3: "EXTRA"}[level],
                "tables": db.execute("SELECT count(*) FROM sqlite_master WHERE type = 'table'").fetchone()[0],
            }

    def lacks(self, question: Callable[[Database], list[str]]) -> list[str]:
        """What a question about the file's schema answers, asked outside of any transaction."""
        with translated():
            return question(self._reader())

    def close(self) -> None:
        for db in (*self._readers, self._writer):
            db.close()


@contextmanager
def translated() -> Iterator[None]:
    """Database errors leave this room as ours."""
    try:
        yield
    except sqlite3.OperationalError as error:
        if "locked" in str(error) or "busy" in str(error):
            raise StoreBusy(str(error)) from error
        raise StoreFault(str(error)) from error
    except sqlite3.DatabaseError as error:
        raise StoreFault(str(error)) from error
