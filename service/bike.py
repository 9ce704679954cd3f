"""Saving a bike, finding it again, and its code."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from service import versions
from service.domain.bike import family
from service.errors import Problem, fault
from service.record.page import qr_svg
from service.store import Store, bike, customer, shop


def save(store: Store, shop_id: str, bike_id: str, body: dict[str, Any], now: datetime) -> dict[str, Any]:
    """Write a bike on top of `base_seq`; the bike as the book now holds it. Raises Problem 409 on a clash."""
    base_seq = body.pop("base_seq")
    with store.writing() as db:
        current = bike.get(db, shop_id, bike_id)
        if not versions.changed(current, current and bike.body(db, shop_id, bike_id), base_seq, body):
            return current
        owner = body.get("customer_id")
        # Whoever was erased may stay on their bike as a bare id: its next change must not fail for that.
        same = current is not None and current.get("customer_id") == owner
        if owner and not same and not customer.exists(db, shop_id, owner):
            raise Problem(409, "This customer is not in the book.", errors=[fault("/customer_id", "Not in the book.")])
        bike.put(
            db,
            shop_id,
            {
                "id": bike_id,
                "seq": shop.take_seq(db, shop_id),
                "customer_id": owner,
                "family": family(body["drivetrain"]),
                "body": body,
                "search": searchable(body),
                "updated_at": now.isoformat(),
            },
        )
        return bike.get(db, shop_id, bike_id)


def searchable(body: dict[str, Any]) -> str:
    """What a search looks through, in one case."""
    words = [body["label"], body.get("frame_number", ""), *body.get("serials", []), family(body["drivetrain"])]
    return "\n".join(words).casefold()


def find(store: Store, shop_id: str, query: dict[str, Any]) -> dict[str, Any]:
    """One page of bikes, the newest change first."""
    words = query.get("q", "").casefold().split()
    with store.reading() as db:
        found = bike.page(db, shop_id, words, query.get("after"), query["limit"] + 1)
    shown = found[: query["limit"]]
    return {"bikes": shown, "next": shown[-1]["seq"] if len(found) > len(shown) else None}


def code(found: dict[str, Any], base_url: str) -> dict[str, str]:
    """A bike's address in the app, and that as a QR code."""
    url = f"{base_url}/#/bikes/{found['id']}"
    return {"url": url, "qr_svg": str(qr_svg(url))}
