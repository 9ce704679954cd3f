"""The built phone app: its files, precompressed where the build did so. It routes behind the hash: `/` is its page."""

from __future__ import annotations

from pathlib import Path

from flask import Flask, Response, request
from werkzeug.security import safe_join

from service.api import PREFIX
from service.book import config
from service.errors import Problem

# No inline script or style and nothing from elsewhere. Trusted types are left out: with them the worker hangs.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; font-src 'self';"
    " connect-src 'self'; manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none';"
    " frame-ancestors 'none'"
)
TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".webmanifest": "application/manifest+json",
    ".webp": "image/webp",
    ".woff2": "font/woff2",
}
ENCODINGS = {"br": ".br", "gzip": ".gz"}
HASHED = "assets/"  # the build puts a hash into these names, so they never change


def register(app: Flask) -> None:
    app.add_url_rule("/", view_func=get_file, defaults={"name": "index.html"})
    app.add_url_rule("/<path:name>", view_func=get_file)


def get_file(name: str) -> Response:
    """A file of the app. What the build did not make is not found: there is no page for every address."""
    found = safe_join(str(config().phone_dir), name)
    path = Path(found) if found else None
    if path is None or path.suffix not in TYPES or not path.is_file() or f"/{name}".startswith(PREFIX):
        raise Problem(404, "There is nothing at this address.")
    sent, encoding = _smallest(path)
    response = Response(sent.read_bytes(), content_type=TYPES[path.suffix])
    response.add_etag()
    if encoding:
        response.content_encoding = encoding
    response.vary.add("Accept-Encoding")
    kept = "public, max-age=31536000, immutable" if name.startswith(HASHED) else "no-cache"
    response.headers["Cache-Control"] = kept
    response.headers["Content-Security-Policy"] = POLICY
    response.headers["Permissions-Policy"] = "camera=(self), microphone=(self), geolocation=(), payment=()"
    return response.make_conditional(request)


def _smallest(path: Path) -> tuple[Path, str | None]:
    """The precompressed form that the browser takes, else the file itself."""
    for encoding, suffix in ENCODINGS.items():
        made = path.with_name(path.name + suffix)
        if request.accept_encodings.quality(encoding) > 0 and made.is_file():
            return made, encoding
    return path, None
