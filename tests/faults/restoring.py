"""A backup of a book in use, and the book set back to it."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path

from service.ids import new_id
from tests.browser.served import Served


def back_up(served: Served) -> Path:
    """A copy of the book as it now is, made while it is in use."""
    copy = served.db.with_suffix(".backup")
    source, target = sqlite3.connect(served.db), sqlite3.connect(copy)
    source.backup(target)
    source.close()
    target.close()
    return copy


def restore(served: Served, copy: Path) -> None:
    """The older file in place of the book, under a new epoch as every restore has it."""
    served.stop()
    for beside in ("", "-wal", "-shm", "-journal"):
        Path(f"{served.db}{beside}").unlink(missing_ok=True)
    shutil.copyfile(copy, served.db)
    db = sqlite3.connect(served.db, isolation_level=None)
    db.execute("UPDATE shops SET epoch = ?", (new_id(),))
    db.close()
    served.start()
