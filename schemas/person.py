"""People of the shop, and their one-time codes."""

from __future__ import annotations

from .fields import Flag, Id, Many, OneOf, Part, Strict, Text
from .pairing import ROLES


class PersonSchema(Strict):
    id = Id(required=True)
    name = Text(80, required=True)
    role = OneOf(*ROLES, required=True)
    active = Flag(load_default=True)


class PeopleSchema(Strict):
    """The people to add or change; who is not named stays as they are."""

    people = Many(Part(PersonSchema), 200, required=True)
