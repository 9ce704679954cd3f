"""/healthz says that the process lives; /readyz that it can read the book, and how safely it writes."""

from __future__ import annotations

from flask import Flask

from service.book import book
from service.store import StoreError, pending


def register(app: Flask) -> None:
    app.add_url_rule("/healthz", view_func=healthz)
    app.add_url_rule("/readyz", view_func=readyz)


def healthz():
    return {"status": "ok"}


def readyz():
    try:
        state, lacking = book().state(), book().lacks(pending)
    except StoreError as error:
        return {"status": "not ready", "why": str(error)}, 503
    if lacking:
        return {"status": "not ready", "why": f"run `migrate` first: {', '.join(lacking)}", **state}, 503
    return {"status": "ready", **state}
