"""A service process of one's own for a while: on a free loopback port, ended by its process id."""

from __future__ import annotations

import json
import select
import signal
import subprocess
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from ops.setup_env import PYTHON
from ops.steps import ROOT, StepFailed

READY_WITHIN = 30.0  # seconds
STOPPED_WITHIN = 20.0


@dataclass(frozen=True)
class Served:
    """Where it answers, a pairing code of its owner, its process, and the seconds from its start to its first line."""

    url: str
    code: str
    pid: int
    seconds_to_ready: float

    def call(self, method: str, path: str, body: object = None, token: str | None = None) -> object:
        """One request; the JSON of the answer, None where there is none. Raises urllib.error.HTTPError."""
        headers = {"Content-Type": "application/json"} if body is not None else {}
        if token:
            headers["Authorization"] = f"Bearer {token}"
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(self.url + path, data=data, headers=headers, method=method)
        with urllib.request.urlopen(request, timeout=60) as answer:
            content = answer.read()
        return json.loads(content) if content else None

    def pair(self, device_id: str, name: str) -> str:
        """Turns the pairing code into an owner's token."""
        wanted = {"code": self.code, "device_id": device_id, "device_name": name}
        return self.call("POST", "/api/v1/pair", wanted)["token"]


@contextmanager
def served(db: Path) -> Iterator[Served]:
    """Serves a data file until the block ends. Raises StepFailed when the service does not come up or end well."""
    began = time.monotonic()
    process = subprocess.Popen(
        [str(PYTHON), "-m", "service", "serve", "--db", str(db), "--port", "0"],
        cwd=ROOT, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
    )  # fmt: skip
    with process:
        try:
            url = _told(process, "listening on ")
            ready = time.monotonic() - began
            yield Served(url, _told(process, "pairing code: "), process.pid, ready)
            process.send_signal(signal.SIGTERM)
            if process.wait(STOPPED_WITHIN):
                raise StepFailed(f"The service ended with status {process.returncode}; its words stand above.")
        finally:
            if process.poll() is None:
                process.terminate()
                try:
                    process.wait(STOPPED_WITHIN)
                except subprocess.TimeoutExpired:
                    process.kill()


def _told(process: subprocess.Popen, beginning: str) -> str:
    """The rest of the next line, which has to begin so."""
    line = b""
    while not line.endswith(b"\n"):
        readable, _, _ = select.select([process.stdout], [], [], READY_WITHIN)
        byte = process.stdout.read1(1) if readable else b""
        if not byte:
            raise StepFailed("The service does not start; its words stand above.")
        line += byte
    text = line.decode().rstrip("\n")
    if not text.startswith(beginning):
        raise StepFailed(f"The service said “{text}” where “{beginning}…” was awaited.")
    return text.removeprefix(beginning)
