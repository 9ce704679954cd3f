"""A real service process over a book of its own, which a test may stop, kill and start again."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

from service.config import utc_now
from service.pairing import owner_code
from service.store import Store, migrate
from tests.browser.ready import Started, ready

ROOT = Path(__file__).resolve().parents[2]
SERVICE = ["service"]
READY_WITHIN = 60.0  # seconds; a traced process starts slowly


class Served:
    """`python -m service serve` on a free port of the loopback address, always the same one."""

    def __init__(self, folder: Path, phone: Path | None = None, under: tuple[str, ...] = ()) -> None:
        self.db, self.phone, self.port = folder / "book.db", folder / "app", 0
        self.process: subprocess.Popen | Started | None = None
        self.program = SERVICE
        self.under = under  # a program that starts the service and looks on
        migrate(self.db)
        if phone:
            self.release(phone)

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        words = ["serve", "--db", str(self.db), "--port", str(self.port), "--phone", str(self.phone)]
        if self.program == SERVICE and not self.under:
            self.process = ready().start(words)
        else:
            command = [*self.under, sys.executable, "-m", "tests.browser.lean", *self.program, *words]
            self.process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, env=self._env())
        assert self.process.stdout
        started = time.monotonic()
        for line in self.process.stdout:
            if line.startswith("listening on "):
                self.port = int(line.rsplit(":", 1)[1])
                return
            assert time.monotonic() - started < READY_WITHIN
        self.stop()
        raise AssertionError(f"the service ended with {self.process.returncode}")

    def stop(self, how: int = signal.SIGTERM) -> None:
        if self.process and self.process.poll() is None:
            os.kill(self._pid(), how)
            self.process.wait(timeout=30)
        if self.process and self.process.stdout:
            self.process.stdout.close()

    def start_as(self, *program: str) -> None:
        """Stop, and start anew as another module, which may have a fault put into it."""
        self.stop()
        self.program = list(program)
        self.start()

    def release(self, app: Path) -> None:
        """Serve this phone app from now on, in place of the one before."""
        self.phone.unlink(missing_ok=True)
        self.phone.symlink_to(app)

    def pairing_code(self) -> str:
        """A one-time code of the owner."""
        store = Store(self.db)
        try:
            return owner_code(store, utc_now())
        finally:
            store.close()

    def rows(self, query: str, *values) -> list[tuple]:
        """What lies in the book, read past the service."""
        db = sqlite3.connect(f"file:{self.db}?mode=ro", uri=True)
        try:
            return db.execute(query, values).fetchall()
        finally:
            db.close()

    def _pid(self) -> int:
        """The service's own process id: a tracer who started it would keep the signal to itself."""
        if not self.under:
            return self.process.pid
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text().split()
        return int(children[0])

    def _env(self) -> dict[str, str]:
        return {**os.environ, "PYTHONUNBUFFERED": "1"}
