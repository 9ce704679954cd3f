"""What a walk is judged by: what was told, what the phone shows, and what the book holds."""

from __future__ import annotations

import json
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.faults.walk import Walk

APART = 1.0  # seconds between two saves that a clock set on the way can no longer put out of order
TOLD_WITHIN = 5.0  # seconds: the screens read the database in their own time
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
    try:
        walk.page.until(
            "([job, ids]) => { const shown = new Set(window.book.entriesOf(job).value.map((one) => one.entry.id));"
            " return ids.every((id) => shown.has(id)); }",
            [job, told],
            within=TOLD_WITHIN,
        )
    except AssertionError:
        yield f"told as saved and not shown, job {job}"
    rows = walk.page.entries(job)
    shown = [row["entry"]["id"] for row in rows]
    doubled = [id for id, n in Counter(shown).items() if n > 1]
    if doubled:
        yield f"shown twice: {doubled}"
    if unfounded := _unfounded(walk, job):
        yield f"confirmed and not in the book: {sorted(unfounded)}"
    aside = {row["entry"]["id"]: row["problem"] for row in rows if row["state"] == "set_aside"}
    if wrongly := {id: problem for id, problem in aside.items() if id not in walk.may_be_aside}:
        yield f"set aside: {wrongly}"


def _unfounded(walk: Walk, job: str) -> set[str]:
    """What the phone calls confirmed, against the book; it may, as long as it has not heard of a restore."""
    if walk.restored:
        [(epoch,)] = walk.served.rows("SELECT epoch FROM shops")
        walk.restored = walk.page.noted("epoch") != epoch
    until = time.monotonic() + TOLD_WITHIN
    while not walk.restored:
        confirmed = {row["entry"]["id"] for row in walk.page.entries(job) if row["state"] == "confirmed"}
        held = {id for (id,) in walk.served.rows("SELECT id FROM entries WHERE job_id = ?", job)}
        if confirmed <= held or time.monotonic() > until:
            return confirmed - held
        walk.page.page.wait_for_timeout(50)
    return set()


def wrong_at_the_end(walk: Walk) -> Iterator[str]:
    rows = walk.served.rows("SELECT id, job_id, device_seq, body, (taken_ms + offset_ms) / 1000.0 FROM entries")
    held = {id: (job, seq, json.loads(body), moment) for id, job, seq, body, moment in rows}
    if len(held) != len(rows):
        yield "an id is in the book twice"
    shown = {row["entry"]["id"]: row for job in walk.jobs for row in _rows(walk, job)}
    aside = {id for id, row in shown.items() if row["state"] == "set_aside"}
    for one in walk.told:
        if one.id in aside:
            continue
        if one.id not in held:
            yield f"lost: {one}"
        elif held[one.id][:2] != (one.job, one.device_seq) or held[one.id][2]["data"] != one.data:
            yield f"changed: {one}"
    if more := held.keys() - {one.id for one in walk.told}:
        yield f"in the book and never told as saved: {sorted(more)}"
    kept_aside = [one.device_seq for one in walk.told if one.id in aside and one.id not in held]
    numbers = sorted([*kept_aside, *(seq for _, seq, _, _ in held.values())])
    if numbers != list(range(1, len(numbers) + 1)):
        yield f"device numbers have a gap or a twin: {numbers}"
    yield from _out_of_order(walk, {id: moment for id, (_, _, _, moment) in held.items() if id not in aside})
    yield from _nouns(walk)
    yield from _shown(walk, shown, aside)


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


def _rows(walk: Walk, job: str) -> list[dict]:
    count = sum(one.job == job for one in walk.told)
    with suppress(AssertionError):  # what is missing is told below
        walk.page.until("([job, n]) => window.book.entriesOf(job).value.length === n", [job, count], TOLD_WITHIN)
    return walk.page.entries(job)


def _shown(walk: Walk, shown: dict[str, dict], aside: set[str]) -> Iterator[str]:
    pending = walk.page.signal("pending")
    if pending["count"] or pending["setAside"] != len(aside):
        yield f"not confirmed: {pending}, {len(aside)} set aside"
    if shown.keys() != {one.id for one in walk.told}:
        yield "the phone shows other entries than it has told"
    if wrongly := aside - walk.may_be_aside:
        yield f"set aside: {sorted(wrongly)}"
    if unsaid := [id for id in aside if not shown[id].get("problem", {}).get("title")]:
        yield f"set aside without a reason: {unsaid}"
    if states := {row["state"] for id, row in shown.items() if id not in aside} - {"confirmed"}:
        yield f"still {states}"
