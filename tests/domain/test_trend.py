"""Slope and forecast: Hollander and Wolfe, Helsel and Hirsch, scipy.stats.theilslopes, closed forms, properties."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from service.domain.conformity import Band
from service.domain.errors import CannotCompute
from service.domain.grain import grain_of
from service.domain.ordered_readings import MOST, in_order
from service.domain.trend import Line, Slope, forecast_of, slope_of

# Tenths of a unit: ordinary readings, with ties.
readings = st.lists(st.tuples(st.integers(0, 5000), st.integers(-200, 200)), min_size=5, max_size=15)
shifts = st.integers(-1000, 1000)


def usable(pairs):
    x, y = [float(p) for p, _ in pairs], [v / 10 for _, v in pairs]
    assume(len(set(x)) >= 5 and len(set(y)) > 1)
    return x, y


def slope(x, y, **options):
    return slope_of(in_order(x, y), **options)


def limits(answer):
    return answer.value, answer.low, answer.high


def test_published_cloud_seeding(published):
    """Hollander, Wolfe and Chicken 2014, example 9.1: slope, and the one-sided p of C."""
    case = published("ts-hw-theil")
    answer = slope(case.inputs["x"], case.inputs["y"])
    case.check("beta", answer.value)
    case.check("C", answer.tau_b * 10)
    case.check("p_lower", answer.p / 2)
    # Five readings attain 1 − 2/5! and no less that is 95 % or more: the limits are the outermost slopes.
    assert answer.confidence == pytest.approx(1 - 2 / 120)
    assert (answer.low, answer.high) == (pytest.approx(-0.15), pytest.approx(0.04))


def test_published_outlier(published):
    """Helsel and Hirsch 1992: one wild reading does not move the median slope; the outermost slopes are −9 and 11."""
    case = published("ts-outlier")
    answer = slope(case.inputs["x"], case.inputs["y"], confidence=0.9999)
    case.check("theil", answer.value)
    case.check("min", answer.low)
    case.check("max", answer.high)


def test_published_calibration_line(published):
    """NIST StRD Norris: on data this straight the median slope meets the certified least-squares one."""
    case = published("ts-norris")
    answer = slope(case.inputs["x"], case.inputs["y"])
    assert answer.value == pytest.approx(case.expected["b1"], abs=4 * case.expected["se_b1"])
    assert answer.low < case.expected["b1"] < answer.high
    assert answer.lines[0].at_zero == pytest.approx(case.expected["b0"], abs=2 * case.expected["se_b0"])


@pytest.mark.parametrize("n", [5, 8, 12, 25, 60, 61, 150])
def test_against_scipy(n):
    """scipy.stats.theilslopes: the same slope; its limits by the normal approximation within one rank of ours."""
    rng = np.random.default_rng(n)
    x, y = np.sort(rng.random(n)), rng.normal(size=n)
    expected = stats.theilslopes(y, x, 0.95, method="joint")
    answer = slope(x, y)
    assert answer.value == pytest.approx(expected.slope)
    assert answer.lines[0].at_zero == pytest.approx(expected.intercept)
    i, j = np.triu_indices(n, 1)
    slopes = np.sort((y[j] - y[i]) / (x[j] - x[i]))
    for ours, theirs in ((answer.low, expected.low_slope), (answer.high, expected.high_slope)):
        assert abs(np.searchsorted(slopes, ours) - np.searchsorted(slopes, theirs)) <= 1
    assert 0.95 - 1e-4 <= answer.confidence <= (0.984 if n < 12 else 0.97)


@given(readings)
def test_interval_and_test_agree(pairs):
    """Without ties: zero is outside the interval exactly where Kendall's p is at most 1 − the confidence attained."""
    x, y = usable(pairs)
    assume(len(set(x)) == len(x) and len(set(y)) == len(y))
    answer = slope(x, y)
    assert (answer.low > 0 or answer.high < 0) == (answer.p <= 1 - answer.confidence + 1e-12)


@given(readings, st.randoms())
def test_order_of_the_readings_does_not_matter(pairs, random):
    x, y = usable(pairs)
    shuffled = list(zip(x, y, strict=True))
    random.shuffle(shuffled)
    assert slope(*zip(*shuffled, strict=True)) == slope(x, y)


@given(readings, shifts, shifts, st.sampled_from([0.5, 2, 25.4]))
def test_shift_and_scale(pairs, along, up, factor):
    x, y = usable(pairs)
    one = slope(x, y)
    other = slope([v + along for v in x], [factor * v + up for v in y])
    assert limits(other) == pytest.approx([factor * v for v in limits(one)], abs=1e-9)
    # The last digits may tie readings that were a digit apart, or the reverse; p only follows the order.
    assert other.confidence == one.confidence


