"""People of the shop, and the codes that pair their phones."""

from __future__ import annotations

from schemas.pairing import CodeSchema, MeSchema
from schemas.person import PeopleSchema
from service import person as people
from service.api import Room
from service.auth import caller, owner_only
from service.book import book, now
from service.errors import Problem
from service.pairing import new_code
from service.store import person, shop

room = Room("person", description="People of the shop")


@room.route("/me")
@room.response(200, MeSchema)
def get_me():
    """Whose device this is"""
    me = caller()
    with book().reading() as db:
        found = shop.get(db, me.shop_id)
    names = {"shop_id": me.shop_id, "shop": found["name"], "epoch": found["epoch"], "person": me.person}
    return {**names, "device_id": me.device_id, "person_id": me.person_id, "role": me.role}


@room.route("/people")
@room.response(200, PeopleSchema)
def get_people():
    """Everyone who can log something"""
    with book().reading() as db:
        return {"people": person.all_of(db, caller().shop_id)}


@room.route("/people", methods=["PUT"])
@owner_only
@room.arguments(PeopleSchema)
@room.response(200, PeopleSchema)
@room.alt_response(403, "FORBIDDEN")
@room.alt_response(409, "CONFLICT")
def put_people(body):
    """Add or change people; one active owner stays"""
    return {"people": people.save(book(), caller().shop_id, body["people"])}


@room.route("/people/<id:person_id>/codes", methods=["POST"])
@owner_only
@room.response(201, CodeSchema)
@room.alt_response(403, "FORBIDDEN")
@room.alt_response(409, "CONFLICT")
def post_code(person_id):
    """A one-time code that pairs a phone of this person, good for ten minutes"""
    with book().reading() as db:
        found = person.get(db, caller().shop_id, person_id)
    if found is None:
        raise Problem(404, "This person is not in the book.")
    if not found["active"]:
        raise Problem(409, "This person does not work here any more.")
    code, ends = new_code(book(), caller().shop_id, person_id, now())
    return {"code": code, "expires_at": ends.isoformat()}
