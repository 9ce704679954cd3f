"""Cage rotation, left against right, fine position: closed forms worked by hand and JCGM 100:2008, 5.1.2."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.cage import cage_rotation
from service.domain.errors import CannotCompute
from service.domain.fine_position import by_barrel_turns, by_steps
from service.domain.levers import left_minus_right
from tests.domain.shared_answers import shared


@pytest.mark.parametrize("case", shared("cage"))
def test_shared_answers(case):
    if "error" in case.expected:
        with pytest.raises(CannotCompute):
            cage_rotation(**case.inputs)
        return
    case.check(cage_rotation(**case.inputs))


def test_cage_rotation_by_hand():
    """1 mm over 57.29 mm is one degree, near enough: atan(1/57.29) = 1.0000."""
    found = cage_rotation(2.0, 1.0, 57.29, 0.15)
    assert found.rotation_deg == pytest.approx(1, abs=1e-4)
    assert found.alignment_mm == 1
    assert cage_rotation(1.0, 2.0, 57.29, 0.15).rotation_deg == pytest.approx(-1, abs=1e-4)


@given(st.floats(0, 20), st.floats(0, 20), st.floats(5, 100), st.floats(0.01, 0.5))
def test_cage_uncertainty_is_the_slope_of_its_angle(front, tail, length, u):
    """JCGM 100:2008, 5.1.2: u(angle) = |d angle / d alignment| u, the derivative taken numerically."""
    step = 1e-5
    ends = [cage_rotation(front + sign * step / 2, tail, length, u).rotation_deg for sign in (1, -1)]
    assert cage_rotation(front, tail, length, u).u_rotation_deg == pytest.approx(
        (ends[0] - ends[1]) / step * u, rel=1e-4
    )


def test_sides_combine_in_quadrature():
    """JCGM 100:2008, 5.1.2: 0.3 and 0.4 make 0.5."""
    found = left_minus_right(101.5, 0.3, 100, 0.4)
    assert (found.value, found.u) == (1.5, pytest.approx(0.5))


def test_fine_position_by_hand():
    """3 steps of 0.2 mm are 0.6 mm inboard; half a turn x 0.8 mm x 1.7 is 0.68 mm, a sixth of 4.08 mm."""
    assert by_steps(3, 0.2, 4).mm == pytest.approx(0.6)
    assert by_steps(-3, 0.2, 4).of_pitch == pytest.approx(-0.15)
    moved = by_barrel_turns(0.5, 1.7, 4.08)
    assert (moved.mm, moved.of_pitch) == (pytest.approx(0.68), pytest.approx(1 / 6))
    assert by_steps(1, 0.2).of_pitch is None


@pytest.mark.parametrize(
    "call",
    [
        lambda: cage_rotation(1, 1, 0, 0.15),
        lambda: cage_rotation(math.nan, 1, 50, 0.15),
        lambda: cage_rotation(1, math.inf, 50, 0.15),
        lambda: cage_rotation(1, 1, math.nan, 0.15),
        lambda: cage_rotation(1, 1, 50, -0.1),
        lambda: left_minus_right(1, -0.1, 1, 0.1),
        lambda: left_minus_right(math.nan, 0.1, 1, 0.1),
        lambda: by_steps(math.inf, 0.2),
        lambda: by_steps(1, 0),
        lambda: by_steps(1, 0.2, 0),
        lambda: by_barrel_turns(1, math.nan),
    ],
)
def test_refuses_what_cannot_be(call):
    with pytest.raises(CannotCompute):
        call()
