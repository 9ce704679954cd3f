"""What a customer opens: a record behind an unguessable link. No session, no script."""

from __future__ import annotations

from functools import wraps

from flask import Flask, Response, current_app

from service.book import base_url, book, now, signing_key
from service.errors import Problem
from service.pairing import hashed
from service.record import page
from service.records import shown
from service.store import customer, link, photo, record

HEADERS = {"Content-Security-Policy": page.POLICY, "Cache-Control": "no-store", "X-Robots-Tag": "noindex, nofollow"}


def register(app: Flask) -> None:
    app.add_url_rule("/r/<name:token>", view_func=get_page)
    app.add_url_rule("/r/<name:token>.json", view_func=get_document)
    app.add_url_rule("/r/<name:token>/photos/<sha256:sha256>", view_func=get_photo)
    app.add_url_rule("/keys/<name:key_id>", view_func=get_key)


def _opened(token: str):
    """Shop, record, its customer's name, and photos that have not come; None where a link leads nowhere."""
    with book().reading() as db:
        found = link.by_token(db, hashed(token), now())
        if found is None:
            return None
        shop_id = found["shop_id"]
        stored = record.get(db, shop_id, found["record_id"])
        owner = stored["customer_id"] and customer.get(db, shop_id, stored["customer_id"])
        lacking = photo.lacking(db, shop_id, [one["sha256"] for one in stored["document"]["photos"]])
        return shop_id, shown(db, shop_id, stored), owner and owner["name"], lacking


def private(view):
    """The headers of everything behind a link."""

    @wraps(view)
    def answered(**kwargs):
        response = view(**kwargs)
        response.headers.update(HEADERS)
        return response

    return answered


@private
def get_page(token: str) -> Response:
    opened = _opened(token)
    if opened is None:
        return Response(page.nothing_here(), 404, mimetype="text/html")
    _, found, name, lacking = opened
    return Response(page.render(found, f"{base_url()}/r/{token}", name, lacking), mimetype="text/html")


@private
def get_document(token: str) -> Response:
    """The signed document with what is needed to check it."""
    opened = _opened(token)
    if opened is None:
        raise Problem(404, "This link leads nowhere.")
    found = opened[1]
    names = ("document", "signature", "key_id", "public_key", "number", "genuine")
    signed = {name: found[name] for name in names}
    how = "Ed25519 (RFC 8032) over the RFC 8785 form of `document`; signature and key are base64url."
    return Response(_json({**signed, "how": how}), mimetype="application/json")


@private
def get_photo(token: str, sha256: str) -> Response:
    opened = _opened(token)
    if opened is None or sha256 not in {one["sha256"] for one in opened[1]["document"]["photos"]}:
        raise Problem(404, "There is no such photo here.")
    with book().reading() as db:
        found = photo.get(db, opened[0], sha256)
    if found is None:
        raise Problem(404, "This photo has not reached the service yet.")
    return Response(found["data"], mimetype=found["content_type"])


def get_key(key_id: str) -> Response:
    """The public half of the key this service signs with now."""
    key = signing_key()
    if key_id != key.id:
        raise Problem(404, "This service does not sign with such a key.")
    return Response(
        _json({"key_id": key.id, "algorithm": "Ed25519", "public_key": key.public_key}), mimetype="application/json"
    )


def _json(body: dict) -> str:
    return current_app.json.dumps(body)
