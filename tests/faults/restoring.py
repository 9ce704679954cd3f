"""A backup of a book in use, and the book set back to it, by the service's own commands."""

from __future__ import annotations

from pathlib import Path

from service import cli
from tests.browser.served import Served


def back_up(served: Served) -> Path:
    """A copy of the book as it now is, made while it is in use; the phones are told of it."""
    number = 1 + len(list(served.db.parent.glob("backup *.db")))
    copy = served.db.with_name(f"backup {number}.db")
    assert cli.main(["backup", "--db", str(served.db), "--to", str(copy)]) == 0
    return copy


def restore(served: Served, copy: Path) -> None:
    """The older file in place of the book."""
    served.stop()
    assert cli.main(["restore", "--db", str(served.db), "--from", str(copy)]) == 0
    served.start()
