"""The table of causes, which the shop can edit, and what its closed comebacks have taught."""

from __future__ import annotations

from marshmallow import ValidationError, fields

from .condition import Condition
from .fields import Flag, Id, Many, Moment, Name, Number, OneOf, Part, Strict, Text, Whole
from .plan import names

DIRECTIONS = ("up", "down", "same", "differs", "failed")
PERIODS = ("crank", "wheel", "chain", "pulley")
OF = ("quantity", "fastener", "check", "needed")


def _of(thing: str) -> type[Strict]:
    """The form of a change of one kind of thing."""
    parts = {thing: Name(required=True), "direction": OneOf(*DIRECTIONS, required=True)}
    return Strict.from_dict(parts, name=f"{thing.title()}CausedSchema")


class CauseChange(fields.Field):
    """What a cause does to one thing: a quantity, a fastener, a check, or the correction needed of a quantity."""

    forms = tuple(_of(thing) for thing in OF)

    def __init__(self, **kwargs) -> None:
        super().__init__(**kwargs)
        self._forms = {thing: form() for thing, form in zip(OF, self.forms, strict=True)}

    def _deserialize(self, value, attr, data, **kwargs):
        named = [thing for thing in OF if isinstance(value, dict) and thing in value]
        if len(named) != 1:
            raise ValidationError(f"Must be a JSON object that names one of {', '.join(OF)}.")
        return self._forms[named[0]].load(value)


class CauseSchema(Strict):
    """A cause with its likelihoods in words; what the words mean as numbers is in the catalogue."""

    id = Name(required=True)
    label = Text(80, required=True)
    likely = names("symptoms")
    either = names("symptoms of which either is likely")
    sometimes = names("symptoms")
    rarely = names("symptoms")
    changes = Many(CauseChange(), 20, load_default=list)
    noise_period = OneOf(*PERIODS, metadata={"description": "the noise comes once a turn of this"})
    while_coasting = Flag()
    all_same = Flag(metadata={"description": "nothing has changed"})
    events = names("what happened since the last visit")
    prior = Number(0, 1, required=True, metadata={"description": "share among comebacks, to start with"})
    tag = Text(80, load_default="set by the shop")
    applies = Condition(load_default=dict)


class CausesPutSchema(Strict):
    causes = Many(
        Part(CauseSchema), 100, required=True, allow_none=True,
        metadata={"description": "the whole table; null goes back to the catalogue's own"},
    )  # fmt: skip


class LearnedSchema(Strict):
    """A cause's share to start with, the comebacks closed with it of those that could be, and the share learned."""

    id = Name(required=True)
    label = Text(required=True)
    start = Number(0, 1, required=True)
    closed = Whole(required=True)
    could_be = Whole(required=True)
    learned = Number(0, 1, required=True)


class CausesSchema(Strict):
    """The table in force. `own` is false where it is the catalogue's."""

    own = Flag(required=True)
    in_force_from = Moment(required=True, allow_none=True)
    by = Id(required=True, allow_none=True)
    causes = Many(Part(CauseSchema), 100, required=True)
    left_out = Many(Part(CauseSchema), 100, required=True, metadata={"description": "the catalogue's, not in force"})
    learned = Many(Part(LearnedSchema), 101, required=True)
