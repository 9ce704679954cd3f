"""Reading entries back: of a job, as a feed, and what clashes."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlite_utils import Database

from service.domain.handed_over import conflicts
from service.job_entries import as_computed
from service.store import Store, change, conflict, entry, gap, shop


def of_job(db: Database, shop_id: str, job_id: str) -> dict[str, Any]:
    """The entries of a job in the order they were taken, and the gaps beside them."""
    return {"entries": entry.of_job(db, shop_id, job_id), "gaps": gap.of_job(db, shop_id, job_id)}


def changes(store: Store, shop_id: str, after: int, limit: int, now: datetime) -> dict[str, Any]:
    """One page of the feed. `more` says whether another page waits."""
    with store.reading() as db:
        found = change.after(db, shop_id, after, limit + 1)
        epoch = shop.get(db, shop_id)["epoch"]
    page = found[:limit]
    upto = page[-1]["seq"] if page else after
    more = len(found) > limit
    return {"epoch": epoch, "changes": page, "next": upto, "more": more, "server_time": now.isoformat()}


def clashes(store: Store, shop_id: str) -> list[dict[str, Any]]:
    """Entries whose id came with another body, and entries that were corrected in two ways."""
    with store.reading() as db:
        found = conflict.same_id(db, shop_id)
        for job_id in conflict.jobs_with_two_corrections(db, shop_id):
            shown = {one["id"]: one for one in entry.of_job(db, shop_id, job_id)}
            for clash in conflicts(as_computed(entry.computed_of_job(db, shop_id, job_id))):
                others = [shown[id] for id in clash.replaced_by]
                newest = max(one["received_at"] for one in others)
                found.append(
                    {"kind": "two_corrections", "entry_id": clash.entry_id, "job_id": job_id,
                     "entry": shown[clash.entry_id], "others": others, "received_at": newest}
                )  # fmt: skip
    return found
