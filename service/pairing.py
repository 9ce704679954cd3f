"""Pairing: a one-time code of ten minutes turns into a phone's token, of which only the hash is kept."""

from __future__ import annotations

import hashlib
import secrets
from datetime import datetime

from service import ids
from service.config import Config
from service.store import Store, device, pending, person, shop

CODE_MINUTES = 10
# Crockford's letters: none that is taken for another. Eight of them are 40 bits, guessed at a few tries a minute.
LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


def hashed(secret: str) -> str:
    """What is kept of a code, a token or a link."""
    return hashlib.sha256(secret.encode()).hexdigest()


def normal(code: str) -> str:
    """A code as it is compared: no dashes, and letters that look alike taken as meant."""
    return code.upper().replace("-", "").replace(" ", "").translate(str.maketrans("OIL", "011"))


def first_start(store: Store, shop_name: str, now: datetime) -> str:
    """Make the shop and its owner when the book is new; the shop's id either way."""
    with store.writing() as db:
        known = shop.first(db)
        if known:
            return known["shop_id"]
        shop_id = ids.new_id()
        shop.add(db, shop_id, shop_name, ids.new_id(), now.isoformat())
        person.put(db, shop_id, {"id": ids.new_id(), "name": "Owner", "role": "owner", "active": True})
        return shop_id


def new_code(store: Store, shop_id: str, person_id: str, now: datetime) -> tuple[str, datetime]:
    """A one-time code for a person, as read aloud, and when it ends."""
    code = "".join(secrets.choice(LETTERS) for _ in range(8))
    ends = int(now.timestamp()) + CODE_MINUTES * 60
    with store.writing() as db:
        device.add_code(db, shop_id, hashed(code), person_id, ends)
    return f"{code[:4]}-{code[4:]}", datetime.fromtimestamp(ends, now.tzinfo)


def owner_code(store: Store, now: datetime) -> str:
    """A one-time code for the owner's role, for the command line. Raises LookupError where the file has no book."""
    if store.lacks(pending):
        raise LookupError("This data file is not of this version: run `migrate` first.")
    shop_id = first_start(store, Config.shop_name, now)
    with store.reading() as db:
        owner = person.active_owners(db, shop_id)[0]
    return new_code(store, shop_id, owner, now)[0]


def pair(store: Store, code: str, device_id: str, device_name: str, now: datetime) -> dict | None:
    """Exchange a code for a token; None if the code is wrong, used or past its ten minutes."""
    with store.writing() as db:
        found = device.use_code(db, hashed(normal(code)), int(now.timestamp()))
        if not found:
            return None
        shop_id, person_id = found["shop_id"], found["person_id"]
        owner = person.get(db, shop_id, person_id)
        if not owner["active"]:
            return None
        token = secrets.token_urlsafe(32)
        device.pair(
            db,
            shop_id,
            {
                "id": device_id,
                "name": device_name,
                "person_id": person_id,
                "token_hash": hashed(token),
                "paired_at": now.isoformat(),
            },
        )
    return {"token": token, "role": owner["role"], "person_id": person_id}
