"""Customers: added, exported and erased."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from service.errors import Problem, fault
from service.store import Store, customer, record


def save(store: Store, shop_id: str, customers: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Add or change customers; all of them. Raises Problem 409 for an id whose person was erased."""
    with store.writing() as db:
        for place, one in enumerate(customers):
            if customer.is_erased(db, shop_id, one["id"]):
                detail = "This person was erased; take a new id."
                raise Problem(409, detail, errors=[fault(f"/customers/{place}/id", detail)])
            body = {name: value for name, value in one.items() if name != "id"}
            customer.put(db, shop_id, one["id"], body)
        return customer.all_of(db, shop_id)


def export(store: Store, shop_id: str, customer_id: str) -> dict[str, Any]:
    """All that the book holds of a person: their own data, their bikes, and the records of these."""
    with store.reading() as db:
        found = customer.get(db, shop_id, customer_id)
        if found is None:
            raise Problem(404, "This customer is not in the book.")
        documents = record.documents_for(db, shop_id, customer_id)
        return {"customer": found, "bikes": customer.bikes_of(db, shop_id, customer_id), "records": documents}


def erase(store: Store, shop_id: str, customer_id: str, now: datetime) -> None:
    """Delete a person's data. Their bikes' set-ups stay; nobody can tell from them whose they were."""
    with store.writing() as db:
        if not customer.exists(db, shop_id, customer_id):
            raise Problem(404, "This customer is not in the book.")
        customer.erase(db, shop_id, customer_id, now.isoformat())
