"""Fixtures of the computing room: published cases and the answers shared with the phone."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

# A busy machine is no failure of a function's rule.
settings.register_profile("patient", deadline=None)
settings.load_profile("patient")

VECTORS = Path(__file__).parents[2] / "schemas" / "vectors"


@dataclass(frozen=True)
class Published:
    """One published case; `tolerances` may name fields, with "*" for the rest."""

    id: str
    source: str
    inputs: dict[str, Any]
    expected: dict[str, Any]
    tolerances: Any

    def tolerance(self, field: str) -> float:
        """Absolute tolerance of one expected field."""
        if isinstance(self.tolerances, dict):
            return self.tolerances.get(field, self.tolerances.get("*"))
        return self.tolerances

    def check(self, field: str, answer: Any) -> None:
        """Compare an answer, a number or a (nested) list of them, with the published field."""
        _compare(answer, self.expected[field], self.tolerance(field), f"{self.id}.{field} ({self.source})")


def _compare(answer: Any, expected: Any, tolerance: float, where: str) -> None:
    if isinstance(expected, list):
        assert len(answer) == len(expected), where
        for one, other in zip(answer, expected, strict=True):
            _compare(one, other, tolerance, where)
    else:
        assert answer == pytest.approx(expected, abs=tolerance, rel=0), where


@pytest.fixture(scope="session")
def published() -> Callable[[str], Published]:
    """A published case by its id, from published.json."""
    cases = json.loads((Path(__file__).parent / "published.json").read_text(encoding="utf-8"))["cases"]
    by_id = {case["id"]: case for case in cases}

    def find(case_id: str) -> Published:
        case = by_id[case_id]
        return Published(case["id"], case["source"], case["inputs"], case["expected"], case["tolerance"])

    return find
