"""A network between phone and service that does what it is told: it loses, holds, doubles, cuts and replaces."""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from http.client import HTTPConnection, HTTPException
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from tests.browser.served import Served

API = "/api/v1"
ENTRIES, CHANGES = f"{API}/entries", f"{API}/changes"
HOP_BY_HOP = ("connection", "keep-alive", "transfer-encoding", "content-length", "host", "server", "date")
PATIENCE = 30.0  # seconds


@dataclass(frozen=True)
class Answer:
    status: int
    headers: dict[str, str]
    body: bytes
    sent: int | None = None  # bytes that get through before the connection breaks; all where None

    @property
    def json(self) -> dict:
        return json.loads(self.body)

    def cut(self) -> Answer:
        """The same answer, broken off in the middle of its body."""
        return replace(self, sent=len(self.body) // 2)


@dataclass
class Exchange:
    """One request on its way, and when it came by."""

    port: int
    method: str
    path: str
    headers: dict[str, str]
    body: bytes
    at: float = field(default_factory=time.monotonic)

    @property
    def json(self) -> dict:
        return json.loads(self.body)

    def forward(self, body: dict | None = None) -> Answer:
        """The real service's answer to the request, or to another body in its place."""
        sent = self.body if body is None else json.dumps(body).encode()
        # Answers to API calls come as they are, so that a test can read them.
        plain = {"Accept-Encoding": "identity"} if self.path.startswith(API) else {}
        connection = HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        try:
            connection.request(self.method, self.path, sent or None, {**self.headers, **plain})
            answer = connection.getresponse()
            headers = {name: value for name, value in answer.getheaders() if name.lower() not in HOP_BY_HOP}
            return Answer(answer.status, headers, answer.read())
        finally:
            connection.close()


# What the network does with a request: the answer that reaches the phone, or None where the connection breaks.
Act = Callable[[Exchange], Answer | None]


class Between:
    """A loopback proxy in front of a service. `seen` holds every request that came by."""

    def __init__(self, served: Served) -> None:
        self.served, self.seen = served, list[Exchange]()
        self._acts: list[tuple[str, Act, int | None]] = []
        self._turn = threading.Lock()
        self._server = ThreadingHTTPServer(("127.0.0.1", 0), self._handler())
        self._server.daemon_threads = True
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.05,), daemon=True)
        self._thread.start()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self._server.server_port}"

    def on(self, path: str, act: Act, times: int | None = None) -> None:
        """Do this with requests whose path begins so, so many times; for good where no number is given."""
        with self._turn:
            self._acts.append((path, act, times))

    def clear(self) -> None:
        """The network is as it should be again."""
        with self._turn:
            self._acts.clear()

    def count(self, path: str) -> int:
        return len(self.requests(path))

    def requests(self, path: str) -> list[Exchange]:
        return [one for one in self.seen if one.path.startswith(path)]

    def quiet_after(self, exchange: Exchange) -> float:
        """Seconds until entries were sent or changes asked for again."""
        later = [one.at - exchange.at for one in self.seen if one.path.startswith((ENTRIES, CHANGES))]
        return min(seconds for seconds in later if seconds > 0)

    def close(self) -> None:
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()

    def answer(self, exchange: Exchange) -> Answer | None:
        with self._turn:
            self.seen.append(exchange)
            act = self._next(exchange.path)
        try:
            return act(exchange)
        except (OSError, HTTPException):  # the service is not there
            return None

    def _next(self, path: str) -> Act:
        for place, (begins, act, times) in enumerate(self._acts):
            if path.startswith(begins):
                if times is not None:
                    self._acts[place : place + 1] = [(begins, act, times - 1)] if times > 1 else []
                return act
        return Exchange.forward

    def _handler(self) -> type[BaseHTTPRequestHandler]:
        between = self

        class Handler(BaseHTTPRequestHandler):
            def handle_one_request(self) -> None:
                try:
                    super().handle_one_request()
                except OSError:  # the phone has hung up
                    self.close_connection = True

            def handle_any(self) -> None:
                body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
                headers = {name: value for name, value in self.headers.items() if name.lower() not in HOP_BY_HOP}
                answer = between.answer(Exchange(between.served.port, self.command, self.path, headers, body))
                self.close_connection = True
                if answer is None:
                    return
                self.send_response_only(answer.status)
                for name, value in {**answer.headers, "Content-Length": str(len(answer.body))}.items():
                    self.send_header(name, value)
                self.end_headers()
                self.wfile.write(answer.body[: answer.sent])

            do_GET = do_PUT = do_POST = do_DELETE = handle_any

            def log_message(self, *_: object) -> None:
                """Nothing: a test says what matters."""

        return Handler


def lost(_: Exchange) -> None:
    """The request never arrives."""


def answer_lost(exchange: Exchange) -> None:
    """The service has done it, and nobody hears of it."""
    exchange.forward()


def html(status: int, text: str = "<html><body>Log in to this network</body></html>", **headers: str) -> Act:
    """Something else answers with a page of its own."""
    given = {name.replace("_", "-"): value for name, value in headers.items()}
    return lambda _: Answer(status, {"Content-Type": "text/html; charset=utf-8", **given}, text.encode())


def problem(status: int, title: str, detail: str, **headers: str) -> Act:
    """The service itself says no, in its own form."""
    given = {name.replace("_", "-"): value for name, value in headers.items()}
    body = json.dumps({"type": "about:blank", "title": title, "status": status, "detail": detail}).encode()
    return lambda _: Answer(status, {"Content-Type": "application/problem+json", **given}, body)
