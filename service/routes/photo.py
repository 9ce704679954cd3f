"""Photos."""

from __future__ import annotations

from flask import Response, request

from schemas.photo import PhotoSchema
from service import photo as photos
from service.api import Room
from service.auth import caller
from service.book import book, now
from service.errors import Problem
from service.store import photo

room = Room("photo", description="Photos on entries, kept under the hash of their bytes")
BYTES = {"schema": {"type": "string", "format": "binary"}}
BODY = {"required": True, "content": dict.fromkeys(photos.BEGINNINGS, BYTES)}


@room.route("/photos/<sha256:sha256>", methods=["PUT"])
@room.doc(requestBody=BODY)
@room.response(200, PhotoSchema)
@room.alt_response(409, "CONFLICT")
@room.alt_response(413, "REQUEST_ENTITY_TOO_LARGE")
@room.alt_response(415, "UNSUPPORTED_MEDIA_TYPE")
@room.alt_response(422, "UNPROCESSABLE_ENTITY")
def put_photo(sha256):
    """Send a photo's bytes; the address is their SHA-256"""
    return photos.take(book(), caller().shop_id, sha256, request.mimetype, request.get_data(), now())


@room.route("/photos/<sha256:sha256>")
@room.response(200, {"type": "string", "format": "binary"}, content_type="image/*")
def get_photo(sha256):
    """A photo's bytes"""
    with book().reading() as db:
        found = photo.get(db, caller().shop_id, sha256)
    if found is None:
        raise Problem(404, "This photo has not reached the service.")
    headers = {"Cache-Control": "private, max-age=31536000, immutable"}
    return Response(found["data"], mimetype=found["content_type"], headers=headers)
