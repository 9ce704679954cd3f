"""Changing the people of a shop."""

from __future__ import annotations

from typing import Any

from service.errors import Problem, fault
from service.store import Store, person


def save(store: Store, shop_id: str, people: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Write people; everyone as the book now holds them. Raises Problem 409 where no active owner would be left."""
    with store.writing() as db:
        for one in people:
            person.put(db, shop_id, one)
        if not person.active_owners(db, shop_id):
            detail = "One active owner must stay, or nobody could let anyone in."
            raise Problem(409, detail, errors=[fault("/people", detail)])
        return person.all_of(db, shop_id)
