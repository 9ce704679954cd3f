"""The served process: waitress on one address, the lines that say it is ready, and an end that cuts nobody off."""

from __future__ import annotations

import ipaddress
import logging
import signal
import socket
import time
from collections.abc import Callable
from types import FrameType

from waitress import create_server, wasyncore
from waitress.channel import HTTPChannel

from service import create_app
from service.config import Config
from service.pairing import owner_code
from service.store import pending

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
        family = socket.AF_INET6 if ":" in host else socket.AF_INET
        self._listening = socket.create_server((host, port), family=family)
        self.port = self._listening.getsockname()[1]
        self._server = create_server(
            app, self._map,
            sockets=[self._listening], threads=THREADS, max_request_body_size=BODY_LIMIT,
            connection_limit=250, asyncore_use_poll=True, ident=None, clear_untrusted_proxy_headers=True,
        )  # fmt: skip

    def stop(self) -> None:
        """Ends `run` once the requests in flight are answered. May be called from a signal handler."""
        self._stopping = True

    def run(self) -> None:
        """Serves until `stop`; then takes no new connection and waits up to PATIENCE for what is in flight."""
        while not self._stopping:
            self._turn()
        self._server.del_channel()
        self._listening.close()
        last_moment = time.monotonic() + PATIENCE
        # One turn first: what has reached this machine, but was not read yet, is in flight too.
        self._turn()
        while self._busy() and time.monotonic() < last_moment:
            self._turn()
        self._server.task_dispatcher.shutdown(timeout=1)
        for channel in self._channels():
            channel.handle_close()  # closes its buffers too, which close_all would leave open
        wasyncore.close_all(self._map)

    def _turn(self) -> None:
        wasyncore.loop(timeout=TURN, use_poll=True, map=self._map, count=1)

    def _busy(self) -> bool:
        """Whether a request is being received or computed, or an answer is not wholly sent."""
        return any(each.request or each.requests or each.total_outbufs_len for each in self._channels())

    def _channels(self) -> list[HTTPChannel]:
        return [each for each in self._map.values() if isinstance(each, HTTPChannel)]


def serve(config: Config, host: str, port: int) -> None:
    """Serves the book until SIGINT or SIGTERM; a second signal ends the process at once.

    When ready, prints three lines that people and scripts wait for: the address, a pairing code of the owner and a link
    with it. The code works once, for ten minutes. Raises LookupError for a file of another schema, OSError for an
    address that cannot be had.
    """
    logging.basicConfig(level=logging.WARNING, format="%(asctime)s %(levelname)s %(name)s: %(message)s")
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    app = create_app(config)
    store = app.extensions["roadproof.store"]
    if store.lacks(pending):
        raise LookupError(f"{config.db_path} is not of this version's schema: run `migrate` first")
    server = Server(app, host, port)

    def stop(number: int, frame: FrameType | None) -> None:
        signal.signal(number, signal.SIG_DFL)
        server.stop()

    signal.signal(signal.SIGINT, stop)
    signal.signal(signal.SIGTERM, stop)
    code = owner_code(store, config.clock())
    print(f"listening on {address(host, server.port)}", flush=True)
    print(f"pairing code: {code}", flush=True)
    print(f"pair this browser: {config.public_url or address(reachable(host), server.port)}/#/pair/{code}", flush=True)
    server.run()
    store.close()


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
