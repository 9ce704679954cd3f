"""What the generated document needs to be told: entries are one of several kinds, told apart by `kind`."""

from __future__ import annotations

from typing import Any

from .causes import CauseChange
from .entry import KINDS
from .reading import ReadingData
from .record import Accepted


def describe(spec: Any, converter: Any) -> None:
    """Add the components that fields refer to by name."""

    def forms(self, field, **kwargs):
        if isinstance(field, ReadingData | CauseChange):
            return {"oneOf": [self.resolve_nested_schema(form) for form in field.forms]}
        if isinstance(field, Accepted):
            name, named = field.forms
            return {"anyOf": [self.field2property(name()), self.resolve_nested_schema(named)]}
        return {}

    converter.add_attribute_function(forms)
    refs = {kind: converter.resolve_nested_schema(schema) for kind, schema in KINDS.items()}
    mapping = {kind: ref["$ref"] for kind, ref in refs.items()}
    told_apart = {"propertyName": "kind", "mapping": mapping}
    spec.components.schema("Entry", {"oneOf": [*refs.values()], "discriminator": told_apart})
