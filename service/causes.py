"""The table of causes as the computing needs it: the shop's own or the catalogue's, with the priors it has learned."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from service import catalogue, own_rows
from service.catalogue import Catalogue
from service.domain.bike import applies, facts
from service.domain.causes import (
    NONE_OF_THESE,
    Cause,
    Change,
    Levels,
    Usual,
    learned_priors,
    start_priors,
)
from service.domain.reason_words import label_of
from service.errors import Problem, fault
from service.store import Store, closing, shop_table

NOUN_OF = {"quantity": "", "fastener": "fastener:", "check": "check:", "needed": "needed:"}
NAMED = {
    "likely": "symptoms", "either": "symptoms", "sometimes": "symptoms", "rarely": "symptoms", "events": "events",
}  # fmt: skip
NAMED_CHANGES = {"quantity": "quantities", "fastener": "fasteners", "check": "checks", "needed": "quantities"}
DERIVED = ("hanger_vertical", "hanger_residual")  # compared like quantities; both come from the hanger's readings


def levels(known: Catalogue) -> Levels:
    """The table's words as numbers."""
    return Levels(**{id: row["value"] for id, row in known.items["likelihoods"].items()})


def from_rows(rows: Iterable[Mapping[str, Any]]) -> list[Cause]:
    """Rows of the table, as in the catalogue or as the shop edited them."""
    return [
        Cause(
            row["id"], row["label"], row["prior"],
            *(tuple(row.get(words, ())) for words in ("likely", "either", "sometimes", "rarely")),
            changes=tuple(_change(c) for c in row.get("changes", ())), noise_period=row.get("noise_period"),
            while_coasting=row.get("while_coasting", False), all_same=row.get("all_same", False),
            events=tuple(row.get("events", ())),
        )
        for row in rows
    ]  # fmt: skip


def _change(row: Mapping[str, Any]) -> Change:
    noun = next(noun for noun in NOUN_OF if noun in row)
    return Change(NOUN_OF[noun] + row[noun], row["direction"])


def usual(row: Mapping[str, Any], of: Levels) -> Usual:
    """What ordinary riding does to a quantity: the catalogue's `ordinary`, else in proportion to its uncertainty."""
    ordinary = row.get("ordinary", {})
    spread = ordinary.get("spread", of.ordinary_in_u * row["u"])
    return Usual(ordinary.get("mean", 0.0), spread, of.fault_in_u * row["u"])


@dataclass(frozen=True)
class Learned:
    """A cause's share to start with, how often it was found of how often it could have been, and the share learned."""

    id: str
    label: str
    start: float
    closed: int
    could_be: int
    learned: float


def rows_in_force(db: Database, shop_id: str) -> dict[str, Any]:
    """The shop's own table, else the catalogue's."""
    return own_rows.in_force(db, shop_id, "causes")


def learned(
    db: Database, shop_id: str, rows: Iterable[Mapping[str, Any]], besides: str | None = None
) -> list[Learned]:
    """Priors from closed comebacks by added counts, none of these last. `besides`: a job that is not counted."""
    rows, of = list(rows), levels(catalogue.load())
    every = from_rows(rows)
    start = dict(zip([*(c.id for c in every), NONE_OF_THESE], start_priors(every, of).tolist(), strict=True))
    closed = [one for one in closing.closed_comebacks(db, shop_id) if one["id"] != besides]
    counts, could = Counter(one["cause"] for one in closed), Counter({NONE_OF_THESE: len(closed)})
    for one in closed:
        could.update(row["id"] for row in rows if applies(row.get("applies", {}), facts(one["bike"])))
    shares = learned_priors(start, counts, could, of)
    labels = {c.id: c.label for c in every} | {NONE_OF_THESE: label_of(None)}
    return [Learned(id, labels[id], start[id], counts[id], could[id], share) for id, share in shares.items()]


def shown(db: Database, shop_id: str) -> dict[str, Any]:
    """The table in force with what was learned."""
    found = rows_in_force(db, shop_id)
    return {**found, "learned": [asdict(one) for one in learned(db, shop_id, found["causes"])]}


def save(
    store: Store, shop_id: str, person: str, rows: list[dict[str, Any]] | None, now: datetime
) -> dict[str, Any]:
    """Put the shop's own table in force, or the catalogue's again. Raises Problem 409 for what nobody knows."""
    if rows is not None:
        _check(rows, catalogue.load())
    with store.writing() as db:
        shop_table.append(db, shop_id, "causes", rows, now.isoformat(), person)
        return shown(db, shop_id)


def _check(rows: list[dict[str, Any]], known: Catalogue) -> None:
    ids = [row["id"] for row in rows]
    for place, row in enumerate(rows):
        if ids.index(row["id"]) != place or row["id"] == NONE_OF_THESE:
            raise _clash(f"/causes/{place}/id", f"{row['id']} is taken already.", "taken-id")
        for field, noun in NAMED.items():
            _known(known, noun, row[field], f"/causes/{place}/{field}")
        for at, change in enumerate(row["changes"]):
            of = next(name for name in NAMED_CHANGES if name in change)
            if change[of] not in DERIVED:
                _known(known, NAMED_CHANGES[of], [change[of]], f"/causes/{place}/changes/{at}/{of}")


def _known(known: Catalogue, noun: str, ids: list[str], pointer: str) -> None:
    for at, id in enumerate(ids):
        if id not in known.items[noun]:
            raise _clash(f"{pointer}/{at}", f"The catalogue has no {id} among its {noun}.", "unknown-catalogue-id")


def _clash(pointer: str, detail: str, kind: str) -> Problem:
    return Problem(409, detail, kind=kind, errors=[fault(pointer, detail)])
