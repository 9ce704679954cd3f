"""What a comeback's entries tell before anything is mended, as observations for the cause table."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from math import fsum, hypot, sqrt

from service.domain.causes import Observation, Usual
from service.domain.evidence import NO_PERIOD, PARTS
from service.domain.handed_over import NOTHING_NEEDED, Entry, Gear, standing
from service.domain.review import Compared

HANGER = "hanger_deviation"
VERTICAL, RESIDUAL = "hanger_vertical", "hanger_residual"
FOUND = "found"
TIGHT = 0.96  # a click wrench is allowed 4 % (ISO 6789:2003, type II class A): below that of the target it had turned
HALF_A_STEP = 0.5  # a correction is judged to half of what one click or quarter turn does


def symptom_of_shift(start: Gear, end: Gear, outcome: str) -> str | None:
    """The symptom that the outcome of a shift shows: hesitating depends on what was shifted, and which way."""
    if outcome != "hesitates":
        return outcome if outcome != "clean" else None
    if start[0] != end[0]:
        return "front_slow"
    return "hesitates_to_larger" if end[1] > start[1] else "hesitates_to_smaller"


def changes(compared: Iterable[Compared], labels: Mapping[str, tuple[str, str]], usual: Mapping[str, Usual]):
    """Observations from the readings that could be compared; `labels`: of a quantity, its label and unit.

    A quantity read in several gears counts once, by the mean of its changes. The hanger gives its vertical part and
    how far its tips disagree.
    """
    by_quantity: dict[str, list[Compared]] = defaultdict(list)
    for c in compared:
        if c.delta is not None and c.key[0] in usual:
            by_quantity[c.key[0]].append(c)
    seen = []
    for quantity, found in by_quantity.items():
        label, unit = labels[quantity]
        if quantity == HANGER:
            seen += [o for c in found[:1] if c.vertical for o in _hanger(c, label, unit, usual)]
            continue
        delta, u = fsum(c.delta for c in found) / len(found), sqrt(fsum(c.u**2 for c in found)) / len(found)
        seen.append(Observation(quantity, "change", label, delta, u, usual[quantity], unit))
    return seen


def _hanger(c: Compared, label: str, unit: str, usual: Mapping[str, Usual]) -> list[Observation]:
    delta, u = c.vertical
    seen = [Observation(VERTICAL, "change", f"{label}, upper and lower", delta, u, usual[VERTICAL], unit)]
    then, now = c.then.hanger, c.now.hanger
    if then.residual_mm is not None and now.residual_mm is not None:
        # A standard deviation from one or more readings left over has the uncertainty u / sqrt(2 of them).
        u = hypot(then.u_mm, now.u_mm) / sqrt(2)
        difference = now.residual_mm - then.residual_mm
        seen.append(Observation(RESIDUAL, "change", f"{label}, disagreement", difference, u, usual[RESIDUAL], unit))
    return seen


def findings(entries: Iterable[Entry], lower_nm: Mapping[str, float], labels: Mapping[str, str]) -> list[Observation]:
    """Fasteners found below their torque, and checks by their first outcome before the ride.

    A torque entry's `value` is what was applied, N·m; only those of the arrival count, since later ones tighten.
    """
    seen: dict[str, Observation] = {}
    for e in standing(entries):
        if e.kind == "torque" and e.stage == FOUND and e.fastener in lower_nm and e.value is not None:
            of = f"fastener:{e.fastener}"
            seen[of] = Observation(of, "finding", labels[e.fastener], e.value < TIGHT * lower_nm[e.fastener])
        if e.kind == "check" and e.stage != "road" and e.outcome in ("passed", "failed") and e.check in labels:
            of = f"check:{e.check}"
            seen.setdefault(of, Observation(of, "finding", labels[e.check], e.outcome == "failed"))
    return list(seen.values())


def needed(
    entries: Iterable[Entry], adds_to: Mapping[str, tuple[str, float]], labels: Mapping[str, str],
    usual: Mapping[str, Usual],
) -> list[Observation]:
    """Corrections that were needed with the fault still there: the net of each road adjuster, before the hanger was
    measured again on the bench. `adds_to`: of an adjuster, its quantity and the size of one step of it."""
    net: dict[str, list[float]] = defaultdict(list)
    for e in standing(entries):
        if e.kind == "reading" and e.quantity == HANGER and e.stage != FOUND:
            break
        if e.kind == "adjustment" and e.adjuster in adds_to and e.amount is not None:
            net[e.adjuster].append(e.amount)
        if e.kind == "adjustment" and e.adjuster == NOTHING_NEEDED:
            for adjuster in adds_to:
                net[adjuster].append(0.0)
    seen = []
    for adjuster, amounts in net.items():
        quantity, step = adds_to[adjuster]
        of = f"needed:{quantity}"
        if of in usual:
            label = f"{labels[quantity]}, correction needed"
            seen.append(Observation(of, "change", label, fsum(amounts), HALF_A_STEP * step, usual[of]))
    return seen


def symptoms(ids: Iterable[str], labels: Mapping[str, str]) -> list[Observation]:
    """One observation a symptom, however often it was said."""
    return [Observation(id, "symptom", labels[id], True) for id in dict.fromkeys(ids) if id in labels]


def events(told: Sequence[str], labels: Mapping[str, str], nothing: str = "nothing_known") -> list[Observation]:
    """What the rider was asked. Nothing is told where nobody asked; "nothing known" says no to all."""
    asked = [id for id in labels if id != nothing] if told else []
    return [Observation(id, "event", labels[id], id in told) for id in asked]


def noises(
    whens: Sequence[Sequence[str]], candidates: Mapping[str, float], pedalling: Sequence[str]
) -> list[Observation]:
    """Whether the noise goes on while coasting, and the parts it may turn with (of their probabilities).

    It stops while coasting only where it was heard pedalling and coasting was not named.
    """
    seen = []
    named = {w for when in whens for w in when}
    if "coasting" in named or named & set(pedalling):
        seen.append(Observation("coasting", "coasting", "the noise while coasting", "coasting" in named))
    parts = {part: p for part, p in candidates.items() if part in (NO_PERIOD, *PARTS) and p > 0}
    if parts:
        seen.append(Observation("noise_period", "period", "the noise's period", parts))
    return seen
