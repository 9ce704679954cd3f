"""What a walk is judged by: what was told, what the phone shows, and what the book holds."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.faults.walk import Walk

APART = 1.0  # seconds between two saves that a clock set on the way can no longer put out of order
NEAR = 20.0  # seconds that a moment in the book may be from the true one


@dataclass(frozen=True)
class Told:
    """An entry that the phone has told as saved, and the true moment of it."""

    id: str
    job: str
    device_seq: int
    data: dict
    at: float


def wrong_on_the_way(walk: Walk) -> Iterator[str]:
    """What holds at every moment: the phone shows what it has told, and calls confirmed what the book holds."""
    job = walk.random.choice(walk.jobs)
    told = [one.id for one in walk.told if one.job == job]
    # The screens read the database in their own time.
    try:
        walk.page.until(
            "([job, ids]) => { const shown = new Set(window.book.entriesOf(job).value.map((one) => one.entry.id));"
            " return ids.every((id) => shown.has(id)); }",
            [job, told],
            within=5,
        )
    except AssertionError:
        yield f"told as saved and not shown, job {job}"
    rows = walk.page.entries(job)
    shown = [row["entry"]["id"] for row in rows]
    doubled = [id for id, n in Counter(shown).items() if n > 1]
    if doubled:
        yield f"shown twice: {doubled}"
    if walk.restored and walk.page.signal("signal") != "online":
        return
    held = {id for (id,) in walk.served.rows("SELECT id FROM entries WHERE job_id = ?", job)}
    confirmed = {row["entry"]["id"] for row in rows if row["state"] == "confirmed"}
    if confirmed - held and not walk.restored:
        yield f"confirmed and not in the book: {sorted(confirmed - held)}"
    if aside := [row["problem"] for row in rows if row["state"] == "set_aside"]:
        yield f"set aside: {aside}"


def wrong_at_the_end(walk: Walk) -> Iterator[str]:
    rows = walk.served.rows("SELECT id, job_id, device_seq, body, (taken_ms + offset_ms) / 1000.0 FROM entries")
    held = {id: (job, seq, json.loads(body), moment) for id, job, seq, body, moment in rows}
    if len(held) != len(rows):
        yield "an id is in the book twice"
    for one in walk.told:
        if one.id not in held:
            yield f"lost: {one}"
        elif held[one.id][:2] != (one.job, one.device_seq) or held[one.id][2]["data"] != one.data:
            yield f"changed: {one}"
    if more := held.keys() - {one.id for one in walk.told}:
        yield f"in the book and never told as saved: {sorted(more)}"
    numbers = sorted(seq for _, seq, _, _ in held.values())
    if numbers != list(range(1, len(numbers) + 1)):
        yield f"device numbers have a gap or a twin: {numbers}"
    yield from _out_of_order(walk, {id: moment for id, (_, _, _, moment) in held.items()})
    yield from _nouns(walk)
    yield from _shown(walk)


def _out_of_order(walk: Walk, moments: dict[str, float]) -> Iterator[str]:
    for one in walk.told:
        if abs(moments.get(one.id, one.at) - one.at) > NEAR:
            yield f"{moments[one.id] - one.at:.0f} s from its true time: {one}"
    apart = APART if walk.clock_set else 0.0
    in_order = sorted((one for one in walk.told if one.id in moments), key=lambda one: moments[one.id])
    for before, after in pairwise(in_order):
        if before.at - after.at > apart:
            yield f"out of order: {after} before {before}"


def _nouns(walk: Walk) -> Iterator[str]:
    jobs = {id for (id,) in walk.served.rows("SELECT id FROM jobs")}
    if missing := set(walk.jobs) - jobs:
        yield f"jobs lost: {sorted(missing)}"
    bikes = {id: json.loads(body) for id, body in walk.served.rows("SELECT id, body FROM bikes")}
    if len(bikes) != len(walk.jobs):
        yield f"{len(bikes)} bikes for {len(walk.jobs)} jobs"
    for bike, number in walk.frames.items():
        if bikes[bike].get("frame_number") != number:
            yield f"bike {bike} has {bikes[bike].get('frame_number')}, told was {number}"


def _shown(walk: Walk) -> Iterator[str]:
    pending = walk.page.signal("pending")
    if pending["count"] or pending["setAside"]:
        yield f"not confirmed: {pending}"
    for job in walk.jobs:
        ids = [one.id for one in walk.told if one.job == job]
        rows = walk.page.wait_entries(job, len(ids))
        if {row["entry"]["id"] for row in rows} != set(ids):
            yield f"the phone shows other entries than it has told, job {job}"
        if states := {row["state"] for row in rows} - {"confirmed"}:
            yield f"still {states}, job {job}"