@given(readings)
def test_turned_around(pairs):
    """Values upside down or the axis reversed: the same slope with the other sign, its limits exchanged."""
    x, y = usable(pairs)
    one = slope(x, y)
    mirrored = pytest.approx((-one.value, -one.high, -one.low), abs=1e-12)
    for other in (slope(x, [-v for v in y]), slope([-v for v in x], y)):
        assert limits(other) == mirrored
        assert (other.p, other.tau_b) == (pytest.approx(one.p), pytest.approx(-one.tau_b))


@given(readings)
def test_steady_drift_is_added(pairs):
    """A drift of exactly two per unit moves the slope and both limits by two."""
    x, y = usable(pairs)
    assume(len({v + 2 * p for p, v in zip(x, y, strict=True)}) > 1)
    one, other = slope(x, y), slope(x, [v + 2 * p for p, v in zip(x, y, strict=True)])
    assert limits(other) == pytest.approx([v + 2 for v in limits(one)], abs=1e-9)


RUNS = 1000
ERROR = 3 * (0.95 * 0.05 / RUNS) ** 0.5


def coverage(n, draw, step=0.0, seed=0):
    """Share of seeded series whose interval holds the slope, readings rounded to `step` where there is one."""
    rng = np.random.default_rng([n, seed])
    covered = 0
    for _ in range(RUNS):
        x, b = np.sort(rng.random(n)), rng.uniform(-3, 3)
        y = b * x + draw(rng, n) + rng.random()
        y = np.round(y / step) * step if step else y
        try:
            answer = slope(x, y, step=grain_of(y))
        except CannotCompute:
            covered += 1
            continue
        covered += answer.low <= b <= answer.high
    return covered / RUNS


@pytest.mark.parametrize("n", [5, 8, 12, 20, 61])
def test_coverage(n):
    """At least 95 % less the simulation's error, at most 97 % from twelve readings on, whatever the errors' shape."""
    for draw in (lambda g, k: g.normal(size=k), lambda g, k: g.standard_t(3, k), lambda g, k: g.exponential(size=k)):
        covered = coverage(n, draw)
        assert covered >= 0.95 - ERROR
        assert n < 12 or covered <= 0.97 + ERROR


@pytest.mark.parametrize("n", [5, 12, 30])
@pytest.mark.parametrize("step", [0.25, 0.5, 1.0, 3.0])
def test_coverage_of_rounded_readings(n, step):
    """A gauge's steps from a quarter to three times the scatter; where all read the same no slope is claimed."""
    assert coverage(n, lambda g, k: g.normal(size=k), step) >= 0.95 - ERROR


def test_rounding_gives_room():
    """Residuals scatter far less than a step: each difference gets a quarter of it, by hand."""
    answer = slope([0, 1, 2, 3, 4], [0, 1, 2, 3, 4], step=1)
    assert limits(answer) == pytest.approx((1, 0.75, 1.25))


def test_exact_line_is_found_exactly():
    answer = slope([0, 10, 30, 40, 90], [5 - 0.01 * v for v in (0, 10, 30, 40, 90)])
    assert limits(answer) == pytest.approx((-0.01, -0.01, -0.01))
    assert answer.tau_b == pytest.approx(-1)


def test_ties_along_the_axis():
    """Two readings at each of five places: the pairs within a place say nothing and are left out."""
    answer = slope([0, 0, 1, 1, 2, 2, 3, 3, 4, 4], [0, 9, 1, 8, 2, 7, 3, 6, 4, 5])
    assert answer.n == 10
    assert answer.low <= answer.value <= answer.high
    assert answer.value == 0


@pytest.mark.parametrize(
    ("x", "y", "words"),
    [
        ([], [], "no readings"),
        ([1, 2, 3, 4], [1, 2, 3, 4], "so far there are 4"),
        ([1, 1, 2, 2, 3, 3, 4, 4], [1, 2, 3, 4, 5, 6, 7, 8], "so far there are 4"),
        ([1, 2, 3, 4, None], [1, 2, 3, 4, 5], "so far there are 4"),
        ([1, 2, 3, 4, 5], [1, 2, math.nan, 4, 5], "so far there are 4"),
        ([1, 2, 3, 4, 5], [7, 7, 7, 7, 7], "are the same"),
        ([1, 2, 3, 4, 5], [1, 2, 3, 4, math.inf], "ordinary"),
        ([1, 2, 3], [1, 2], "one position and one value"),
        ([0, 1e-320, 2e-320, 3e-320, 4e-320], [0, 1e10, 2e10, 3e10, 5e10], "too close together"),
    ],
)
def test_what_has_no_slope(x, y, words):
    with pytest.raises(CannotCompute, match=words):
        slope(x, y)


