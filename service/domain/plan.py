"""The plan of a job: a graph of steps with hard and soft prerequisites.

Which steps are done, ready, waiting for what, or held by a missing part, and all that the part holds up. A failed
stop-ride check holds the ride. The graph is the standard library's graphlib; no other source.
"""

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from heapq import heappop, heappush

from service.domain.handed_over import Entry, standing

DONE, READY, WAITING, HELD = "done", "ready", "waiting", "held"


@dataclass(frozen=True)
class Step:
    """One step. `hard` ones must be done first, `soft` ones had better be; `parts` must be there."""

    id: str
    label: str = ""
    hard: tuple[str, ...] = ()
    soft: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    quantities: tuple[str, ...] = ()
    fasteners: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    stage: str = "bench"


@dataclass(frozen=True)
class StepState:
    """`waits_for`: hard prerequisites not done. `better_after`: soft ones not done (they do not stop the step)."""

    id: str
    state: str
    waits_for: tuple[str, ...] = ()
    better_after: tuple[str, ...] = ()
    held_by_part: tuple[str, ...] = ()
    held_by_check: tuple[str, ...] = ()


@dataclass(frozen=True)
class Plan:
    """States in working order; for each missing part all steps it holds up; failed checks that block the ride."""

    states: tuple[StepState, ...]
    holds: Mapping[str, tuple[str, ...]]
    blocked_ride: tuple[str, ...]


class PlanError(ValueError):
    """A plan that cannot be worked: a cycle, a step named twice, or a prerequisite that no step has.

    `steps` are the step ids at fault; for a cycle each needs the next, and the last is the first again.
    """

    def __init__(self, message: str, steps: tuple[str, ...]):
        super().__init__(message)
        self.steps = steps


def working_order(steps: Iterable[Step]) -> tuple[Step, ...]:
    """Steps with every prerequisite before what needs it, otherwise as given. Raises PlanError naming a cycle.

    A cycle of soft prerequisites is refused too: no order can follow it. Prerequisites that are not among the steps
    are left out, since a bike is only asked what it has.
    """
    by_id = _by_id(steps)
    place = {id: n for n, id in enumerate(by_id)}
    graph = TopologicalSorter({s.id: [p for p in (*s.hard, *s.soft) if p in by_id] for s in by_id.values()})
    try:
        graph.prepare()
    except CycleError as error:
        ring = tuple(reversed(error.args[1]))
        words = ", which needs ".join(f"“{by_id[id].label or id}”" for id in ring)
        raise PlanError(f"The steps need each other in a circle: {words}.", ring) from None
    order, ready = [], []
    while graph.is_active():
        for id in graph.get_ready():
            heappush(ready, (place[id], id))
        _, id = heappop(ready)
        order.append(by_id[id])
        graph.done(id)
    return tuple(order)


def refuse_unknown(steps: Iterable[Step], besides: Container[str] = ()) -> None:
    """Raise PlanError for a prerequisite that no step has. For the whole plan, before steps are left out for a bike.

    `besides`: steps that the shop may have left out, and may put back: what waited for them keeps their names.
    """
    by_id = _by_id(steps)
    named = dict.fromkeys(p for s in by_id.values() for p in (*s.hard, *s.soft))
    unknown = tuple(p for p in named if p not in by_id and p not in besides)
    if unknown:
        raise PlanError(f"No step is called {', '.join(f'“{id}”' for id in unknown)}.", unknown)


def _by_id(steps: Iterable[Step]) -> dict[str, Step]:
    by_id: dict[str, Step] = {}
    for s in steps:
        if s.id in by_id:
            raise PlanError(f"Two steps are called “{s.id}”.", (s.id,))
        by_id[s.id] = s
    return by_id


def plan(
    steps: Iterable[Step], missing_parts: Iterable[str] = (), done_ids: Iterable[str] = (),
    failed_checks: Iterable[str] = (),
) -> Plan:
    """State of every step. `failed_checks` are the failed stop-ride checks; each holds every step of the ride.

    A step that needs a missing part is held, and so is all that cannot be done without it (hard prerequisites, to any
    depth). A step that is done holds nothing up, whatever it needed. Raises PlanError as `working_order` does.
    """
    missing, done, failed = dict.fromkeys(missing_parts), set(done_ids), tuple(dict.fromkeys(failed_checks))
    order = working_order(steps)
    known = {s.id for s in order}
    states: dict[str, StepState] = {}
    for s in order:
        if s.id in done:
            states[s.id] = StepState(s.id, DONE)
            continue
        waits_for = tuple(p for p in dict.fromkeys(s.hard) if p in known and p not in done)
        parts = {p for p in s.parts if p in missing}.union(*(states[p].held_by_part for p in waits_for))
        checks = set(failed if s.stage == "road" else ()).union(*(states[p].held_by_check for p in waits_for))
        states[s.id] = StepState(
            s.id, HELD if parts or checks else WAITING if waits_for else READY, waits_for,
            better_after=tuple(p for p in dict.fromkeys(s.soft) if p in known and p not in done),
            held_by_part=tuple(p for p in missing if p in parts), held_by_check=tuple(c for c in failed if c in checks),
        )
    holds = {part: tuple(id for id, state in states.items() if part in state.held_by_part) for part in missing}
    return Plan(tuple(states.values()), holds, failed)


def done_steps(steps: Iterable[Step], entries: Iterable[Entry], marked: Iterable[str] = ()) -> frozenset[str]:
    """Ids of steps that are done: marked so, or each thing asked for has a standing entry.

    Of a check and of a torque the last one counts: a check that was passed, a torque that holds.
    """
    last = standing(entries)
    quantities = {e.quantity for e in last if e.kind == "reading"}
    torques = {e.fastener: e for e in last if e.kind == "torque"}
    fasteners = {id for id, e in torques.items() if e.holds}
    passed = {check for check, outcome in check_outcomes(last).items() if outcome == "passed"}
    done = set(marked)
    for s in steps:
        asked = {*s.quantities, *s.fasteners, *s.checks}
        open_still = {*s.quantities} - quantities | {*s.fasteners} - fasteners | {*s.checks} - passed
        if asked and not open_still:
            done.add(s.id)
    return frozenset(done)


def check_outcomes(entries: Iterable[Entry]) -> dict[str, str]:
    """Last standing outcome of each check: passed, failed or not_done."""
    return {e.check: e.outcome for e in standing(entries) if e.kind == "check"}
