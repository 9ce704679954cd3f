"""A service that has loaded its code and waits: each start is a fork of it, a process of its own like any other.

Loading the code is nine tenths of a start, and nearly every test in a browser starts a service.
"""

from __future__ import annotations

import importlib
import json
import os
import pkgutil
import select
import signal
import socket
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import NoReturn

ROOT = Path(__file__).resolve().parents[2]
WORDS = 65_536  # bytes, more than any command line of a test


class Started:
    """A running service, as far as tests ask it what they ask a Popen."""

    def __init__(self, pid: int, stdout: int) -> None:
        self.pid, self.stdout, self.returncode = pid, os.fdopen(stdout), None
        try:
            self._handle = os.pidfd_open(pid)
        except ProcessLookupError:  # ended already
            self._handle = None

    def poll(self) -> int | None:
        """None while it runs; what it ended with is not told, so 0."""
        return None if self._handle is not None and not self._ended(0) else 0

    def wait(self, timeout: float) -> None:
        if self._handle is None:
            return
        if not self._ended(timeout):
            raise TimeoutError(f"the service still runs after {timeout} s")
        os.close(self._handle)
        self._handle = None

    def _ended(self, within: float) -> bool:
        return bool(select.select([self._handle], [], [], within)[0])


class Ready:
    """The process that has loaded the code."""

    def __init__(self) -> None:
        self._line, theirs = socket.socketpair()
        # One thread: a fork takes no other with it.
        env = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
        command = [sys.executable, "-m", "tests.browser.ready", str(theirs.fileno())]
        self._process = subprocess.Popen(command, cwd=ROOT, env=env, pass_fds=[theirs.fileno()])
        theirs.close()

    def start(self, words: list[str]) -> Started:
        """`python -m service WORDS…`."""
        reading, writing = os.pipe()
        socket.send_fds(self._line, [json.dumps(words).encode()], [writing])
        os.close(writing)
        return Started(int(self._line.recv(32)), reading)


@cache
def ready() -> Ready:
    """One for all tests of this worker; it ends with the worker, whose end of the line closes."""
    return Ready()


def load() -> None:
    import service

    for module in pkgutil.walk_packages(service.__path__, "service."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)


def run(words: list[str], stdout: int) -> NoReturn:
    from service.cli import main

    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    os.dup2(stdout, 1)
    os.close(stdout)
    status = main(words)
    sys.stdout.flush()
    os._exit(status)


def wait_for_orders(line: socket.socket) -> None:
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody here asks how one ended
    while True:
        words, given, *_ = socket.recv_fds(line, WORDS, 1)
        if not words:
            return
        pid = os.fork()
        if pid == 0:
            line.close()
            run(json.loads(words), given[0])
        os.close(given[0])
        line.sendall(str(pid).encode())


if __name__ == "__main__":
    sys.modules["pandas"] = None  # as on a shop's machine; see lean.py
    load()
    wait_for_orders(socket.socket(fileno=int(sys.argv[1])))
