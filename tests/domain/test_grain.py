"""The step of readings: whole-number greatest common divisors, and values that have none."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.grain import grain_of


@given(st.lists(st.integers(-500, 500), min_size=2, max_size=20), st.sampled_from([1, 0.1, 0.25, 25.4 / 64, 0.01]))
def test_against_whole_numbers(numbers, unit):
    """math.gcd of the differences, in any unit and from any zero."""
    expected = math.gcd(*(n - numbers[0] for n in numbers)) * unit
    assert grain_of([n * unit + 3.3 for n in numbers]) == pytest.approx(expected, rel=1e-6)


def test_values_without_a_step():
    values = np.random.default_rng(2).normal(size=12)
    assert grain_of(values) < 1e-4 * np.ptp(values)


def test_nothing_to_tell_a_step_from():
    assert grain_of([]) == grain_of([5.2]) == grain_of([5.2, 5.2]) == 0
