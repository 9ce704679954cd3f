"""Backups: a copy made while the book is in use, and a book put back from one."""

from __future__ import annotations

import os
import shutil
from contextlib import nullcontext
from datetime import datetime
from pathlib import Path
from typing import Any

from service.ids import new_id
from service.store import Store, StoreBusy, StoreFault, backup, migrate

MAGIC = b"SQLite format 3\0"
BESIDE = ("-wal", "-shm", "-journal")  # what SQLite may have left beside a file


def back_up(db: Path, target: Path) -> int:
    """Copies a book, which may be in use, into a new file, and notes in the book how far that reaches: phones need not
    hold what they sent up to there. Gives the newest number in it. Raises LookupError where there is no whole book.
    """
    if target.exists():
        raise LookupError(f"{target} is there already: name a new file")
    _book(db)
    part = Path(f"{target}.part")
    part.unlink(missing_ok=True)
    backup.copy(db, part)
    copied = _book(part)
    shutil.copymode(db, part)
    _sync(part)
    part.rename(target)
    _sync(target.parent)
    store = Store(db)
    try:
        with store.writing() as book:
            for shop in copied:
                backup.note(book, shop["shop_id"], shop["seq"])
    except StoreBusy as error:
        raise LookupError(f"{target} is whole, but the book was too busy to note it: phones still hold all") from error
    finally:
        store.close()
    return max((shop["seq"] for shop in copied), default=0)


def restore(db: Path, source: Path, now: datetime) -> tuple[Path | None, int]:
    """Puts a backup in the place of a book, under a new epoch, so that each phone sends again what it holds.

    Gives the name under which the file that stood there is kept, None where there was none, and how many numbers only a
    later backup held: phones may have let go of those. Until all is ready nothing is changed.
    Raises LookupError for a file that is no whole book, and while another process has the book open.
    """
    shops = _book(source)
    made, kept = Path(f"{db}.restoring"), Path(f"{db}.before-{now:%Y%m%dT%H%M%SZ}")
    made.unlink(missing_ok=True)
    backup.copy(source, made)
    migrate(made)
    backup.renew(made, [shop["shop_id"] for shop in shops], new_id)
    if not db.exists():
        return _replace(db, made, kept), 0
    shutil.copymode(db, made)
    let_go = _let_go(db, shops)
    try:
        # What SQLite cannot read at all it does not even open: it would throw away what lies beside it.
        with backup.held(db) if _is_sqlite(db) else nullcontext():
            return _replace(db, made, kept), let_go
    except StoreBusy as error:
        made.unlink()
        raise LookupError(f"{db} is in use: stop the service first") from error
    except StoreFault:  # it is damaged, which may be why a backup is wanted
        return _replace(db, made, kept), let_go


def _is_sqlite(path: Path) -> bool:
    with path.open("rb") as file:
        return file.read(len(MAGIC)) == MAGIC


def _book(path: Path) -> list[dict[str, Any]]:
    """The shops of a whole book. Raises LookupError for anything else."""
    if not path.is_file():
        raise LookupError(f"there is no file {path}")
    try:
        return backup.shops(path)
    except StoreFault as error:
        raise LookupError(f"{path} is not a book of Roadproof: {error}") from error


def _let_go(db: Path, restored: list[dict[str, Any]]) -> int:
    reached = {shop["shop_id"]: shop["seq"] for shop in restored}
    try:
        return sum(max(0, (shop["backed_up_to"] or 0) - reached.get(shop["shop_id"], 0)) for shop in backup.shops(db))
    except StoreFault:
        return 0


def _replace(db: Path, made: Path, kept: Path) -> Path | None:
    """The old file gets a second name before the new one takes the first: at every moment there is a book."""
    _sync(made)
    there = db.exists()
    if there:
        os.link(db, kept)
    for end in BESIDE:  # of a damaged file: it must not be read into the new one
        if Path(f"{db}{end}").exists():
            Path(f"{db}{end}").rename(f"{kept}{end}")
    made.replace(db)
    _sync(db.parent)
    return kept if there else None


def _sync(path: Path) -> None:
    """The file, or the names in a folder, on the disk."""
    opened = os.open(path, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
