"""Who is asking: a paired device, known by its Bearer token (RFC 6750)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import wraps

from flask import g, request

from service.book import book
from service.errors import Problem
from service.pairing import hashed
from service.store import device


@dataclass(frozen=True)
class Caller:
    """The device behind a request, and the shop that all its queries are scoped by."""

    shop_id: str
    device_id: str
    person_id: str
    person: str
    role: str


def _refused(detail: str, kind: str | None = None) -> Problem:
    return Problem(401, detail, kind=kind, headers={"WWW-Authenticate": 'Bearer realm="roadproof"'})


def require_device() -> None:
    """Before each request of a blueprint: find the caller or answer 401."""
    scheme, _, token = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != "bearer" or not token:
        raise _refused("Send the device's token as `Authorization: Bearer`.")
    with book().reading() as db:
        found = device.by_token(db, hashed(token.strip()))
    if not found:
        raise _refused("This token is not known here; pair the device again.")
    if found["revoked_at"] or not found["active"]:
        raise _refused("This device was taken off the shop's list; ask the owner for a new code.", "device-revoked")
    g.caller = Caller(found["shop_id"], found["id"], found["person_id"], found["person"], found["role"])


def caller() -> Caller:
    return g.caller


def owner_only(view):
    """Refuse the mechanic's role."""

    @wraps(view)
    def checked(*args, **kwargs):
        if caller().role != "owner":
            raise Problem(403, "Only the owner's role may do this.")
        return view(*args, **kwargs)

    return checked
