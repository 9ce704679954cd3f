"""Reads schemas/vectors, the answers that service and phone share, and compares an answer with them."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

FOLDER = Path(__file__).parents[2] / "schemas" / "vectors"


@dataclass(frozen=True)
class Shared:
    """One case: inputs, the expected fields and their absolute tolerance."""

    id: str
    inputs: dict[str, Any]
    expected: dict[str, Any]
    tolerance: float

    def check(self, answer: Any) -> None:
        """Compare each expected field with the answer's attribute of that name, or its key if it is a dict."""
        for name, expected in self.expected.items():
            found = answer[name] if isinstance(answer, dict) else getattr(answer, name)
            compare(found, expected, self.tolerance, f"{self.id}: {name}")


def compare(found: Any, expected: Any, tolerance: float, where: str) -> None:
    """Numbers within the tolerance; lists and objects piece by piece; words, booleans and nulls exactly."""
    if isinstance(expected, dict):
        for key, inner in expected.items():
            compare(found[key] if isinstance(found, dict) else getattr(found, key), inner, tolerance, f"{where}.{key}")
    elif isinstance(expected, list):
        assert len(found) == len(expected), where
        for n, (one, other) in enumerate(zip(found, expected, strict=True)):
            compare(one, other, tolerance, f"{where}[{n}]")
    elif isinstance(expected, bool) or expected is None or isinstance(expected, str):
        assert found == expected, where
    else:
        assert found == pytest.approx(expected, abs=tolerance, rel=0), where


def shared(name: str) -> list[Any]:
    """The cases of one file, as parameters for a test."""
    cases = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))["cases"]
    return [pytest.param(Shared(c["id"], c["inputs"], c["expected"], c["tolerance"]), id=c["id"]) for c in cases]
