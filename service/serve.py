"""The served process: waitress on one address, the lines that say it is ready, and an end that cuts nobody off."""

from __future__ import annotations

import ipaddress
import logging
import signal
import time
from collections.abc import Callable
from types import FrameType

from waitress import create_server, wasyncore
from waitress.channel import HTTPChannel

from service import create_app
from service.config import Config
from service.pairing import owner_code
from service.store import Store

THREADS = 4  # writes take turns anyway; more threads only hold more connections to the file
# waitress answers 413 in plain text: its limit stands far above every limit of the app, which answers as it should.
BODY_LIMIT = 64 * 1024 * 1024
PATIENCE = 10.0  # seconds that requests in flight get to end
TURN = 0.2  # seconds one round of the loop waits at most


class Server:
    """waitress with its loop in our hands: its own `run`, when stopped, cancels what has not been answered."""

    def __init__(self, app: Callable, host: str, port: int) -> None:
        """Binds the address at once. Raises OSError where it cannot be had."""
        self._map: dict = {}
        self._stopping = False
        self._server = create_server(
            app, self._map,
            host=host, port=port, threads=THREADS, max_request_body_size=BODY_LIMIT,
            connection_limit=250, asyncore_use_poll=True, ident=None, clear_untrusted_proxy_headers=True,
        )  # fmt: skip
        self.port = int(self._listeners()[0].effective_port)

    def stop(self) -> None:
        """Ends `run` once the requests in flight are answered. May be called from a signal handler."""
        self._stopping = True

    def run(self) -> None:
        """Serves until `stop`; then takes no new connection and waits up to PATIENCE for what is in flight."""
        while not self._stopping:
            self._turn()
        for listener in self._listeners():
            listener.del_channel()
            listener.socket.close()
        last_moment = time.monotonic() + PATIENCE
        # One turn first: what has reached this machine, but was not read yet, is in flight too.
        self._turn()
        while self._busy() and time.monotonic() < last_moment:
            self._turn()
        self._server.task_dispatcher.shutdown(timeout=1)
        wasyncore.close_all(self._map)

    def _turn(self) -> None:
        wasyncore.loop(timeout=TURN, use_poll=True, map=self._map, count=1)

    def _listeners(self) -> list:
        return [each for each in self._map.values() if getattr(each, "accepting", False)]

    def _busy(self) -> bool:
        """Whether a request is being received or computed, or an answer is not wholly sent."""
        channels = [each for each in self._map.values() if isinstance(each, HTTPChannel)]
        return any(each.request or each.requests or each.total_outbufs_len for each in channels)


def serve(config: Config, host: str, port: int) -> None:
    """Serves the book until SIGINT or SIGTERM; a second signal ends the process at once.

    When ready, prints the address, a pairing code of the owner and a link with it. The code works once, for ten
    minutes.
    """
    logging.basicConfig(level=logging.WARNING, format="%(asctime)s %(levelname)s %(name)s: %(message)s")
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    app = create_app(config)
    server = Server(app, host, port)

    def stop(number: int, frame: FrameType | None) -> None:
        signal.signal(number, signal.SIG_DFL)
        server.stop()

    signal.signal(signal.SIGINT, stop)
    signal.signal(signal.SIGTERM, stop)
    announce(config, host, server.port)
    server.run()


def announce(config: Config, host: str, port: int) -> None:
    """The three lines that people and scripts wait for."""
    store = Store(config.db_path)
    try:
        code = owner_code(store, config.clock())
    finally:
        store.close()
    print(f"listening on {address(host, port)}", flush=True)
    print(f"pairing code: {code}", flush=True)
    print(f"pair this browser: {config.public_url or address(reachable(host), port)}/#/pair/{code}", flush=True)


def address(host: str, port: int) -> str:
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"


def reachable(host: str) -> str:
    """A host that a browser on this machine can open: the address for all interfaces is none."""
    try:
        place = ipaddress.ip_address(host)
    except ValueError:
        return host
    if place.is_unspecified:
        return "127.0.0.1" if place.version == 4 else "::1"
    return host
