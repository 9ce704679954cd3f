"""The service with one fault put into it: `python -m tests.faults.broken_service FAULT serve --db FILE …`.

A killing fault strikes once, while the file FILE.strike is there; the others last. `none` is the service as it is.
"""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path

from service import cli, entry_intake
from service.store import connection, entry

BROKEN = "tests.faults.broken_service"  # what a test starts it as


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


def impatient() -> None:
    """Waits 0.3 s for the lock of the file, so that a test need not hold it longer than the usual 5 s."""
    connection.BUSY_TIMEOUT_MS = 300


def small_bodies() -> None:
    """Takes no body over 3000 bytes."""
    from service.routes import limits

    limits.BODY_LIMIT = 3000


def newer() -> None:
    """A service of later years, which no longer takes what this phone app speaks."""
    entry_intake.OLDEST_CONTRACT = 2


FAULTS = [kill_before_commit, kill_after_commit, no_sync, impatient, small_bodies, newer]

if __name__ == "__main__":
    fault = sys.argv.pop(1)
    {"none": lambda: None, **{each.__name__: each for each in FAULTS}}[fault]()
    sys.exit(cli.main(sys.argv[1:]))
