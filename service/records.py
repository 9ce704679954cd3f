"""Set-up records as they are shown, and the links to them."""

from __future__ import annotations

import secrets
from datetime import datetime, timedelta
from typing import Any

from sqlite_utils import Database

from service import ids
from service.pairing import hashed
from service.record.outcome import counts_of
from service.record.signing import is_genuine
from service.store import Store, entry, link, record

LINK_DAYS = 730


def shown(db: Database, shop_id: str, found: dict[str, Any]) -> dict[str, Any]:
    """A stored record as the contract shows it, with what has happened since."""
    late = entry.count_after(db, shop_id, found["job_id"], found["seq"])
    amended_by = record.amended_by(db, shop_id, found["id"])
    public_key = record.public_key(db, shop_id, found["key_id"])
    kept = ("id", "job_id", "bike_id", "number", "seq", "handed_over_at", "amends", "document", "signature", "key_id")
    return {
        **{name: found[name] for name in kept},
        "counts": counts_of(found["document"]),
        "amended_by": amended_by,
        "late_entries": late,
        "amendment_offered": bool(late) and amended_by is None,
        "public_key": public_key,
        "genuine": is_genuine(found["document"], found["signature"], public_key),
        "links": link.of_record(db, shop_id, found["id"]),
    }


def new_link(store: Store, shop_id: str, record_id: str, base_url: str, now: datetime) -> dict[str, Any]:
    """An unguessable address of a record. It is given out once; the book keeps its hash."""
    token, link_id = secrets.token_urlsafe(24), ids.new_id()
    ends = now + timedelta(days=LINK_DAYS)
    with store.writing() as db:
        link.add(db, shop_id, link_id, record_id, hashed(token), now, ends)
    return {"id": link_id, "url": f"{base_url.rstrip('/')}/r/{token}", "expires_at": ends.isoformat()}
