"""What a job did beside its values: torques, checks, shifts, declined work, photos, the ride."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from service.catalogue import STEP_DONE, Catalogue
from service.domain.handed_over import Entry
from service.domain.torque import band_around

RIDE_ENDED = STEP_DONE + "test_ride"


def newest(standing: Iterable[Entry], kind: str, name: str) -> dict[str, Entry]:
    """The last standing entry of a kind for each fastener or check. `standing` is in order."""
    return {getattr(entry, name): entry for entry in standing if entry.kind == kind}


def failed_stop_ride(standing: list[Entry], catalogue: Catalogue) -> list[dict[str, str]]:
    """Stop-ride checks whose newest outcome is a failure: with one of them the bike stays."""
    known = catalogue.items["checks"]
    failed = [id for id, entry in newest(standing, "check", "check").items() if entry.outcome == "failed"]
    return [{"what": id, "label": known[id]["label"]} for id in failed if known[id]["stop_ride"]]


def unchecked_at_start(standing: Iterable[Entry], stops: Iterable[str]) -> list[str]:
    """Stop-ride checks that were not passed when a ride began: before its first entry. `standing` is in order."""
    passed, found, riding = set(), set(), False
    for entry in standing:
        if entry.stage == "road" and not riding:
            riding = True
            found |= set(stops) - passed
        if entry.kind == "check":
            (passed.add if entry.outcome == "passed" else passed.discard)(entry.check)
            riding = riding and entry.check != RIDE_ENDED
    return [id for id in stops if id in found]


def torques(standing: list[Entry], stored: Mapping[str, Mapping], catalogue: Catalogue) -> list[dict[str, Any]]:
    """The last torque of each fastener, N·m at the fastener, as it was judged; and what its wrench leaves open."""
    done = newest(standing, "torque", "fastener")
    found = []
    for id, row in catalogue.items["fasteners"].items():
        if id in done:
            derived = json.loads(stored[done[id].id]["derived"])
            told = {name: derived[name] for name in ("value", "unit", "verdict", "p_inside")}
            open_still = {name: derived.get(name) for name in ("low", "high")}  # not of the first torques in the book
            found.append(
                {"fastener": id, "label": row["customer_label"], "entry_id": done[id].id, **told, **open_still}
                | {"band": _judged_by(derived["band"]), "why_not": derived.get("why_not", {}).get("verdict")}
            )
    return found


def _judged_by(band: dict[str, Any]) -> dict[str, Any]:
    """The band of a torque; a target of one figure has its own to either side."""
    if band["lower"] is None or band["lower"] != band["upper"]:
        return band
    around = band_around(band["lower"])
    return band | {"lower": around.lower, "upper": around.upper, "target": around.target}


def counts_of(document: Mapping[str, Any]) -> dict[str, int]:
    """How many values go out, differences and torques counted, and how many of them have which verdict."""
    values = (*document["values"], *document["pairs"], *document["torques"])
    going = [one["verdict"] for one in values if one["value"] is not None]
    return {"values": len(going)} | {word: going.count(word) for word in ("inside", "borderline", "outside", "none")}


def checks(standing: list[Entry], catalogue: Catalogue) -> list[dict[str, Any]]:
    """The last outcome of each check; marks of a whole step are the shop's own matter."""
    done = newest(standing, "check", "check")
    return [
        {"check": id, "label": row.get("customer_label", row["label"]), "stop_ride": row["stop_ride"],
         "outcome": done[id].outcome}
        for id, row in catalogue.items["checks"].items()
        if id in done and not id.startswith(STEP_DONE)
    ]  # fmt: skip


def shift_words(one: Mapping[str, Any]) -> str:
    """A shift that was not clean, as `shifts` tells it: "46 × 15 to 46 × 17: hesitates"."""
    ends = (f"{one[end]['ring']} × {one[end]['cog']}" for end in ("from", "to"))
    return f"{' to '.join(ends)}: {one['label']}"


