"""The plan of a job, and the steps it is made of, which the shop can edit."""

from __future__ import annotations

from .condition import Condition
from .entry import STAGES
from .fields import Flag, Id, Many, Moment, Name, OneOf, Part, Strict, Text
from .job import KINDS

MOST_STEPS = 100


def names(what: str, most: int = 50) -> Many:
    return Many(Name(), most, different=True, load_default=list, metadata={"description": what})


class PlanStepSchema(Strict):
    """One step. `hard` ones must be done first, `soft` ones had better be."""

    id = Name(required=True)
    label = Text(80, required=True)
    words = Text(500, 0, load_default="")
    stage = OneOf(*STAGES, required=True)
    kinds = Many(OneOf(*KINDS), len(KINDS), 1, different=True, load_default=lambda: list(KINDS))
    hard = names("steps that must be done first")
    soft = names("steps that had better be done first")
    parts = names("parts that must be there")
    quantities = names("readings it asks for")
    fasteners = names("torques it asks for")
    checks = names("checks it asks for")
    also_quantities = names("readings it offers")
    also_fasteners = names("torques it offers")
    also_shifts = Many(
        OneOf("rear", "front"), 2, different=True, load_default=list, metadata={"description": "shift checks it offers"}
    )
    cautions = names("cautions it shows")
    tag = Text(80, load_default="set by the shop")
    applies = Condition(load_default=dict)


class StepsPutSchema(Strict):
    steps = Many(
        Part(PlanStepSchema), MOST_STEPS, required=True, allow_none=True,
        metadata={"description": "the whole plan; null goes back to the catalogue's own"},
    )  # fmt: skip


class StepsSchema(Strict):
    """The steps in force. `own` is false where they are the catalogue's."""

    own = Flag(required=True)
    in_force_from = Moment(required=True, allow_none=True)
    by = Id(required=True, allow_none=True)
    steps = Many(Part(PlanStepSchema), MOST_STEPS, required=True)
    left_out = Many(
        Part(PlanStepSchema), MOST_STEPS, required=True, metadata={"description": "the catalogue's, not in force"}
    )


class NamedSchema(Strict):
    id = Name(required=True)
    label = Text(required=True)


class PlannedStepSchema(Strict):
    """A step with its state. `waits_for` are hard prerequisites not done; `better_after` do not stop it."""

    id = Name(required=True)
    label = Text(required=True)
    words = Text(500, 0, required=True)
    stage = OneOf(*STAGES, required=True)
    state = OneOf("done", "ready", "waiting", "held", required=True)
    waits_for = Many(Name(), 200, required=True)
    better_after = Many(Name(), 200, required=True)
    held_by_part = Many(Name(), 200, required=True)
    held_by_check = Many(Name(), 200, required=True)
    asks = Many(Part(NamedSchema), 200, required=True, metadata={"description": "readings, torques and checks"})
    cautions = Many(Name(), 50, required=True)


class HeldPartSchema(NamedSchema):
    """A missing part and all steps that it holds up."""

    steps = Many(Name(), 200, required=True)


class PlanSchema(Strict):
    job_id = Id(required=True)
    steps = Many(Part(PlannedStepSchema), 200, required=True, metadata={"description": "in working order"})
    missing_parts = Many(Part(HeldPartSchema), 100, required=True)
    blocked_ride = Many(Part(NamedSchema), 100, required=True, metadata={"description": "failed stop-ride checks"})
    not_yet_passed = Many(Part(NamedSchema), 100, required=True, metadata={"description": "other stop-ride checks"})
