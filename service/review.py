"""The review of a comeback, as GET /jobs/{id}/review answers it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import UTC, datetime
from typing import Any

from sqlite_utils import Database

from service import catalogue, causes
from service.baseline import Baseline, as_found, baseline, measured, visit
from service.domain.bike import applies, facts
from service.domain.causes import Candidate, Levels
from service.domain.next_measurement import next_measurements
from service.domain.posterior import candidates
from service.domain.review import Compared, Measured, compare
from service.domain.second_cause import second_cause
from service.entry import of_job as entries_of_job
from service.review_consistency import consistency_of
from service.review_evidence import Evidence
from service.store import bike, closing

NO_BASELINE = "This bike has not been handed over before: there is nothing to compare with."
NEXT_AT_MOST, WORTH_BITS = 5, 0.01
SECOND_FROM, PAIR_FROM = 0.3, 0.15
LARGEST_RATIO = 1e9  # beyond it nothing is told apart better


def of_job(db: Database, shop_id: str, found: Mapping[str, Any]) -> dict[str, Any]:
    """Then and now, the causes with their evidence, what to measure next, and what is known beside it."""
    own_bike = bike.get(db, shop_id, found["bike_id"])
    of, seen = facts(own_bike), visit(db, shop_id, found["id"])
    base, now = baseline(db, shop_id, found, own_bike), as_found(db, shop_id, seen, own_bike)
    compared = compare(base.values if base else {}, {key: measured(value, seen) for key, value in now.items()})
    rows = causes.rows_in_force(db, shop_id)["causes"]
    table = causes.from_rows(row for row in rows if applies(row.get("applies", {}), of))
    levels, learned = causes.levels(catalogue.load()), causes.learned(db, shop_id, rows, besides=found["id"])
    evidence = Evidence(own_bike, of, table, levels)
    observed = evidence.observations(found, seen, compared)
    shares, words = {one.id: one.learned for one in learned}, len(catalogue.load().items["symptoms"])
    ranked = candidates(table, observed, levels, shares, words)
    consistent, why_not = consistency_of(base, seen, own_bike, observed)
    return {
        "job_id": found["id"],
        "baseline": base and {name: getattr(base, name) for name in ("job_id", "record_id", "handed_over_at")},
        "complaint": found.get("complaint"),
        "since_last": found.get("since_last", []),
        "compared": [_compared(one) for one in compared],
        "causes": [_candidate(one) for one in ranked],
        "second_cause": _second(second_cause(table, observed, levels, shares, words), ranked),
        "next": _next(evidence, base, observed, table, ranked, levels),
        "consistency": consistent and asdict(consistent),
        "first_guess": closing.guess(db, shop_id, found["id"]),
        "closing": closing.get(db, shop_id, found["id"]),
        "learned_from": next(one.could_be for one in learned if one.id == causes.NONE_OF_THESE),
        "road_log": _road_log(db, shop_id, base),
        "why_not": ({} if base else {"baseline": NO_BASELINE}) | ({"consistency": why_not} if why_not else {}),
    }


def _compared(one: Compared) -> dict[str, Any]:
    quantity = catalogue.load().items["quantities"][one.key[0]]
    change = None
    if one.delta is not None:
        vertical = one.vertical and {"value": one.vertical[0], "u": one.vertical[1]}
        change = {name: getattr(one, name) for name in ("delta", "u", "p", "p_together", "real")}
        # Dust beside twelve o'clock is twelve.
        clock = None if one.towards_clock is None else round(one.towards_clock, 2) % 12 or 12.0
        change |= {"towards_clock": clock, "vertical_mm": vertical}
    return {
        "quantity": quantity["id"],
        "label": quantity["label"],
        "unit": catalogue.load().units[quantity["unit"]].label,
        "gear": one.key[1] and {"ring": one.key[1][0], "cog": one.key[1][1]},
        "then": _measured(one.then),
        "now": _measured(one.now),
        "change": change,
        "why_not": one.why_not,
    }


def _measured(one: Measured | None) -> dict[str, Any] | None:
    if one is None:
        return None
    at = one.taken_at and datetime.fromtimestamp(one.taken_at, UTC).isoformat()
    return {name: getattr(one, name) for name in ("value", "u", "verdict", "p_inside", "entry_id", "why_not")} | {
        "taken_at": at
    }


def _candidate(one: Candidate) -> dict[str, Any]:
    reasons = {"for": one.reasons_for, "against": one.reasons_against}
    told = {
        side: [{"of": r.of, "words": r.words, "ratio": min(r.ratio, LARGEST_RATIO)} for r in found]
        for side, found in reasons.items()
    }
    return {"id": one.id, "label": one.label, "prior": one.prior, "probability": one.probability, **told}


def _second(found: Any, ranked: Sequence[Candidate]) -> dict[str, Any] | None:
    """The most probable pair, where a second cause is not far-fetched."""
    if found is None or found.two < SECOND_FROM or found.pair < PAIR_FROM:
        return None
    labels = {one.id: one.label for one in ranked}
    pair = [{"id": id, "label": labels[id]} for id in (found.first, found.second)]
    return {"probability": found.two, "causes": pair, "pair_probability": found.pair}


def _next(
    evidence: Evidence, base: Baseline | None, observed: Sequence, table: Sequence, ranked: Sequence, levels: Levels
) -> list[dict[str, Any]]:
    by_id = {one.id: one.probability for one in ranked}
    probability = [by_id[cause.id] for cause in table] + [by_id[causes.NONE_OF_THESE]]
    gains = next_measurements(table, probability, evidence.still_open(base, observed), levels)
    worth = [gain for gain in gains[:NEXT_AT_MOST] if gain.bits >= WORTH_BITS]
    return [asdict(gain) for gain in worth]


def _road_log(db: Database, shop_id: str, base: Baseline | None) -> list[dict[str, Any]]:
    """What was logged on the road of the original job, in order."""
    if base is None:
        return []
    return [one for one in entries_of_job(db, shop_id, base.job_id)["entries"] if one["stage"] == "road"]