def shifts(standing: list[Entry], stored: Mapping[str, Mapping], catalogue: Catalogue) -> dict[str, Any] | None:
    """How each shift that was tried in the stand or on the road went last; how the bike came in is not the record's."""
    newest: dict[tuple[int, ...], dict[str, Any]] = {}
    for entry in standing:
        if entry.kind == "shift_check" and entry.stage != "found":
            data = json.loads(stored[entry.id]["body"])["data"]
            newest[tuple(data[end][part] for end in ("from", "to") for part in ("ring", "cog"))] = data
    if not newest:
        return None
    rows = catalogue.items["outcomes"]
    return {
        "tried": len(newest),
        "not_clean": [
            {name: data[name] for name in ("from", "to", "outcome")} | {"label": rows[data["outcome"]]["label"]}
            for data in newest.values()
            if data["outcome"] != "clean"
        ],
    }


def declined(standing: list[Entry], stored: Mapping[str, Mapping]) -> list[dict[str, str]]:
    """Work that was advised and not wanted."""
    bodies = [json.loads(stored[entry.id]["body"]) for entry in standing if entry.kind == "declined"]
    return [{"work": body["data"]["work"]} for body in bodies]


def photos(standing: list[Entry], stored: Mapping[str, Mapping], catalogue: Catalogue) -> list[dict[str, Any]]:
    """Photos on entries that still stand, each once, with what they show in the customer's words where it has some."""
    found: dict[str, dict[str, Any]] = {}
    for entry in standing:
        body = json.loads(stored[entry.id]["body"])
        for sha256 in body.get("photos", ()):
            row = {"sha256": sha256, "entry_id": entry.id, "of": _subject(entry, catalogue), "stage": entry.stage}
            found.setdefault(sha256, row)
    return list(found.values())


def _subject(entry: Entry, catalogue: Catalogue) -> str | None:
    """What a reading, torque or check is about; remarks are the shop's own and are not told."""
    lists = {"reading": ("quantities", entry.quantity), "torque": ("fasteners", entry.fastener)}
    name, id = {**lists, "check": ("checks", entry.check)}.get(entry.kind, ("", None))
    row = catalogue.items[name].get(id) if name else None
    return row and row.get("customer_label", row["label"])


def ride(standing: list[Entry], stored: Mapping[str, Mapping], catalogue: Catalogue) -> dict[str, Any] | None:
    """The test rides: how far, where the odometer was read twice, and what they changed from the stand, by adjuster.

    What the stand set or read anew after a ride counts from there. `turned` says whether any ride turned anything.
    """
    road = [entry for entry in standing if entry.stage == "road"]
    if not road:
        return None
    odometer = [km for entry in road if (km := stored[entry.id]["odometer_km"]) is not None]
    turned: dict[str, float] = {}
    for entry in standing:
        if entry.stage != "road":
            for id in _set_by(entry, catalogue):
                turned.pop(id, None)
        elif entry.kind == "adjustment" and entry.adjuster != "none" and entry.amount:
            turned[entry.adjuster] = turned.get(entry.adjuster, 0.0) + entry.amount
    rows = catalogue.items["adjusters"]
    return {
        "km": max(odometer) - min(odometer) if len(odometer) > 1 else None,
        "corrections": [
            {"adjuster": id, "label": rows[id]["label"], "amount": amount, "unit": rows[id]["unit"],
             "towards": rows[id]["positive"] if amount > 0 else rows[id]["negative"]}
            for id, amount in turned.items()
            if amount
        ],
        "turned": any(entry.kind == "adjustment" and entry.amount for entry in road),
    }  # fmt: skip


def _set_by(entry: Entry, catalogue: Catalogue) -> list[str]:
    """Adjusters whose place the stand set, or read, by this entry."""
    if entry.kind == "adjustment":
        return [entry.adjuster]
    return [id for id, one in catalogue.adjusters().items() if entry.quantity in one.adds_to]
