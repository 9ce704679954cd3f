"""The catalogue's cause table as the computing needs it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from service.catalogue import Catalogue
from service.domain.causes import Cause, Change, Levels, Usual

NOUN_OF = {"quantity": "", "fastener": "fastener:", "check": "check:", "needed": "needed:"}


def levels(catalogue: Catalogue) -> Levels:
    """The table's words as numbers."""
    return Levels(**{id: row["value"] for id, row in catalogue.items["likelihoods"].items()})


def from_rows(rows: Iterable[Mapping[str, Any]]) -> list[Cause]:
    """Rows of the table, as in the catalogue or as the shop edited them."""
    return [
        Cause(
            row["id"], row["label"], row["prior"],
            *(tuple(row.get(words, ())) for words in ("likely", "either", "sometimes", "rarely")),
            changes=tuple(_change(c) for c in row.get("changes", ())), noise_period=row.get("noise_period"),
            while_coasting=row.get("while_coasting", False), all_same=row.get("all_same", False),
            events=tuple(row.get("events", ())),
        )
        for row in rows
    ]  # fmt: skip


def _change(row: Mapping[str, Any]) -> Change:
    noun = next(noun for noun in NOUN_OF if noun in row)
    return Change(NOUN_OF[noun] + row[noun], row["direction"])


def usual(row: Mapping[str, Any], levels: Levels) -> Usual:
    """What ordinary riding does to a quantity: the catalogue's `ordinary`, else in proportion to its uncertainty."""
    ordinary = row.get("ordinary", {})
    spread = ordinary.get("spread", levels.ordinary_in_u * row["u"])
    return Usual(ordinary.get("mean", 0.0), spread, levels.fault_in_u * row["u"])
