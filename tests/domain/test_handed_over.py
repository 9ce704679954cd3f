"""Handed-over values against hand-worked cases (schemas/vectors/handed_over.json) and rules that hold for any job."""

import json
from dataclasses import asdict
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.handed_over import Adjuster, Entry, conflicts, handed_over, in_order, standing

CASES = json.loads((Path(__file__).parents[2] / "schemas/vectors/handed_over.json").read_text())["cases"]


def entry(body: dict) -> Entry:
    return Entry(**{**body, "gear": tuple(body["gear"]) if body.get("gear") else None})


def adjusters(bodies: list[dict]) -> dict[str, Adjuster]:
    return {b["id"]: Adjuster(b["id"], b["adds_to"], tuple(b["makes_stale"])) for b in bodies}


@pytest.mark.parametrize("case", CASES, ids=lambda c: c["id"])
def test_hand_worked(case):
    entries = [entry(b) for b in case["inputs"]["entries"]]
    expected = case["expected"]
    assert [e.id for e in in_order(entries)] == expected["order"]
    assert [e.id for e in standing(entries)] == expected["standing"]
    found = [{"entry_id": c.entry_id, "replaced_by": list(c.replaced_by)} for c in conflicts(entries)]
    assert found == expected["conflicts"]
    values = handed_over(entries, adjusters(case["inputs"]["adjusters"]))
    wanted = {(v["quantity"], tuple(v["gear"]) if v["gear"] else None): v for v in expected["values"]}
    assert set(values) == set(wanted)
    for key, value in values.items():
        shown = asdict(value)
        for name, want in wanted[key].items():
            got = shown[name]
            got = list(got) if isinstance(got, tuple) else got
            assert got == (pytest.approx(want, abs=1e-9) if isinstance(want, float) else want), name


def test_interval_reading_keeps_its_bounds_and_shifts_with_what_is_added():
    """A go / no-go of 2 to 3 turns, half a turn added: 2.5 to 3.5, middle 3 (sum of the parts, by hand)."""
    reading = Entry("a", "reading", "bench", 0, quantity="turns", value=2.5, u=0.29, low=2, high=3)
    turned = Entry("b", "adjustment", "bench", 1, adjuster="barrel", amount=0.5)
    value = handed_over([reading, turned], {"barrel": Adjuster("barrel", {"turns": 1})})["turns", None]
    assert (value.value, value.low, value.high, value.u) == (3.0, 2.5, 3.5, 0.29)


def test_an_adjuster_nobody_knows_is_an_error_not_a_fresh_value():
    turned = Entry("b", "adjustment", "bench", 1, adjuster="mystery", amount=1)
    with pytest.raises(KeyError, match="mystery"):
        handed_over([turned], {})


def test_a_circle_of_replacements_ends():
    """The store cannot make one, a damaged file could: both drop out, nothing hangs."""
    a = Entry("a", "reading", "bench", 0, quantity="q", value=1, replaces="b")
    b = Entry("b", "reading", "bench", 1, quantity="q", value=2, replaces="a")
    assert standing([a, b]) == [] and conflicts([a, b]) == []


STEPS = Adjuster("trim", {"trim": 1}, ("gap",))


@st.composite
def jobs(draw):
    entries = []
    for n in range(draw(st.integers(0, 12))):
        kind = draw(st.sampled_from(["reading", "adjustment", "void"]))
        entries.append(Entry(
            f"e{n}", kind, "bench", draw(st.integers(0, 5)), device_seq=n, seq=n,
            replaces=f"e{draw(st.integers(0, n - 1))}" if n and (kind == "void" or draw(st.booleans())) else None,
            quantity=draw(st.sampled_from(["trim", "gap"])) if kind == "reading" else None,
            value=draw(st.integers(-5, 5)) if kind == "reading" else None,
            adjuster="trim" if kind == "adjustment" else None,
            amount=draw(st.integers(-3, 3)) if kind == "adjustment" else None))
    return entries


@given(jobs(), st.randoms(use_true_random=False))
def test_order_of_arrival_does_not_matter(entries, random):
    shuffled = random.sample(entries, len(entries))
    assert handed_over(shuffled, {"trim": STEPS}) == handed_over(entries, {"trim": STEPS})
    assert conflicts(shuffled) == conflicts(entries)


@given(jobs())
def test_setting_is_reading_plus_what_was_turned_after_it(entries):
    """Replayed one by one, as a counter on the derailleur would: an independent way to the same trim."""
    counter, fresh = None, None
    for e in standing(entries):
        if e.kind == "reading" and e.quantity == "trim":
            counter = e.value
        if e.kind == "reading" and e.quantity == "gap":
            fresh = e.value
        if e.kind == "adjustment" and e.amount:
            counter = None if counter is None else counter + e.amount
            fresh = None
    values = handed_over(entries, {"trim": STEPS})
    assert (values["trim", None].value if ("trim", None) in values else None) == counter
    assert (values["gap", None].value if ("gap", None) in values else None) == fresh


@given(jobs())
def test_nothing_named_stands_and_every_conflict_has_two_sides(entries):
    named = {e.replaces for e in entries}
    assert not named & {e.id for e in standing(entries)}
    assert all(len(c.replaced_by) > 1 and c.entry_id in named for c in conflicts(entries))
