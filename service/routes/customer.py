"""Customers."""

from __future__ import annotations

from schemas.customer import CustomerExportSchema, CustomersSchema, CustomersShownSchema
from service import customer as customers
from service.api import Room, as_answer
from service.auth import caller, owner_only
from service.book import book, now
from service.store import customer

room = Room("customer", description="Customers, the only place with personal data")


@room.route("/customers")
@room.response(200, CustomersShownSchema)
def get_customers():
    """Every customer"""
    with book().reading() as db:
        return {"customers": customer.all_of(db, caller().shop_id)}


@room.route("/customers", methods=["PUT"])
@room.arguments(CustomersSchema)
@room.response(200, CustomersShownSchema)
@room.alt_response(409, "CONFLICT")
def put_customers(body):
    """Add or change customers"""
    return {"customers": customers.save(book(), caller().shop_id, body["customers"])}


@room.route("/customers/<id:customer_id>")
@room.response(200, CustomerExportSchema)
def get_customer(customer_id):
    """All that the book holds of a person, to give to them"""
    return as_answer(customers.export(book(), caller().shop_id, customer_id))


@room.route("/customers/<id:customer_id>", methods=["DELETE"])
@owner_only
@room.response(204)
@room.alt_response(403, "FORBIDDEN")
def delete_customer(customer_id):
    """Erase a person's data; the set-ups of their bikes stay"""
    customers.erase(book(), caller().shop_id, customer_id, now())
