"""One kept-alive connection that is timed."""

from __future__ import annotations

import http.client
import json
import time
from urllib.parse import urlsplit


class Client:
    """Speaks to the service as a paired device."""

    def __init__(self, url: str, token: str) -> None:
        self._connection = http.client.HTTPConnection(urlsplit(url).netloc, timeout=60)
        self._headers = {"Authorization": f"Bearer {token}", "Content-Type": "application/json"}

    def timed(self, method: str, path: str, body: bytes | None = None) -> tuple[float, dict]:
        """Seconds until the whole answer was there, and the answer. Raises RuntimeError where it is not a 200."""
        began = time.perf_counter()
        self._connection.request(method, path, body=body, headers=self._headers)
        answer = self._connection.getresponse()
        content = answer.read()
        seconds = time.perf_counter() - began
        if answer.status != 200:
            raise RuntimeError(f"{method} {path}: {answer.status} {content[:500]!r}")
        return seconds, json.loads(content)

    def close(self) -> None:
        self._connection.close()
