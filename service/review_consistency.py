"""Whether the correction that was needed is the one that the hanger's change asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from service import catalogue
from service.baseline import Baseline, Visit, hanger_of
from service.domain.causes import Observation
from service.domain.errors import CannotCompute
from service.domain.fine_position import BARREL_PITCH_MM
from service.domain.handed_over import handed_over, standing
from service.domain.hanger import same_hanger
from service.domain.hanger_effect import indexing_effect
from service.domain.review import Consistency, consistency

HANGER = "hanger_deviation"
USUAL_COG_PITCH_MM = 3.7  # only the share of a pitch depends on it, which is not used here
U_OF_A_STEP = 0.5  # a correction is judged to half of one step
REAL_FROM = 1.96
STEPS, TURNS = "rear_trim", "cable_tension_turns"
NOT_CHANGED = "The hanger's upper and lower part has not changed: it asks for no correction."
NO_HANGER = "The hanger was not measured both at the handover and now."
NO_POSITION = "The fine position was not known both at the handover and now."
NO_STEP = {
    "electronic": "The size of one fine step is not known for this bike.",
    "cable": "The actuation ratio is not known for this bike.",
}


def consistency_of(
    base: Baseline | None, seen: Visit, own_bike: Mapping[str, Any], observed: Sequence[Observation]
) -> tuple[Consistency | None, str | None]:
    """The comparison, or why there is none.

    Where corrections were tried before the hanger was mended, the hanger as found against them; else its last reading
    and the fine position as it stands against the handover's.
    """
    tried = [o.value for o in observed if o.of in (f"needed:{TURNS}", f"needed:{STEPS}")]
    readings = [e for e in standing(seen.entries) if e.kind == "reading" and e.quantity == HANGER]
    found = [e for e in readings if e.stage == "found"]
    as_found = bool(tried and found)
    then = base and next((m.hanger for (quantity, _), m in base.values.items() if quantity == HANGER), None)
    now = hanger_of(seen.rows[(found if as_found else readings)[-1].id]) if readings else None
    if then is None or now is None or then.covariance is None or now.covariance is None:
        return None, NO_HANGER
    turned = same_hanger(then, now)
    vertical = (turned.vertical_change_mm, turned.u_vertical_change_mm)
    if abs(vertical[0]) <= REAL_FROM * vertical[1]:
        return None, NOT_CHANGED
    train = own_bike["drivetrain"]
    cable = train["shifting"] == "cable"
    quantity, unit = (TURNS, "turn") if cable else (STEPS, "step")
    moved = tried[0] if as_found else _moved(base, seen, quantity)
    if moved is None:
        return None, NO_POSITION
    size = train.get("actuation_ratio") and BARREL_PITCH_MM * train["actuation_ratio"]
    size = size if cable else train.get("trim_step_mm")
    if not size:
        return None, NO_STEP[train["shifting"]]
    try:
        # One mm of the vertical part, 12 minus 6, is a gap of half a mm.
        one_mm = indexing_effect(0.5, now.radius_mm, train["cogs"], train.get("cog_pitch_mm", USUAL_COG_PITCH_MM), size)
    except CannotCompute as error:
        return None, error.reason
    step = catalogue.load().items["adjusters"]["barrel" if cable else "rear_trim"]["step"]
    return consistency(vertical, one_mm.trim_steps, moved, U_OF_A_STEP * step, unit), None


def _moved(base: Baseline, seen: Visit, quantity: str) -> float | None:
    """How far the fine position stands now from where it was handed over."""
    then = [m.value for (name, _), m in base.values.items() if name == quantity and m.value is not None]
    values = handed_over(seen.entries, catalogue.load().adjusters())
    now = [v.value for (name, _), v in values.items() if name == quantity and v.value is not None]
    return now[0] - then[0] if then and now else None
