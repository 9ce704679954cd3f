"""Rub windows against statsmodels' weighted least squares, and a tilt put in by plane geometry."""

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain import rub_window as rub
from service.domain.chain import pitch_radius
from service.domain.errors import CannotCompute
from service.domain.rub_window import CogWindow, rub_window
from tests.domain.shared_answers import shared

COGS = (10, 13, 17, 21, 28, 36)
EVEN = [CogWindow(cog, 5, 5) for cog in COGS]


def windows(rows):
    return None if rows is None else [CogWindow(**row) for row in rows]


@pytest.mark.parametrize("case", shared("rub_window"))
def test_shared_answers(case):
    given_ = case.inputs
    arguments = (
        windows(given_["cogs"]), windows(given_.get("handed_over")),
        given_["step_mm"], given_["radius_mm"], given_["u_steps"],
    )  # fmt: skip
    if "error" in case.expected:
        with pytest.raises(CannotCompute):
            rub_window(*arguments)
        return
    case.check(rub_window(*arguments))


@given(st.floats(-3, 3), st.floats(-10, 10), st.floats(0.02, 0.4))
def test_finds_a_tilt_put_in_by_geometry(tilt_deg, shift_steps, step_mm):
    """Lower end bent in by the tilt: the pulley at depth r goes inboard by r tan(tilt), the middle as far outboard."""
    moved = [
        CogWindow(cog, 5 + shift_steps - out, 5 - shift_steps + out)
        for cog, out in ((cog, pitch_radius(cog) * math.tan(math.radians(tilt_deg)) / step_mm) for cog in COGS)
    ]
    found = rub_window(moved, EVEN, step_mm, 311, 0.3)
    assert found.tilt_deg == pytest.approx(tilt_deg, abs=1e-6)
    assert found.vertical_mm == pytest.approx(2 * 311 * math.tan(math.radians(tilt_deg)), abs=1e-6)
    assert found.agrees
    assert found.width_change_steps == pytest.approx(0, abs=1e-9)


def test_best_position_is_the_mean_middle():
    """By hand: middles 1.5, 0.5 and 1 step inboard; u = 0.3 / root(2 x 3)."""
    found = rub_window([CogWindow(10, 6, 3), CogWindow(21, 5, 4), CogWindow(36, 5, 3)], None, 0.2, 311, 0.3)
    assert found.centre_steps == pytest.approx(1)
    assert found.u_centre_steps == pytest.approx(0.3 / math.sqrt(6))
    assert found.width_steps == pytest.approx(26 / 3)
    assert found.tilt_deg is None and found.why_not["tilt_deg"] == rub.NOTHING_TO_COMPARE


def test_advice_says_what_to_do():
    bent_in = [CogWindow(cog, 5 - n / 2, 5 + n / 2) for n, cog in enumerate(COGS)]
    bent_out = [CogWindow(cog, 5 + n / 2, 5 - n / 2) for n, cog in enumerate(COGS)]
    assert "bent in" in rub_window(bent_in, EVEN, 0.2, 311, 0.3).advice
    assert "bent out" in rub_window(bent_out, EVEN, 0.2, 311, 0.3).advice
    assert rub_window(EVEN, EVEN, 0.2, 311, 0.3).advice == rub.NO_TILT
    assert rub_window(EVEN[:3], EVEN, 0.2, 311, 0.3).advice == rub.TAKE_GAUGE
    ragged = [CogWindow(cog, 5 + 3 * (-1) ** n, 5 - 3 * (-1) ** n) for n, cog in enumerate(COGS)]
    assert rub_window(ragged, EVEN, 0.2, 311, 0.3).advice == rub.DISAGREE
    others = [CogWindow(cog, 5, 5) for cog in (11, 15, 36)]
    assert rub_window(others, EVEN, 0.2, 311, 0.3).advice == rub.TOO_FEW_SHARED


anything = st.floats() | st.floats(-20, 20)
rows = st.lists(st.builds(CogWindow, st.sampled_from([2, 10, 11, 21, 36]), anything, anything), max_size=6)


@given(rows, rows | st.none(), anything, anything, anything)
def test_degenerate_input_gets_words_or_plain_numbers(now, then, step_mm, radius_mm, u_steps):
    try:
        found = rub_window(now, then, step_mm, radius_mm, u_steps)
    except CannotCompute as error:
        assert error.reason.endswith(".")
        return
    json.dumps(vars(found), allow_nan=False)
