"""What ./ops/bench counts, against things whose size is known."""

from __future__ import annotations

import itertools
import os
import subprocess
import sys
import threading
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from ops.measure import first_load, lighthouse, memory, plain_sqlite, writing

CHILD = "import subprocess, sys; subprocess.run([sys.executable, '-c', {!r}])"
HOLD = "x = bytearray(b'1') * (64 * 1024 * 1024); print('ready', flush=True); input()"


def test_memory_of_a_process_counts_what_it_has_started():
    """A child that holds 64 MiB, under a parent that holds nothing."""
    with subprocess.Popen(
        [sys.executable, "-c", CHILD.format(HOLD)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as parent:
        assert parent.stdout.readline() == "ready\n"
        assert len(memory.family(parent.pid)) == 2
        assert 64 < memory.resident_mib(parent.pid) < 64 + 80
        parent.communicate("\n")


def test_memory_agrees_with_the_kernels_own_count_of_pages():
    """/proc/self/statm, field 2, counts the same pages (proc(5))."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    own = memory._resident_kib(os.getpid())
    assert own == pytest.approx(pages * os.sysconf("SC_PAGE_SIZE") / 1024, rel=0.02)


FILES = {
    "/": b'<link rel="icon" href="/icon.svg"><link rel="apple-touch-icon" href="/icon-180.png">'
    b'<script type="module" src="/assets/index-a1.js"></script><link rel="stylesheet" href="/assets/look-c3.css">',
    "/worker.js": b'precache([{"revision":"1","url":"index.html","integrity":"x"},{url:"assets/index-a1.js"},'
    b'{url:"assets/chart-b2.js"},{"url":"assets/look-c3.css"}])',
    "/icon.svg": b"i" * 1000,
    "/icon-180.png": b"p" * 10_000,
    "/assets/index-a1.js": b"j" * 20_000,
    "/assets/chart-b2.js": b"c" * 30_000,
    "/assets/look-c3.css": b"l" * 2_000,
}


class Site(BaseHTTPRequestHandler):
    """Sends every file at half its size to those who accept a coding."""

    def do_GET(self):
        content = FILES[self.path]
        if "br" in self.headers["Accept-Encoding"]:
            content = content[: len(content) // 2]
        self.send_response(200)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, *words):
        pass


def test_first_load_counts_each_file_once_as_sent_and_what_comes_later_apart():
    with ThreadingHTTPServer(("127.0.0.1", 0), Site) as site:
        thread = threading.Thread(target=site.serve_forever)
        thread.start()
        load = first_load.received_bytes(f"http://127.0.0.1:{site.server_port}")
        site.shutdown()
        thread.join()
    counted = ("/", "/worker.js", "/icon.svg", "/assets/index-a1.js", "/assets/look-c3.css")
    assert load.app == sum(len(FILES[name]) // 2 for name in counted)
    assert load.later == 15_000


def test_the_comparison_inserts_the_same_rows(tmp_path):
    book, copy = tmp_path / "book.db", tmp_path / "copy.db"
    source = sqlite3.connect(book)
    source.execute("CREATE TABLE entries (id TEXT PRIMARY KEY, job_id TEXT, seq INTEGER) STRICT")
    source.execute("CREATE UNIQUE INDEX entries_by_seq ON entries (seq)")
    source.executemany("INSERT INTO entries VALUES (?, ?, ?)", [(str(n), "ab"[n % 2], n) for n in range(1000)])
    source.commit()
    source.close()
    plain = plain_sqlite.insert_again(book, "a", copy, singles=20)
    target = sqlite3.connect(copy)
    assert target.execute("SELECT count(*), min(job_id), max(job_id) FROM entries").fetchone() == (500, "a", "a")
    assert target.execute("SELECT name FROM sqlite_master WHERE name = 'entries_by_seq'").fetchone()
    assert target.execute("PRAGMA journal_mode").fetchone()[0].upper() == plain.journal_mode
    target.close()
    assert plain.batched > 0
    assert plain.single > 0


def test_the_mix_of_entries_has_each_kind_and_no_id_twice():
    made = list(itertools.islice(writing.entries("job", datetime.now(UTC)), 400))
    assert len({entry["id"] for entry in made}) == 400
    assert [entry["device_seq"] for entry in made] == list(range(1, 401))
    assert {entry["kind"] for entry in made} == {"reading", "adjustment", "shift_check", "torque", "check"}


def test_without_lighthouse_the_bench_says_so_in_words(tmp_path, monkeypatch):
    monkeypatch.setattr(lighthouse, "FOLDER", tmp_path)
    rows = lighthouse.performance("http://127.0.0.1:1", "AAAA-AAAA")
    assert rows[0][1] == "not measured"
    assert "./ops/test installs it" in rows[1][0]
