"""The shared answers on disk are those of the outside references, as they are now."""

import json

import pytest

from tests.domain import make_vectors


def differences(one, other, tolerance, path=""):
    """Where two JSON values differ: numbers by more than the tolerance, everything else at all."""
    if isinstance(one, dict) and isinstance(other, dict) and one.keys() == other.keys():
        return [d for key in one for d in differences(one[key], other[key], tolerance, f"{path}.{key}")]
    if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        return [
            d
            for n, (a, b) in enumerate(zip(one, other, strict=True))
            for d in differences(a, b, tolerance, f"{path}[{n}]")
        ]
    if isinstance(one, float) and isinstance(other, float):
        return [] if one == pytest.approx(other, abs=tolerance, rel=0) else [path]
    return [] if one == other else [path]


@pytest.mark.parametrize("name", make_vectors.NAMES)
def test_vectors_are_current(name):
    on_disk = json.loads((make_vectors.FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    made = json.loads(make_vectors.text(make_vectors.content(name)))
    assert on_disk.keys() == made.keys()
    assert [case["id"] for case in on_disk["cases"]] == [case["id"] for case in made["cases"]]
    for old, new in zip(on_disk["cases"], made["cases"], strict=True):
        assert differences(old, new, new["tolerance"] / 10) == [], old["id"]
