"""The server's end: what is in flight is answered whole, and nothing is waited for beyond its patience."""

from __future__ import annotations

import http.client
import socket
import threading
import time
from contextlib import ExitStack, closing, contextmanager

import pytest

from service import serve
from service.serve import Server, address, reachable

BIG = b"x" * 4_000_000  # more than a socket's buffers hold


class App:
    """A small WSGI app that says when it has begun and waits until it may end."""

    def __init__(self) -> None:
        self.begun = threading.Event()
        self.may_end = threading.Event()

    def __call__(self, environ, start_response):
        body = environ["wsgi.input"].read()
        if environ["PATH_INFO"] == "/slow":
            self.begun.set()
            self.may_end.wait(10)
        answer = BIG if environ["PATH_INFO"] == "/big" else body or b"ok"
        start_response("200 OK", [("Content-Length", str(len(answer)))])
        return [answer]


@contextmanager
def running(app):
    """A server in a thread; gives it and its thread, and stops it in the end."""
    server = Server(app, "127.0.0.1", 0)
    thread = threading.Thread(target=server.run)
    thread.start()
    try:
        yield server, thread
    finally:
        if hasattr(app, "may_end"):
            app.may_end.set()
        server.stop()
        thread.join(20)
        assert not thread.is_alive()


@pytest.fixture
def connect():
    """Makes connections that are closed in the end."""
    with ExitStack() as stack:
        yield lambda server: stack.enter_context(
            closing(http.client.HTTPConnection("127.0.0.1", server.port, timeout=15))
        )


def wait_until_refused(server) -> None:
    """Returns once the server takes no more connections."""
    for _ in range(200):
        try:
            socket.create_connection(("127.0.0.1", server.port), timeout=1).close()
        except ConnectionRefusedError:
            return
        time.sleep(0.02)
    pytest.fail("still takes connections")


def test_a_request_being_computed_is_answered_after_the_stop(connect):
    app = App()
    with running(app) as (server, thread):
        client = connect(server)
        client.request("GET", "/slow")
        assert app.begun.wait(10)
        server.stop()
        wait_until_refused(server)
        app.may_end.set()
        assert client.getresponse().read() == b"ok"
        thread.join(10)
        assert not thread.is_alive()


def test_a_body_on_its_way_is_received_and_answered_after_the_stop():
    with running(App()) as (server, _thread):
        with socket.create_connection(("127.0.0.1", server.port), timeout=15) as client:
            client.sendall(b"POST / HTTP/1.1\r\nHost: x\r\nConnection: close\r\nContent-Length: 6\r\n\r\nabc")
            time.sleep(0.3)  # let it arrive
            server.stop()
            wait_until_refused(server)
            client.sendall(b"def")
            answer = b"".join(iter(lambda: client.recv(65536), b""))
        assert answer.startswith(b"HTTP/1.1 200")
        assert answer.endswith(b"abcdef")


def test_a_long_answer_is_sent_to_its_end_after_the_stop(connect):
    with running(App()) as (server, _thread):
        client = connect(server)
        client.request("GET", "/big")
        answer = client.getresponse()
        first = answer.read(1000)
        server.stop()
        wait_until_refused(server)
        assert first + answer.read() == BIG


def test_an_idle_connection_does_not_hold_the_end_up(connect):
    with running(App()) as (server, thread):
        client = connect(server)
        client.request("GET", "/")
        client.getresponse().read()
        server.stop()
        thread.join(5)
        assert not thread.is_alive()


def test_a_request_that_never_ends_is_given_up(monkeypatch):
    monkeypatch.setattr(serve, "PATIENCE", 0.5)
    with running(App()) as (server, thread):
        with socket.create_connection(("127.0.0.1", server.port), timeout=15) as client:
            client.sendall(b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 6\r\n\r\nabc")
            time.sleep(0.3)
            server.stop()
            thread.join(10)
        assert not thread.is_alive()


def test_a_body_over_every_limit_of_the_app_still_reaches_it(connect):
    """waitress would answer 413 in plain text by itself."""
    with running(App()) as (server, _thread):
        client = connect(server)
        body = b"y" * (5 * 1024 * 1024)
        client.request("POST", "/", body=body)
        assert client.getresponse().read() == body


def test_an_address_in_use_is_an_error_at_once():
    with running(App()) as (server, _thread), pytest.raises(OSError, match="in use"):
        Server(App(), "127.0.0.1", server.port)


@pytest.mark.parametrize(
    ("host", "url", "opened"),
    [
        ("127.0.0.1", "http://127.0.0.1:1", "127.0.0.1"),
        ("localhost", "http://localhost:1", "localhost"),
        ("0.0.0.0", "http://0.0.0.0:1", "127.0.0.1"),
        ("::", "http://[::]:1", "::1"),
        ("::1", "http://[::1]:1", "::1"),
    ],
)
def test_addresses(host, url, opened):
    assert address(host, 1) == url
    assert reachable(host) == opened
