"""The service with one fault put into it: `python -m tests.faults.broken_service FAULT serve --db FILE …`.

The fault strikes once, while the file FILE.strike is there. `none` is the service as it is.
"""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path

from service import cli, entry_intake
from service.store import connection, entry


def struck() -> bool:
    """Whether the fault's moment has come; it comes once."""
    flag = Path(sys.argv[sys.argv.index("--db") + 1] + ".strike")
    if flag.exists():
        flag.unlink()
        return True
    return False


def die_if_struck(function):
    """The function, after which the process is gone without a word if the moment has come."""

    def last_words(*args, **kwargs):
        result = function(*args, **kwargs)
        if struck():
            os.kill(os.getpid(), signal.SIGKILL)
        return result

    return last_words


def kill_before_commit() -> None:
    """Entries are inserted, COMMIT has not been said."""
    entry.add_conflicts = die_if_struck(entry.add_conflicts)


def kill_after_commit() -> None:
    """COMMIT is through, the answer has not been made."""
    entry_intake.Item.result = die_if_struck(entry_intake.Item.result)


def no_sync() -> None:
    """SQLite no longer waits for the disk."""
    connection.durability = lambda version: ("WAL", "OFF")


if __name__ == "__main__":
    fault = sys.argv.pop(1)
    {"none": lambda: None, "kill_before_commit": kill_before_commit, "kill_after_commit": kill_after_commit,
     "no_sync": no_sync}[fault]()  # fmt: skip
    sys.exit(cli.main(sys.argv[1:]))
