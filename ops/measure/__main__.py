"""Measures a served process on the demo book and prints one table. Nothing passes or fails here."""

from __future__ import annotations

import argparse
import importlib.util
import os
import shutil
import statistics
import sys
import tempfile
import uuid
from pathlib import Path

from ops import demo_book
from ops.entry import start
from ops.measure import first_load, lighthouse, memory, phone, plain_sqlite, reading, writing
from ops.served import served

STARTS = 3  # of which the median counts


def main(words: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="./ops/bench", description="Measures speed, memory and size.")
    parser.add_argument("--batches", type=int, default=30, metavar="N", help="batches of 200 entries to send (30)")
    parser.add_argument("--singles", type=int, default=600, metavar="N", help="entries to send one by one (600)")
    chosen = parser.parse_args(words)
    folder = Path(tempfile.mkdtemp(prefix="roadproof-bench-"))
    try:
        rows = measure(folder, chosen.batches, chosen.singles)
    finally:
        shutil.rmtree(folder)
    print_table(rows)
    if importlib.util.find_spec("pandas"):
        print("\nThe test packages are installed: sqlite-utils then loads pandas, which weighs on memory and start.")
    return 0


def measure(folder: Path, batches: int, singles: int) -> list[tuple[str, str, str]]:
    """Label, measured, to reach: line by line."""
    db = folder / "book.db"
    busy = os.getloadavg()[0]  # others' work on the machine, which slows what follows
    demo_book.make_demo_book(db)
    big = shutil.copy(db, folder / "big.db")
    starts = []
    for _ in range(STARTS):
        with served(db) as book:
            starts.append(book.seconds_to_ready)
    with served(db) as book:
        device = str(uuid.uuid4())
        token = book.pair(device, "bench")
        trend, one_quantity = reading.trend_times(book, token)
        feed = reading.feed_times(book, token)
        load = first_load.received_bytes(book.url)
        written = writing.write(book, token, device, batches, singles)
        after_load = memory.resident_mib(book.pid)
    with served(db) as book:
        performance = lighthouse.performance(book.url, book.code)
    with served(big) as book:
        by_hand = phone.rows(book)
    plain = plain_sqlite.insert_again(db, written.job_id, folder / "plain.db", singles)
    return [
        (f"{os.cpu_count()} cores, load {busy:.1f} before; SQLite {plain.version}, {plain.journal_mode}, "
         f"{plain.synchronous}", "measured", "to reach"),
        ("entries a second, batches of 200", f"{written.batched:,.0f}", "≥ 1,500"),
        ("  plain sqlite3, the same rows, 200 a commit", f"{plain.batched:,.0f}", ""),
        ("entries a second, one by one", f"{written.single:,.0f}", ""),
        ("  plain sqlite3, the same rows, one a commit", f"{plain.single:,.0f}", ""),
        (f"trend of one bike ({trend.what}), median / p95", spread(trend.seconds), "≤ 30 ms"),
        (f"  one quantity of it ({one_quantity.what}), median / p95", spread(one_quantity.seconds), ""),
        (f"feed of changes ({feed.what}), median / p95", spread(feed.seconds), ""),
        ("memory of all server processes after the load", f"{after_load:,.0f} MiB", "≤ 150 MiB"),
        ("first load as received, charts left out", f"{load.app / 1000:.1f} kB", "≤ 60 kB"),
        ("  charts and calculators, brought once the app is running", f"{load.later / 1000:.1f} kB", ""),
        (f"start to ready, median of {STARTS}", f"{statistics.median(starts):.2f} s", "≤ 1.5 s"),
        *by_hand,
        *performance,
    ]  # fmt: skip


def spread(seconds: list[float]) -> str:
    p95 = statistics.quantiles(seconds, n=20)[-1]
    return f"{statistics.median(seconds) * 1000:.1f} / {p95 * 1000:.1f} ms"


def print_table(rows: list[tuple[str, str, str]]) -> None:
    widths = [max(len(row[column]) for row in rows) for column in range(3)]
    for label, measured, goal in rows:
        print(f"{label:<{widths[0]}}  {measured:>{widths[1]}}  {goal:>{widths[2]}}".rstrip())


sys.dont_write_bytecode = True
start(main)
