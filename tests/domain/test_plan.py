"""The plan of a job against hand-worked cases (schemas/vectors/plan.json) and rules that hold for any graph."""

import json
from dataclasses import asdict
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.handed_over import Entry
from service.domain.plan import PlanError, Step, done_steps, plan, refuse_unknown, working_order

CASES = json.loads((Path(__file__).parents[2] / "schemas/vectors/plan.json").read_text())["cases"]


def step(body: dict) -> Step:
    return Step(**{k: tuple(v) if isinstance(v, list) else v for k, v in body.items()})


@pytest.mark.parametrize("case", CASES, ids=lambda c: c["id"])
def test_hand_worked(case):
    inputs, expected = case["inputs"], case["expected"]
    steps = [step(b) for b in inputs["steps"]]
    if "error" in expected:
        with pytest.raises(PlanError) as caught:
            plan(steps)
        ring = list(caught.value.steps)
        assert ring[0] == ring[-1]
        wanted = expected["error"]["steps_any_rotation"]
        assert ring[:-1] in [wanted[n:] + wanted[:n] for n in range(len(wanted))]
        assert all(f"“{id}”" in str(caught.value) for id in wanted)
        return
    done = {*inputs["done"], *done_steps(steps, [Entry(**entry) for entry in inputs.get("entries", ())])}
    result = plan(steps, inputs["missing_parts"], done, inputs["failed_checks"])
    assert json.loads(json.dumps([asdict(s) for s in result.states])) == expected["states"]
    assert {part: list(ids) for part, ids in result.holds.items()} == expected["holds"]
    assert list(result.blocked_ride) == expected["blocked_ride"]


def test_unknown_prerequisites_and_double_ids_are_named():
    with pytest.raises(PlanError, match="“tpae”"):
        refuse_unknown([Step("a", hard=("tpae",))])
    with pytest.raises(PlanError, match="“a”"):
        working_order([Step("a"), Step("a")])
    refuse_unknown([Step("a"), Step("b", hard=("a",))])


def test_a_step_is_done_by_its_entries():
    """Each asked thing needs a standing entry; a check must have passed last; a step that asks nothing is marked."""
    steps = [Step("gap", quantities=("gap",), fasteners=("mount",)), Step("brakes", checks=("hold",)), Step("tape")]
    gap = Entry("1", "reading", "bench", 1, quantity="gap", value=5)
    mount = Entry("2", "torque", "bench", 2, fastener="mount")
    passed = Entry("3", "check", "bench", 3, check="hold", outcome="passed")
    failed = Entry("4", "check", "bench", 4, check="hold", outcome="failed")
    assert done_steps(steps, [gap, passed]) == {"brakes"}
    assert done_steps(steps, [gap, mount, passed, failed]) == {"gap"}
    assert done_steps(steps, [gap, mount], marked=["tape"]) == {"gap", "tape"}
    assert done_steps(steps, [gap, mount, Entry("5", "void", "bench", 5, replaces="2")]) == frozenset()
    loose = Entry("6", "torque", "bench", 6, fastener="mount", holds=False)
    again = Entry("7", "torque", "bench", 7, fastener="mount")
    assert done_steps(steps, [gap, mount, loose]) == frozenset()
    assert done_steps(steps, [gap, mount, loose, again]) == {"gap"}


IDS = [f"s{n}" for n in range(7)]


@st.composite
def acyclic(draw):
    """Steps whose prerequisites come earlier in a hidden order, handed over shuffled."""
    hidden = draw(st.permutations(IDS))
    steps = []
    for n, id in enumerate(hidden):
        earlier = st.lists(st.sampled_from(hidden[:n]), max_size=3, unique=True) if n else st.just([])
        steps.append(Step(id, hard=tuple(draw(earlier)), soft=tuple(draw(earlier)),
                          parts=tuple(draw(st.lists(st.sampled_from("pq"), max_size=2, unique=True))),
                          stage=draw(st.sampled_from(["bench", "road"]))))
    return draw(st.permutations(steps))


@given(acyclic(), st.sets(st.sampled_from(IDS)), st.sets(st.sampled_from("pq")), st.sets(st.just("brakes")))
def test_states_are_consistent(steps, done, missing, failed):
    result = plan(steps, sorted(missing), done, failed)
    by_id, state = {s.id: s for s in steps}, {s.id: s for s in result.states}
    place = {s.id: n for n, s in enumerate(result.states)}
    assert set(state) == set(by_id)
    for id, s in by_id.items():
        got = state[id]
        assert all(place[p] < place[id] for p in (*s.hard, *s.soft))
        assert (got.state == "done") == (id in done)
        if id in done:
            continue
        undone = [p for p in s.hard if p not in done]
        assert set(got.waits_for) == set(undone)
        behind = reach(id, by_id, done)
        assert set(got.held_by_part) == {p for b in behind for p in by_id[b].parts} & missing
        assert bool(got.held_by_check) == bool(failed and any(by_id[b].stage == "road" for b in behind))
        assert got.state == ("held" if got.held_by_part or got.held_by_check else "waiting" if undone else "ready")
    for part in missing:
        assert set(result.holds[part]) == {id for id in by_id if part in state[id].held_by_part}


def reach(id: str, by_id: dict[str, Step], done: set[str]) -> set[str]:
    """The step and all undone steps it cannot do without: plain depth-first search."""
    seen, todo = set(), [id]
    while todo:
        here = todo.pop()
        if here not in seen and here not in done:
            seen.add(here)
            todo.extend(by_id[here].hard)
    return seen


@given(acyclic(), st.data())
def test_any_closed_circle_is_refused(steps, data):
    """Let a step need one that already needs it, directly or through others: refused, and the circle is real."""
    by_id = {s.id: s for s in steps}
    pairs = [(a, b) for a in by_id for b in reach(a, by_id, set()) if a != b]
    if not pairs:
        return
    a, b = data.draw(st.sampled_from(pairs))
    by_id[b] = Step(b, hard=(*by_id[b].hard, a), soft=by_id[b].soft)
    with pytest.raises(PlanError) as caught:
        plan(by_id.values())
    ring = caught.value.steps
    assert all(n in (*by_id[m].hard, *by_id[m].soft) for m, n in pairwise(ring))


@given(acyclic(), st.sets(st.sampled_from(IDS)))
def test_doing_a_ready_step_never_takes_another_back(steps, done):
    before = plan(steps, (), done)
    ready = [s.id for s in before.states if s.state == "ready"]
    if ready:
        after = {s.id: s.state for s in plan(steps, (), done | {ready[0]}).states}
        assert all(after[s.id] in (s.state, "ready", "done") for s in before.states)