def test_only_the_newest_of_very_many():
    x = np.arange(MOST + 200.0)
    assert slope(x, np.where(x < 200, 1e6, x)).value == pytest.approx(1)


LINE = ([0, 1000, 2000, 3000, 4000], [1.0, 1.1, 1.2, 1.3, 1.4])


def forecast(x, y, band):
    ordered = in_order(x, y)
    return forecast_of(slope_of(ordered), ordered, band)


def test_forecast_of_an_exact_line():
    """1 + x / 10000 reaches 2 at 10,000 by hand; falling, 1 − x / 10000 reaches 0.25 at 7,500."""
    answer = forecast(*LINE, Band(None, 2))
    assert (answer.leaves_at, answer.low, answer.high) == pytest.approx((10000, 10000, 10000))
    falling = forecast(LINE[0], [2 - v for v in LINE[1]], Band(0.25, 3))
    assert falling.leaves_at == pytest.approx(7500)


def test_forecast_is_where_the_lines_of_the_limits_cross():
    rng = np.random.default_rng(3)
    x = np.arange(0, 12000, 1000.0)
    ordered = in_order(x, 1 + x / 10000 + rng.normal(0, 0.05, x.size))
    fitted = slope_of(ordered)
    answer = forecast_of(fitted, ordered, Band(None, 3))
    assert answer.low < answer.leaves_at < answer.high
    for position, b in ((answer.low, fitted.high), (answer.high, fitted.low)):
        level = np.median(ordered.values - b * ordered.positions)
        assert level + b * position == pytest.approx(3)


def test_forecast_without_a_foreseeable_end():
    """A slope that could be almost zero: the band is left somewhere between here and anywhere."""
    x, y = [0, 1, 2, 3, 4, 5, 6], [0, 1.0, 2.0, 1.95, 3.5, 4.1, 4.1]
    ordered = in_order(x, y)
    fitted = slope_of(ordered)
    assert fitted.low > 0
    near = forecast_of(fitted, ordered, Band(None, 5))
    assert near.high is not None
    far = forecast_of(fitted, ordered, Band(None, 40))
    assert far.high is None and far.low < far.leaves_at


def made(value, low, high, level):
    """A slope whose three lines meet at position 5."""
    lines = tuple(Line(b, level - b * 5) for b in (value, low, high))
    return Slope(value, low, high, 0.95, 0.01, 0.8, lines, 8)


def test_forecast_is_never_earlier_than_the_last_reading():
    """From 1 at 5 the steep line meets 1.6 at 8, before the last reading at 10; the others at 11 and 17, by hand."""
    answer = forecast_of(made(0.1, 0.05, 0.2, 1.0), in_order(range(11), range(11)), Band(None, 1.6))
    assert (answer.leaves_at, answer.low, answer.high) == pytest.approx((11, 10, 17))


def test_a_slope_that_may_be_zero_has_no_forecast():
    for low, high in ((0.0, 0.2), (-0.2, 0.0)):
        with pytest.raises(CannotCompute, match="could be zero"):
            forecast_of(made((low + high) / 2, low, high, 1.0), in_order(range(11), range(11)), Band(-9, 9))


@pytest.mark.parametrize(
    ("x", "y", "band", "words"),
    [
        (*LINE, None, "no band"),
        (*LINE, Band(None, None), "no band"),
        (LINE[0], [1, 2, 1.5, 2.5, 1.2], Band(0, 3), "could be zero"),
        (*LINE, Band(0.5, None), "away from the only limit"),
        (*LINE, Band(None, 1.3), "has left the band already"),
        (*LINE, Band(5, 8), "moves toward it"),
        (*LINE, Band(None, 50), "longer than can be foreseen"),
    ],
)
def test_what_has_no_forecast(x, y, band, words):
    with pytest.raises(CannotCompute, match=words):
        forecast(x, y, band)


@given(readings, st.floats(-30, 30), st.floats(0, 30))
def test_forecast_lies_ahead(pairs, lower, width):
    x, y = usable(pairs)
    ordered = in_order(x, y)
    try:
        answer = forecast_of(slope_of(ordered), ordered, Band(lower, lower + width))
    except CannotCompute as error:
        assert error.reason
        return
    assert max(x) <= answer.low <= answer.leaves_at
    assert answer.high is None or answer.leaves_at <= answer.high
