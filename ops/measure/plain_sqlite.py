"""The rows that the service wrote, inserted again by sqlite3 alone, as durably: what is left without the service."""

from __future__ import annotations

import time
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from sqlite_utils.utils import sqlite3

from ops.measure.writing import BATCH
from service.store.connection import durability


@dataclass(frozen=True)
class Plain:
    """Rows a second in commits of 200 and of one, and how durable they were."""

    batched: float
    single: float
    version: str
    journal_mode: str
    synchronous: str


def insert_again(book: Path, job_id: str, copy: Path, singles: int) -> Plain:
    """The same table with the same indexes in a new file; the last `singles` rows one a commit, as they were sent."""
    with closing(sqlite3.connect(book)) as source:
        ours = "SELECT sql FROM sqlite_master WHERE tbl_name = 'entries' AND sql > ''"
        made = [sql for (sql,) in source.execute(ours)]
        rows = source.execute("SELECT * FROM entries WHERE job_id = ? ORDER BY seq", (job_id,)).fetchall()
    journal_mode, synchronous = durability(sqlite3.sqlite_version_info)
    with closing(sqlite3.connect(copy, isolation_level=None)) as target:
        target.execute(f"PRAGMA journal_mode = {journal_mode}").fetchone()
        target.execute(f"PRAGMA synchronous = {synchronous}")
        for sql in sorted(made, key=lambda text: not text.startswith("CREATE TABLE")):
            target.execute(sql)
        whole = rows[:-singles]
        return Plain(
            len(whole) / _seconds(target, [whole[at : at + BATCH] for at in range(0, len(whole), BATCH)]),
            singles / _seconds(target, [[row] for row in rows[-singles:]]),
            sqlite3.sqlite_version, journal_mode, synchronous,
        )  # fmt: skip


def _seconds(target: sqlite3.Connection, commits: list[list[tuple]]) -> float:
    sql = f"INSERT INTO entries VALUES ({', '.join('?' * len(commits[0][0]))})"
    began = time.perf_counter()
    for rows in commits:
        target.execute("BEGIN IMMEDIATE")
        target.executemany(sql, rows)
        target.execute("COMMIT")
    return time.perf_counter() - began
