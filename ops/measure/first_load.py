"""The bytes of a first load: every file that the page and its worker fetch, as compressed as the service sends it."""

from __future__ import annotations

import re
import urllib.request
from dataclasses import dataclass
from urllib.parse import urljoin

# Accepted by every browser of the last years over HTTPS and on this machine.
ACCEPTED = "br, gzip"


@dataclass(frozen=True)
class FirstLoad:
    """Bytes of bodies: the app with its worker, and what is fetched once the app is running."""

    app: int
    later: int


def received_bytes(url: str) -> FirstLoad:
    """Fetches the page, what it names, the worker, and what the worker's list names; each file once.

    Left out is the icon that a phone fetches when the app is put on its home screen.
    """
    page = _fetch(url, "/", ACCEPTED)
    text = re.sub(r'<link rel="apple-touch-icon"[^>]*>', "", _fetch(url, "/", "identity").decode())
    worker = _fetch(url, "/worker.js", "identity").decode()
    named = {urljoin("/", name) for name in re.findall(r'(?:src|href)="([^"#]+)"', text)}
    listed = {urljoin("/", name) for name in re.findall(r'\burl"?:\s*"([^"]+)"', worker)}
    paths = (named | listed | {"/worker.js"}) - {"/", "/index.html"}
    sizes = {path: len(_fetch(url, path, ACCEPTED)) for path in paths}
    # Of the scripts and styles, the worker brings at once those that the page names.
    later = sum(size for path, size in sizes.items() if path.startswith("/assets/") and path not in named)
    return FirstLoad(len(page) + sum(sizes.values()) - later, later)


def _fetch(url: str, path: str, accepted: str) -> bytes:
    request = urllib.request.Request(urljoin(url, path), headers={"Accept-Encoding": accepted})
    with urllib.request.urlopen(request, timeout=30) as answer:
        return answer.read()
