"""Every error leaves the service as an RFC 9457 problem: what is wrong, where, and what would be right."""

from __future__ import annotations

import logging
from typing import Any

from flask import Flask, Response, current_app
from marshmallow import ValidationError
from werkzeug.exceptions import HTTPException

from service.domain.errors import CannotCompute
from service.store import StoreBusy, StoreError

log = logging.getLogger(__name__)

TITLES = {
    400: ("bad-request", "The request cannot be read"),
    401: ("not-paired", "This device is not paired"),
    403: ("not-allowed", "Not allowed for this role or device"),
    404: ("not-found", "There is nothing here"),
    405: ("method-not-allowed", "This address does not take that method"),
    406: ("not-acceptable", "This form of answer is not offered"),
    409: ("clash", "The book says otherwise"),
    413: ("too-large", "The body is too large"),
    415: ("wrong-content-type", "This content type is not taken here"),
    422: ("breaks-the-contract", "The request does not fit the contract"),
    426: ("contract-too-old", "This phone app is too old for the service"),
    429: ("too-many-tries", "Too many tries"),
    500: ("fault", "The service has a fault"),
    503: ("busy", "The service cannot do this now"),
}


MOST_FAULTS = 20  # more help nobody, and would let a small request ask for a large answer


class Problem(Exception):
    """An answer other than success. `extra` adds members such as `current`; `headers` go out with it."""

    def __init__(
        self,
        status: int,
        detail: str,
        *,
        errors: list[dict] | None = None,
        headers: dict | None = None,
        kind: str | None = None,
        **extra: Any,
    ) -> None:
        super().__init__(detail)
        self.status, self.headers = status, headers or {}
        name, title = TITLES[status]
        kind = f"urn:roadproof:problem:{kind or name}"
        self.body = {"type": kind, "title": title, "status": status, "detail": detail}
        if errors:
            self.body["errors"] = errors
        self.body.update(extra)


def fault(pointer: str, detail: str) -> dict[str, str]:
    """One field at fault, named by JSON pointer."""
    return {"pointer": pointer, "detail": detail}


def entry_problem(kind: str, *faults: dict[str, str]) -> dict[str, Any]:
    """The problem of one entry inside a batch whose other entries are judged by themselves."""
    return {
        "type": f"urn:roadproof:problem:{kind}",
        "title": "This entry was not taken",
        "status": 422,
        "detail": " ".join(dict.fromkeys(f["detail"] for f in faults)),
        "errors": list(faults),
    }


def faults_of(messages: Any) -> list[dict[str, str]]:
    """Marshmallow's nested messages as a flat list of pointers (RFC 6901), the first of them."""
    return _flat(messages, "")[:MOST_FAULTS]


def _flat(messages: Any, pointer: str) -> list[dict[str, str]]:
    if isinstance(messages, dict):
        found: list[dict[str, str]] = []
        for key, below in messages.items():
            step = "" if key == "_schema" else "/" + sendable(str(key)).replace("~", "~0").replace("/", "~1")
            found += _flat(below, pointer + step)
        return found
    if isinstance(messages, list):
        return [f for message in messages for f in _flat(message, pointer)]
    return [fault(pointer, str(messages))]


def sendable(text: str) -> str:
    """A text that may go out as UTF-8: half a surrogate pair is shown escaped."""
    return text.encode("utf-8", "backslashreplace").decode()


def schema_faults(messages: dict[str, Any]) -> list[dict[str, str]]:
    """Faults of a whole request, where webargs puts the location first."""
    found = []
    for location, below in messages.items():
        for f in faults_of(below):
            if location != "json":
                f = {"pointer": "", "detail": f["detail"], "parameter": f["pointer"].lstrip("/")}
            found.append(f)
    return found


def as_response(problem: Problem) -> Response:
    response = current_app.json.response(problem.body)
    response.status_code = problem.status
    response.content_type = "application/problem+json"
    response.headers.update(problem.headers)
    return response


def from_http(error: HTTPException) -> Problem:
    """What Flask, werkzeug or webargs raised, as one of our problems."""
    status = error.code if error.code in TITLES else 500 if (error.code or 500) >= 500 else 400
    data = getattr(error, "data", None) or {}
    exc = getattr(error, "exc", None)
    if isinstance(exc, ValidationError):
        faults = schema_faults(exc.messages)
        return Problem(422, " ".join(dict.fromkeys(f["detail"] for f in faults)), errors=faults)
    headers = {k: v for k, v in error.get_headers() if k in ("Allow", "Retry-After", "WWW-Authenticate")}
    return Problem(status, data.get("message") or TITLES[status][1] + ".", headers=headers)


def register(app: Flask) -> None:
    """Handlers for what is not an HTTP error by itself."""
    app.register_error_handler(Problem, as_response)
    app.register_error_handler(
        StoreBusy,
        lambda _: as_response(
            Problem(503, "Another write is still going on; try again soon.", headers={"Retry-After": "2"})
        ),
    )
    app.register_error_handler(StoreError, _store_fault)
    app.register_error_handler(CannotCompute, lambda error: as_response(Problem(422, error.reason)))
    app.register_error_handler(Exception, _own_fault)


def _store_fault(error: StoreError) -> Response:
    log.exception("the store failed", exc_info=error)
    return as_response(Problem(503, "The book could not be written; nothing was kept.", headers={"Retry-After": "10"}))


def _own_fault(error: Exception) -> Response:
    log.exception("unexpected fault", exc_info=error)
    return as_response(Problem(500, "This was not your doing. It is in the service's log."))
