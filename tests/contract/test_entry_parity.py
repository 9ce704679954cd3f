"""The document and the loader judge entries alike.

A batch takes any object as an entry, so that a bad one does not hold up the others; a schema tester therefore never
looks inside. Here 5,000 entries, mutated at random from good ones, are judged by both: by JSON Schema (jsonschema,
draft 2020-12, formats checked) from the checked-in document, and by the service's own loader.
"""

from __future__ import annotations

import copy
import json
import random
from datetime import date
from typing import Any

import pytest
from jsonschema import Draft202012Validator, FormatChecker
from marshmallow import ValidationError

from schemas.entry import KINDS, load_entry
from service.ids import new_id
from service.openapi import TARGET

CASES = 5000
GEAR = {"ring": 46, "cog": 10}
TIPS = [{"clock": 12, "gap_mm": 10.0}, {"clock": 3, "gap_mm": 10.1}, {"clock": 6, "gap_mm": 9.9}]
DATA: dict[str, list[dict[str, Any]]] = {
    "reading": [
        {"quantity": "guide_pulley_gap", "value": 5.3, "unit": "mm"},
        {"quantity": "guide_pulley_gap", "low": 5, "high": 5.5, "unit": "mm"},
        {"quantity": "hanger_deviation", "tips": TIPS, "radius_mm": 311},
    ],
    "adjustment": [
        {"adjuster": "rear_trim", "amount": -1, "unit": "step", "because": "hesitates_to_larger", "effect": "better"}
    ],
    "shift_check": [{"from": GEAR, "to": {"ring": 46, "cog": 11}, "outcome": "clean"}],
    "noise": [
        {"sound": "tick", "when": ["seated"], "cadence_rpm": 80, "speed_kmh": 30, "count_in_ten_turns": 4,
         "taps_ms": [0, 750.5, 1500], "crank_taps_ms": [0, 700], "level": 3}
    ],
    "torque": [
        {"fastener": "pedal", "applied": 40, "unit": "N·m", "wrench_mm": 200, "adapter_mm": 30, "angle_deg": 90}
    ],
    "check": [{"check": "brake_hold", "outcome": "passed"}],
    "declined": [{"work": "New pads"}],
    "remark": [{"text": "Paint chipped"}],
    "void": [{}],
}  # fmt: skip
STRANGE = [
    None, True, False, 0, -1, 1, 2.0, 2.5, -0.0, 1e9, 1e10, -1e10, 1e308, 2**53 - 1, 2**53, 2**63, 10**30, 120, 121, "",
    "a", "mm", "5", "true", "found", "better", "passed", "reading", "a\0b", "x" * 201, "x" * 5000, "Ä", "🚲", "a b",
    "A_b", "tick", "_x", [], [1], ["seated"], ["seated", "seated"], [[]], [None], {}, {"ring": 46},
    {"ring": 46, "cog": 10},
    {"ring": 46.0, "cog": 10.0}, {"a": 1}, "2026-03-05T09:00:00Z", "2026-03-05T09:00:00", "2026-02-30T09:00:00Z",
    "2026-03-05T09:00:60Z", "2026-03-05t09:00:00z", "2026-03-05T09:00:00.123456789+01:00", "2026-03-05 09:00:00Z",
    "2026-W10-4T09:00:00Z", "20260305T090000Z", "1969-12-31T23:59:59Z", "2026-03-05T09:00:00+24:00", "2026-03-05",
    "0190b3a0-0000-7000-8000-000000000000", "0190B3A0-0000-7000-8000-000000000000",
    "{0190b3a0-0000-7000-8000-000000000000}",
    "urn:uuid:0190b3a0-0000-7000-8000-000000000000", "0190b3a0-0000-7000-8000-000000000000\n", "0" * 64, "0" * 63,
]  # fmt: skip


def good(kind: str, chance: random.Random) -> dict[str, Any]:
    entry = {
        "id": new_id(),
        "job_id": new_id(),
        "device_seq": chance.randrange(10**6),
        "kind": kind,
        "stage": chance.choice(["found", "bench", "road"]),
        "taken_at": "2026-03-05T09:00:00.25+01:00",
        "data": copy.deepcopy(chance.choice(DATA[kind])),
    }
    extra = {
        "by": new_id(), "replaces": new_id(), "gear": dict(GEAR), "gauge_id": new_id(), "odometer_km": 1204.5,
        "note": "by hand", "photos": ["0" * 64],
    }  # fmt: skip
    entry |= {name: value for name, value in extra.items() if chance.random() < 0.3}
    if kind == "void":
        entry["replaces"] = extra["replaces"]
    return entry


