"""One bike's quantity as a whole: which axis, what follows a jump, and words for everything missing."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.bike_trend import read_trend
from service.domain.conformity import Band
from service.domain.errors import CannotCompute
from service.domain.trend_axis import choose_axis

DAYS = list(range(0, 120, 10))
KM = [10.0 * d for d in DAYS]


def test_kilometres_where_they_are_known():
    axis = choose_axis([0, 10, 20], [100, 180, 250])
    assert (axis.unit, axis.per, axis.scale, axis.note) == ("km", "1000 km", 1000, None)
    assert axis.positions == pytest.approx([100, 180, 250])


@pytest.mark.parametrize(
    ("km", "words"),
    [
        ([None, None, None], "no odometer was given"),
        ([1, None, 3], "some readings have no odometer"),
        ([100, 90, 120], "runs backwards"),
        ([100, math.nan, 120], "some readings"),
    ],
)
def test_days_else(km, words):
    axis = choose_axis([0, 10, 20], km)
    assert (axis.unit, axis.per, axis.scale) == ("day", "30 d", 30)
    assert words in axis.note
    assert axis.positions == pytest.approx([0, 10, 20])


def test_readings_may_stand_in_any_order():
    """Neither the order of the rows nor two readings of one moment make an odometer run backwards."""
    assert choose_axis([20, 0, 10, 10], [250, 100, 180, 170]).unit == "km"


@pytest.mark.parametrize(("days", "km"), [([0, 1], [1]), ([0, math.nan], [1, 2])])
def test_no_axis(days, km):
    with pytest.raises(CannotCompute):
        choose_axis(days, km)


def test_wear_reads_as_drift():
    values = [0.1 + k / 4000 for k in KM]
    trend = read_trend(DAYS, KM, values, Band(None, 0.5))
    assert trend.slope.value * trend.axis.scale == pytest.approx(0.25)
    assert trend.forecast.leaves_at == pytest.approx(1600)
    assert trend.jump is None and "straight line" in trend.why_not["step"]
    assert set(trend.why_not) == {"step"} and trend.note is None


def test_a_knock_reads_as_a_jump():
    values = [1.0, 1.1, 0.9, 1.05, 0.95, 1.0] + [3.1 + k / 1000 for k in range(6)]
    trend = read_trend(DAYS, KM, values, Band(None, 5))
    assert trend.jump.size == pytest.approx(2.1, abs=0.1)
    assert (trend.jump.before, trend.jump.after) == (500, 600)
    assert trend.slope.n == 6
    assert trend.slope.value == pytest.approx(1e-5)
    assert "after the jump" in trend.note


def test_too_few_after_a_jump():
    values = [1.0, 1.1, 0.9, 1.05, 0.95, 1.0, 1.02, 1.03, 3.0, 3.1, 3.0, 3.2]
    trend = read_trend(DAYS, KM, values, Band(None, 5))
    assert trend.jump and trend.slope is None and trend.forecast is None
    assert "After the jump" in trend.why_not["slope"]
    assert "only 4 different positions" in trend.why_not["slope"]


def test_the_newest_of_two_jumps():
    days = list(range(24))
    values = [1, 1.1, 0.9, 1.1] * 2 + [41, 41.1, 40.9, 41.1] * 2 + [45, 45.1, 44.9, 45.1] * 2
    trend = read_trend(days, [None] * 24, values, None)
    assert (trend.jump.before, trend.jump.after) == (15, 16)
    assert trend.slope.n == 8


def test_a_slope_without_a_band():
    trend = read_trend(DAYS, KM, KM, None)
    assert trend.slope and trend.forecast is None
    assert "no band" in trend.why_not["forecast"]


@pytest.mark.parametrize(
    ("days", "km", "values"),
    [
        ([], [], []),
        ([0], [1], [1]),
        ([0, 1], [1], [1, 2]),
        (DAYS, KM, [2.0] * 12),
        ([5] * 12, [7] * 12, DAYS),
        ([5] * 12, [None] * 12, [2.0] * 12),
        (DAYS, KM, [None] * 12),
        (DAYS, KM, [math.inf] * 12),
        (DAYS, KM[::-1], [2.0] * 11 + [3.0]),
        (DAYS, [math.inf] * 12, DAYS),
    ],
)
def test_degenerate_input_gets_words(days, km, values):
    trend = read_trend(days, km, values, Band(0, 1))
    for part, value in (("slope", trend.slope), ("forecast", trend.forecast), ("step", trend.jump)):
        assert (value is None) == (part in trend.why_not)
        assert value is not None or len(trend.why_not[part]) > 10


odd = st.one_of(st.none(), st.floats(), st.integers(-3, 3).map(float))


@given(st.lists(st.tuples(st.floats(), odd, odd), max_size=14), st.sampled_from([None, Band(0, 1), Band(None, 2)]))
def test_never_a_crash_nor_infinity(rows, band):
    days, km, values = ([row[i] for row in rows] for i in range(3))
    trend = read_trend(days, km, values, band)
    for part, value in (("slope", trend.slope), ("forecast", trend.forecast), ("step", trend.jump)):
        assert (value is None) == (part in trend.why_not)
    numbers = []
    if trend.slope:
        s = trend.slope
        numbers += [s.value, s.low, s.high, s.p, s.confidence, s.tau_b]
        assert s.low <= s.value <= s.high
    if trend.forecast:
        numbers += [trend.forecast.leaves_at, trend.forecast.low, trend.forecast.high or 0]
    if trend.jump:
        numbers += [trend.jump.at, trend.jump.size, trend.jump.p]
    assert np.isfinite(numbers).all()
