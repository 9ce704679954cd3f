"""Putting readings in order: rules that hold for any input."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.errors import CannotCompute
from service.domain.ordered_readings import MOST, in_order

finite = st.floats(-1e9, 1e9)


@given(st.lists(st.tuples(finite, finite), min_size=1, max_size=30))
def test_sorted_and_nothing_lost(rows):
    ordered = in_order(*zip(*rows, strict=True))
    assert sorted(rows) == list(zip(ordered.positions, ordered.values, strict=True))
    assert ordered.n == len(rows)
    assert ordered.distinct == len({x for x, _ in rows})
    assert ordered.span == ordered.positions[-1] - ordered.positions[0]


def test_missing_ones_are_left_out():
    ordered = in_order([3, None, 1, 2], [30, 1, 10, math.nan])
    assert list(ordered.positions) == [1, 3] and list(ordered.values) == [10, 30]
    assert list(ordered.since(1).values) == [30]


def test_the_newest_are_kept():
    ordered = in_order(np.arange(MOST + 5), np.zeros(MOST + 5))
    assert ordered.n == MOST and ordered.positions[0] == 5


@pytest.mark.parametrize(
    ("x", "y"), [([], []), ([1], [None]), ([1, 2], [1]), ([math.inf], [1]), ([1], [-math.inf]), ([1e200], [1])]
)
def test_nothing_to_order(x, y):
    with pytest.raises(CannotCompute):
        in_order(x, y)
