"""The catalogue as the service uses it: read once from schemas/catalogue.toml, the one source of what it holds.

Everything is kept under its id. `as_json()` is what the phone gets; the service and the phone read the same text.
"""

import hashlib
import json
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from service.domain import bands
from service.domain.bands import BandOverride, BandRule, ResolvedBand
from service.domain.bike import Facts, applies
from service.domain.handed_over import Adjuster
from service.domain.plan import Step
from service.domain.units import convert, parse_factor

SOURCE = Path(__file__).parent.parent / "schemas" / "catalogue.toml"
STEP_DONE = "step_"  # check ids that mark a whole step as done
NOUNS = (
    "units", "quantities", "pairs", "adjusters", "fasteners", "checks", "parts", "steps", "symptoms", "outcomes",
    "sounds", "whens", "events", "causes", "likelihoods", "cautions", "limits",
)  # fmt: skip


@dataclass(frozen=True)
class Unit:
    """A unit with its exact factor to the base unit of its dimension (NIST SP 811, appendix B.8)."""

    id: str
    label: str
    dimension: str
    factor: Fraction


class Catalogue:
    """All nouns of the catalogue: `items[noun][id]` as written, and typed views of what is computed with."""

    def __init__(self, raw: Mapping[str, Any]):
        self.items: dict[str, dict[str, dict]] = {noun: {row["id"]: row for row in raw[noun]} for noun in NOUNS}
        for step in raw["steps"]:
            done = {"id": STEP_DONE + step["id"], "label": f"{step['label']}: done", "words": "Marked as done.",
                    "stop_ride": False, "tag": "common practice", "applies": step["applies"]}  # fmt: skip
            self.items["checks"][done["id"]] = done
        self.units = {
            row["id"]: Unit(row["id"], row["label"], row["dimension"], parse_factor(row["factor"]))
            for row in raw["units"]
        }
        self._rules = {id: [_rule(b) for b in q["bands"]] for id, q in self.items["quantities"].items()}
        self.text = json.dumps(self._document(), ensure_ascii=False, separators=(",", ":"))
        self.version = json.loads(self.text)["version"]

    def _document(self) -> dict[str, Any]:
        nouns = {noun: list(rows.values()) for noun, rows in self.items.items()}
        nouns["units"] = [row | {"per_base": float(self.units[row["id"]].factor)} for row in nouns["units"]]
        digest = hashlib.sha256(json.dumps(nouns, sort_keys=True).encode()).hexdigest()[:16]
        return {"version": digest, **nouns}

    def as_json(self) -> dict[str, Any]:
        """The document served to the phone; a copy the caller may change."""
        return json.loads(self.text)

    def units_of(self, quantity: str) -> list[str]:
        """Units a value of this quantity may be entered in: those of the same dimension."""
        dimension = self.units[self.items["quantities"][quantity]["unit"]].dimension
        return [unit.id for unit in self.units.values() if unit.dimension == dimension]

    def to_unit(self, value: float, unit: str, wanted: str) -> float:
        """A value in another unit of the same dimension, rounded once. Raises KeyError for an unknown unit."""
        return convert(value, self.units[unit].factor, self.units[wanted].factor)

    def for_bike(self, noun: str, of: Facts) -> dict[str, dict]:
        """What this bike has of a noun: a bike is only asked what it has."""
        return {id: row for id, row in self.items[noun].items() if applies(row.get("applies", {}), of)}

    def band_for(
        self, quantity: str, of: Facts, overrides: Iterable[BandOverride] = (), at: datetime | None = None
    ) -> ResolvedBand | None:
        """The band that judges a quantity on this bike at a moment (now where None)."""
        own = [o for o in overrides if o.quantity == quantity]
        return bands.resolve(self._rules[quantity], of, own, at)

    def adjusters(self) -> dict[str, Adjuster]:
        """What each adjuster does to the readings, as the handed-over rule needs it."""
        return {
            id: Adjuster(id, {a["quantity"]: a["factor"] for a in row["adds_to"]}, tuple(row["makes_stale"]))
            for id, row in self.items["adjusters"].items()
        }

    def steps_for(self, of: Facts, kind: str, own: Iterable[Mapping[str, Any]] | None = None) -> list[Step]:
        """Steps of a job of this kind on this bike, asking only what the bike has; `own`: rows that the shop wrote.

        A step that asks only for what this bike does not have is left out.
        """
        has = {noun: self.for_bike(noun, of) for noun in ("quantities", "fasteners", "checks")}
        steps = []
        for row in self.items["steps"].values() if own is None else own:
            if kind not in row["kinds"] or not applies(row["applies"], of):
                continue
            asked = [tuple(id for id in row[noun] if id in has[noun]) for noun in has]
            if any(asked) or not any(row[noun] for noun in has):
                needs = [tuple(row[name]) for name in ("hard", "soft", "parts")]
                steps.append(Step(row["id"], row["label"], *needs, *asked, stage=row["stage"]))
        return steps


def _rule(row: Mapping[str, Any]) -> BandRule:
    band = ResolvedBand(row.get("lower"), row.get("upper"), row.get("target"), row["tag"], row.get("source"))
    return BandRule(band, row.get("when", {}))


@cache
def load() -> Catalogue:
    """The catalogue, read once a process."""
    return Catalogue(tomllib.loads(SOURCE.read_text(encoding="utf-8")))