def places(value: Any) -> list[tuple[Any, Any]]:
    """Every container and key inside a JSON value."""
    if isinstance(value, dict):
        return [(value, key) for key in value] + [p for below in value.values() for p in places(below)]
    if isinstance(value, list):
        return [(value, n) for n in range(len(value))] + [p for below in value for p in places(below)]
    return []


def mutate(entry: dict[str, Any], chance: random.Random) -> None:
    holder, key = chance.choice(places(entry))
    how = chance.random()
    if how < 0.45:
        holder[key] = copy.deepcopy(chance.choice(STRANGE))
    elif how < 0.6:
        del holder[key]
    elif how < 0.75 and isinstance(holder, dict):
        holder[chance.choice(["value", "low", "high", "tips", "mood", "unit", "kind", "data", "from_", ""])] = (
            chance.choice(STRANGE)
        )
    elif how < 0.85 and isinstance(holder, list) and len(holder) < 20:
        holder += copy.deepcopy(holder) * chance.choice([1, 30, 600])
    elif isinstance(holder[key], int | float) and not isinstance(holder[key], bool):
        holder[key] = holder[key] * chance.choice([-1, 0, 1.0, 1e3, 1e6, 1e12])
    elif isinstance(holder[key], str):
        holder[key] = chance.choice([holder[key].upper(), holder[key] + "\n", holder[key] * 40, holder[key][:-1]])


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    document = json.loads(TARGET.read_text(encoding="utf-8"))
    # JSON Schema's patterns are ECMA-262's, where $ is the very end; Python's also stands before a last newline.
    text = json.dumps(document["components"]).replace('$"', '\\\\Z"')
    components = json.loads(text)
    schema = {"$ref": "#/components/schemas/Entry", "components": components}
    formats = FormatChecker(["uuid", "date-time", "date"])
    formats.checkers["date-time"] = (is_moment, ())
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema, format_checker=formats)


def is_moment(value: Any) -> bool:
    """RFC 3339's calendar; its grammar is in the pattern beside the format."""
    if not isinstance(value, str):
        return True
    try:
        date(int(value[:4]), int(value[5:7]), int(value[8:10]))
    except ValueError:
        return False
    return True


def loads(entry: dict[str, Any]) -> bool:
    try:
        load_entry(entry)
    except ValidationError:
        return False
    return True


def test_good_entries_of_every_kind_pass_both(validator):
    chance = random.Random(1)
    for kind in KINDS:
        for _ in range(40):
            entry = good(kind, chance)
            assert loads(entry), entry
            assert validator.is_valid(entry), entry


def test_mutated_entries_are_judged_alike(validator):
    chance = random.Random(20260305)
    apart, passed = [], 0
    for _ in range(CASES):
        entry = good(chance.choice(list(KINDS)), chance)
        for _ in range(chance.choice([1, 1, 1, 2, 3])):
            mutate(entry, chance)
        by_loader, by_document = loads(entry), validator.is_valid(entry)
        passed += by_loader
        if by_loader != by_document:
            apart.append((by_loader, by_document, json.dumps(entry)[:600]))
    assert not apart, f"{len(apart)} judged apart, such as {apart[:3]}"
    assert CASES * 0.05 < passed < CASES * 0.7, f"{passed} of {CASES} passed: the mutations say too little"


def test_a_difference_would_be_seen(validator, monkeypatch):
    """Control: a loader that lets one thing through is caught by the very comparison above."""
    from schemas import entry as entries
    from schemas.fields import Number

    monkeypatch.setattr(Number, "_deserialize", lambda self, value, *_, **__: value)
    chance = random.Random(20260305)
    apart = 0
    for _ in range(CASES // 5):
        entry = good(chance.choice(list(entries.KINDS)), chance)
        mutate(entry, chance)
        apart += loads(entry) != validator.is_valid(entry)
    assert apart


def test_half_a_surrogate_pair_is_refused_though_the_document_cannot_say_so():
    """It is no Unicode text (RFC 8259, section 8.2), and a pattern with it would break other people's validators."""
    entry = good("remark", random.Random(1)) | {"data": {"text": "a\ud800"}}
    assert not loads(entry)
