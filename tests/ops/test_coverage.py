"""A shorter run of the seeded simulations: every section there is, each row within its limits."""

import importlib

import pytest

from ops.coverage_checks.__main__ import SEED, sections
from ops.coverage_checks.section import coverage

SIMULATIONS = 1000


@pytest.mark.parametrize("name", sections())
def test_section_holds(name):
    failing = [
        row for row in importlib.import_module(f"ops.coverage_checks.{name}").rows(SIMULATIONS, SEED) if not row.holds
    ]
    assert failing == []


def test_every_section_is_found():
    known = {"hanger_deviation", "hanger_direction", "rub_window_tilt", "noise_period", "noise_parts"}
    assert known <= set(sections())


def test_a_row_fails_outside_its_limits():
    """Binomial: three standard errors of 1,000 are 2.07 %, so 92.9 % fails and 93.0 % holds; 97.1 % is too wide."""
    assert not coverage("", [True] * 929 + [False] * 71).holds
    assert coverage("", [True] * 930 + [False] * 70).holds
    assert coverage("", [True] * 971 + [False] * 29).holds
    assert not coverage("", [True] * 971 + [False] * 29, at_most=0.97).holds
