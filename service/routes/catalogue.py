"""The catalogue."""

from __future__ import annotations

from schemas.catalogue import CatalogueSchema
from service.api import Room, as_answer
from service.auth import caller
from service.book import book
from service.catalogue_served import served

room = Room("catalogue", description="Quantities, bands, units, adjusters, fasteners, checks, steps and causes")


@room.route("/catalogue")
@room.etag
@room.response(200, CatalogueSchema)
def get_catalogue():
    """The catalogue, with the shop's own bands; asked with If-None-Match it is sent only when it changed"""
    with book().reading() as db:
        document = served(db, caller().shop_id)
    room.set_etag(document["version"])
    return as_answer(document)
