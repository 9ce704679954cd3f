"""A second shop in the same book, to see that nothing shows outside its own."""

from __future__ import annotations

from service.ids import new_id
from service.pairing import new_code
from service.store import person, shop
from tests.conftest import Phone


def other_owner(app, store, clock) -> Phone:
    """The phone of the owner of another shop."""
    shop_id, owner_id = new_id(), new_id()
    with store.writing() as db:
        shop.add(db, shop_id, "Another shop", new_id(), clock().isoformat())
        person.put(db, shop_id, {"id": owner_id, "name": "Stranger", "role": "owner", "active": True})
    return Phone(app, clock, new_code(store, shop_id, owner_id, clock())[0], "Strange phone")
