"""What holds for every request: size of the body, query keys where none are taken, headers of every answer."""

from __future__ import annotations

import gzip

from flask import Flask, Response, request

from service.api import PREFIX
from service.errors import Problem

BODY_LIMIT = 256 * 1024
PHOTO_LIMIT = 4 * 1024 * 1024
WORTH_IT = 1400  # bytes: about what one packet holds


def register(app: Flask) -> None:
    app.config["MAX_CONTENT_LENGTH"] = PHOTO_LIMIT
    app.before_request(_check_size)
    app.after_request(_finish)


def _check_size() -> None:
    if not request.path.startswith(f"{PREFIX}/photos/"):
        request.max_content_length = BODY_LIMIT
    length = request.content_length
    if length is not None and length > request.max_content_length:
        raise Problem(413, f"The body has {length} bytes; {request.max_content_length} are taken at most.")


def _finish(response: Response) -> Response:
    response.headers.setdefault("X-Content-Type-Options", "nosniff")
    response.headers.setdefault("Referrer-Policy", "no-referrer")
    if request.path.startswith(PREFIX):
        response.headers.setdefault("Cache-Control", "no-store")
        response.headers.setdefault("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'")
    return _compressed(response)


def _compressed(response: Response) -> Response:
    """Long texts made here go out compressed where the client takes it: a tenth of the bytes on a weak signal."""
    if response.mimetype not in ("application/json", "text/html") or response.status_code != 200:
        return response
    response.vary.add("Accept-Encoding")
    if response.content_encoding or response.is_streamed or len(response.get_data()) < WORTH_IT:
        return response
    if request.accept_encodings.quality("gzip") > 0:
        response.set_data(gzip.compress(response.get_data(), 5, mtime=0))
        response.content_encoding = "gzip"
    return response
