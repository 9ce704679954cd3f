"""./ops/run as a person starts it, on an environment that is already set up."""

from __future__ import annotations

import json
import os
import re
import signal
import socket
import subprocess
import time
import urllib.request
import uuid
from contextlib import contextmanager
from dataclasses import dataclass

import pytest

from ops.steps import ROOT

LINES = (
    r"listening on (?P<url>http://127\.0\.0\.1:\d+)",
    r"pairing code: (?P<code>\S+)",
    r"pair this browser: (?P<link>\S+)",
)


@dataclass
class Running:
    """The process, and the three lines that it printed when it was ready."""

    process: subprocess.Popen
    url: str
    code: str
    link: str

    def call(self, method, path, body=None, token=None):
        headers = {"Content-Type": "application/json"} | ({"Authorization": f"Bearer {token}"} if token else {})
        data = None if body is None else json.dumps(body).encode()
        asked = urllib.request.Request(self.url + path, data, headers, method=method)
        with urllib.request.urlopen(asked, timeout=20) as answer:
            return json.loads(answer.read())

    def pair(self):
        wanted = {"code": self.code, "device_id": str(uuid.uuid4()), "device_name": "test phone"}
        return self.call("POST", "/api/v1/pair", wanted)["token"]


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        return taken.getsockname()[1]


@contextmanager
def started(db):
    """Starts the command, reads its lines from a pipe as they come, and ends it by its process id."""
    line = [ROOT / "ops" / "run", "--no-demo", "--db", db, "--port", str(free_port())]
    with subprocess.Popen(line, cwd=db.parent, stdout=subprocess.PIPE, text=True, env=dict(os.environ)) as process:
        try:
            told = {}
            for pattern in LINES:
                text = process.stdout.readline().rstrip("\n")
                found = re.fullmatch(pattern, text)
                assert found, text
                told |= found.groupdict()
            yield Running(process, **told)
        finally:
            if process.poll() is None:
                process.terminate()
                process.wait(30)


@pytest.fixture
def db(tmp_path):
    return tmp_path / "book.db"


def test_it_starts_empty_says_where_and_pairs_with_its_code_once(db):
    with started(db) as running:
        assert running.link == f"{running.url}/#/pair/{running.code}"
        with urllib.request.urlopen(f"{running.url}/healthz", timeout=20) as answer:
            assert answer.status == 200
        token = running.pair()
        assert running.call("GET", "/api/v1/me", token=token)["role"] == "owner"
        assert running.call("GET", "/api/v1/bikes", token=token)["bikes"] == []
        with pytest.raises(urllib.error.HTTPError):
            running.pair()


def test_a_second_start_keeps_the_data(db):
    with started(db) as running:
        token = running.pair()
    with started(db) as running:
        assert running.call("GET", "/api/v1/me", token=token)["role"] == "owner"


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT], ids=lambda number: number.name)
def test_a_signal_reaches_the_server_which_first_answers_what_is_in_flight(db, number):
    wanted = json.dumps({"code": "", "device_id": str(uuid.uuid4()), "device_name": "slow phone"})
    with started(db) as running:
        body = wanted.replace('"code": ""', f'"code": "{running.code}"').encode()
        port = int(running.url.rpartition(":")[2])
        with socket.create_connection(("127.0.0.1", port), timeout=20) as phone:
            head = "POST /api/v1/pair HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nConnection: close\r\n"
            phone.sendall(f"{head}Content-Length: {len(body)}\r\n\r\n".encode() + body[:10])
            time.sleep(0.3)  # let it arrive
            running.process.send_signal(number)
            time.sleep(0.5)
            assert running.process.poll() is None
            phone.sendall(body[10:])
            answer = b"".join(iter(lambda: phone.recv(65536), b""))
        assert answer.startswith(b"HTTP/1.1 200")
        assert b'"token"' in answer
        assert running.process.wait(20) == 0


def test_an_address_in_use_says_what_to_do(db):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        line = [ROOT / "ops" / "run", "--no-demo", "--db", db, "--port", str(taken.getsockname()[1])]
        ended = subprocess.run(line, capture_output=True, text=True, timeout=60, check=False)
    assert ended.returncode == 1
    assert "choose another with --port" in ended.stderr
    assert ended.stdout == ""
