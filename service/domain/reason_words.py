"""What one observation says for or against a cause, as a sentence for the mechanic."""

from service.domain.causes import NONE_OF_THESE, Cause, Observation
from service.domain.evidence import NO_PERIOD, moved


def amount(value: float, unit: str = "") -> str:
    """A change with its sign, two figures and unit."""
    size = f"{abs(value):.2g}"
    size = f"{abs(value):.0f}" if "e" in size else size
    sign = "" if value == 0 else "+" if value > 0 else "−"
    return f"{sign}{size} {unit}".strip() if unit != "%" else f"{sign}{size} %"


def reason(seen: Observation, cause: Cause | None) -> str:
    """One sentence: what was seen, and what the table says of it."""
    words = {"symptom": _symptom, "event": _event, "change": _change, "period": _period, "coasting": _coasting}
    return words.get(seen.kind, _finding)(seen, cause)


def _symptom(seen: Observation, cause: Cause | None) -> str:
    if cause is None:
        return f"“{seen.label}” can be something else"
    if seen.of in (*cause.likely, *cause.either):
        return f"“{seen.label}” is likely with this cause"
    if seen.of in cause.sometimes:
        return f"“{seen.label}” comes sometimes with this cause"
    return f"“{seen.label}” is {'rare with' if seen.of in cause.rarely else 'not known of'} this cause"


def _event(seen: Observation, cause: Cause | None) -> str:
    if not seen.value:
        return f"{seen.label}: not that the rider knows"
    fits = cause is not None and seen.of in cause.events
    return f"{seen.label} since the last visit{', which can do this' if fits else ', which this cause does not need'}"


def _change(seen: Observation, cause: Cause | None) -> str:
    direction, side = cause.direction(seen.of) if cause else None, moved(seen)
    change = f"{seen.label} {amount(seen.value, seen.unit)}"
    if side == 0:
        kept = f"{seen.label} has not changed more than measuring and riding explain"
        wanted = {"up": "; this cause would have raised it", "down": "; this cause would have lowered it",
                  "differs": "; this cause would have changed it", "same": ", as with this cause"}
        return kept + wanted.get(direction, "")
    if direction is None:
        return f"{change}, which {'points at a cause of the table' if cause is None else 'this cause does not explain'}"
    fits = direction == "differs" or side == {"up": 1, "down": -1}.get(direction)
    other_way = "which this cause leaves as it was" if direction == "same" else "the other way with this cause"
    return f"{change}, {'as with this cause' if fits else other_way}"


def _period(seen: Observation, cause: Cause | None) -> str:
    part = max(seen.value, key=seen.value.get)
    found = "the noise has no clear period" if part == NO_PERIOD else f"the noise comes once per turn of the {part}"
    if cause is None or cause.noise_period is None:
        return found
    return f"{found}; with this cause once per turn of the {cause.noise_period}"


def _coasting(seen: Observation, cause: Cause | None) -> str:
    return "the noise goes on while coasting" if seen.value else "the noise stops while coasting"


def _finding(seen: Observation, cause: Cause | None) -> str:
    named = cause is not None and cause.direction(seen.of) in ("down", "failed")
    failed = "failed" if seen.of.startswith("check:") else "turned below its torque"
    if seen.value:
        return f"{seen.label} {failed}{', as with this cause' if named else ', which this cause does not explain'}"
    return f"{seen.label} {'passed' if failed == 'failed' else 'held its torque'}"


def label_of(cause: Cause | None) -> str:
    return "None of these" if cause is None else cause.label


def id_of(cause: Cause | None) -> str:
    return NONE_OF_THESE if cause is None else cause.id
