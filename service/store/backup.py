"""A whole book as one file: copied while it is in use, looked through, given a new life, held while it is replaced."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from sqlite_utils import Database
from sqlite_utils.utils import sqlite3

from .connection import rows, translated
from .errors import StoreFault
from .migrations import unknown


def copy(source: Path, target: Path) -> None:
    """A consistent copy of a book, which may be in use, into a new file with nothing beside it."""
    with translated(), closing(_open(source)) as book, closing(sqlite3.connect(str(target))) as made:
        book.conn.backup(made)
        made.execute("PRAGMA journal_mode = DELETE").fetchone()


def shops(path: Path) -> list[dict[str, Any]]:
    """The shops of a book, their newest numbers and what is backed up of them. Raises StoreFault for anything else."""
    with translated(), closing(_open(path)) as db:
        found = db.conn.execute("PRAGMA quick_check(1)").fetchone()[0]
        if found != "ok":
            raise StoreFault(f"the file is damaged: {found}")
        if not {"shops", "entries", "records"} <= set(db.table_names()):
            raise StoreFault("it is another program's file")
        if newer := unknown(db):
            raise StoreFault(f"a newer version of Roadproof has written it ({newer[-1]})")
        return rows(db, "SELECT shop_id, seq, backed_up_to FROM shops ORDER BY shop_id")


def note(db: Database, shop_id: str, seq: int) -> None:
    """A backup holds the shop's book up to this number."""
    db.execute(
        "UPDATE shops SET backed_up_to = max(coalesce(backed_up_to, 0), ?) WHERE shop_id = ?", (seq, shop_id)
    )


def renew(path: Path, shop_ids: list[str], new_epoch: Callable[[], str]) -> None:
    """A new epoch for each shop of a copy: phones then know that their numbers no longer count."""
    with translated(), closing(sqlite3.connect(str(path))) as db:
        with db:
            for shop_id in shop_ids:
                db.execute("UPDATE shops SET epoch = ? WHERE shop_id = ?", (new_epoch(), shop_id))
        db.execute("PRAGMA journal_mode = DELETE").fetchone()


@contextmanager
def held(path: Path) -> Iterator[None]:
    """The book for ourselves alone, its newest rows in the file itself. Raises StoreBusy while it is open elsewhere.

    A service that keeps a rollback journal is seen only while it writes.
    """
    with translated(), closing(sqlite3.connect(str(path), timeout=0, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = DELETE").fetchone()
        db.execute("BEGIN EXCLUSIVE")
        yield


def _open(path: Path) -> Database:
    conn = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True, isolation_level=None)
    return Database(conn, execute_plugins=False)
