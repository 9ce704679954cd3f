"""A service of a later contract: `python -m tests.faults.later_service serve --db FILE …`. It knows one kind of entry
more, a weighing, and one field more on every kind."""

from __future__ import annotations

import sys

from schemas import entry as contract
from schemas.fields import Number, OneOf, Part, Strict, Text
from service import cli, entry_intake, entry_judging


class WeighingDataSchema(Strict):
    grams = Number(0, 100_000, required=True)


class WeighingEntrySchema(contract.EntrySchema):
    kind = OneOf("weighing", required=True)
    data = Part(WeighingDataSchema, required=True)


def become_later() -> None:
    contract.KINDS["weighing"] = WeighingEntrySchema
    for kind, schema in contract.KINDS.items():
        contract._LOADERS[kind] = type(schema.__name__, (schema,), {"weather": Text(100)})()
    entry_judging._OF_KIND["weighing"] = entry_judging.words_only
    entry_intake.CONTRACT = 2


if __name__ == "__main__":
    become_later()
    sys.exit(cli.main(sys.argv[1:]))
