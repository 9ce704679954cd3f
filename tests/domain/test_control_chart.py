"""Charts against the NIST/SEMATECH e-Handbook, the constants' own definitions, and simulated run lengths."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.control_chart import D2, D4, ZoneAlarm, ewma_chart, individuals_chart, zone_alarms
from service.domain.errors import CannotCompute

values = st.lists(st.integers(-500, 500).map(lambda v: v / 10), min_size=5, max_size=40).filter(
    lambda v: len(set(v)) > 1
)


def test_published_individuals(published):
    """NIST/SEMATECH e-Handbook 6.3.2.2, flowrate; its limits need d2 = 1.128 as rounded there."""
    case = published("cc-imr-nist")
    assert case.inputs["d2"] == D2
    chart = individuals_chart(case.inputs["x"])
    case.check("mean", chart.centre)
    case.check("mr_bar", chart.mean_moving_range)
    case.check("ucl", chart.upper)
    case.check("lcl", chart.lower)
    case.check("n_out", len(chart.beyond))
    assert chart.provisional


def test_published_ewma(published):
    """NIST/SEMATECH e-Handbook 6.3.2.4, with the process level and sigma given there."""
    case = published("cc-ewma-nist")
    chart = ewma_chart(case.inputs["x"], case.inputs["ewma0"], case.inputs["s"], case.inputs["lambda"])
    # The page prints one mean for each value; its first line is that of the start.
    case.check("ewma", list(chart.means))
    case.check("ucl", chart.upper)
    case.check("lcl", chart.lower)
    case.check("n_out", len(chart.beyond))


def test_published_constants(published):
    """ASTM E2587, factors for samples of two."""
    case = published("cc-constants")
    at = case.inputs["n"].index(2)
    assert case.expected["d2"][at] == pytest.approx(D2, abs=case.tolerance("d2"))
    assert case.expected["D4"][at] == pytest.approx(D4, abs=case.tolerance("D4"))
    # Closed forms of the range of two normal values: mean 2/√π, standard deviation √(2 − 4/π).
    assert pytest.approx(2 / math.sqrt(math.pi), abs=5e-4) == D2
    assert pytest.approx(1 + 3 * math.sqrt(2 - 4 / math.pi) / (2 / math.sqrt(math.pi)), abs=1e-3) == D4


def test_a_value_beyond_the_limits():
    chart = individuals_chart([5.0, 5.1, 4.9, 5.0, 5.1, 5.0, 4.9, 8.0, 5.0, 5.1] + [5.0, 5.1, 4.9] * 5)
    assert chart.beyond == (7,)
    assert chart.moving_ranges_beyond == (7, 8)
    assert not chart.provisional


def test_a_shift_that_only_the_weighted_chart_shows():
    """A lasting shift of one and a half sigma stays inside the single limits and leaves the weighted ones."""
    x = [0.5, -0.5] * 10 + [2.0, 1.0] * 10
    assert ewma_chart(x, 0, 1).beyond
    assert not np.any(np.abs(x) > 3)


@given(values, st.integers(-1000, 1000), st.sampled_from([-2.0, 0.5, 4.0]))
def test_shift_scale_and_mirror(x, shift, factor):
    one, other = individuals_chart(x), individuals_chart([factor * v + shift for v in x])
    assert other.sigma == pytest.approx(abs(factor) * one.sigma)
    limits = sorted(factor * v + shift for v in (one.lower, one.upper))
    assert (other.lower, other.upper) == pytest.approx(tuple(limits), abs=1e-6)
    assert individuals_chart(x[::-1]).sigma == pytest.approx(one.sigma)


@given(values)
def test_weight_of_one_is_the_values_themselves(x):
    chart = ewma_chart(x, 0, 1, weight=1)
    assert chart.means == pytest.approx(x)
    assert (chart.lower, chart.upper) == pytest.approx((-3, 3))


@pytest.mark.parametrize(
    ("x", "words"),
    [
        ([], "so far there are 0"),
        ([1, 2, 3, 4], "so far there are 4"),
        ([5] * 9, "are the same"),
        ([1, 2, math.nan, 4, 5], "ordinary"),
        ([1, 2, math.inf, 4, 5], "ordinary"),
        ([[1, 2], [3, 4]], "ordinary"),
    ],
)
def test_no_chart_in_words(x, words):
    with pytest.raises(CannotCompute, match=words):
        individuals_chart(x)


@pytest.mark.parametrize(
    ("start", "sigma", "weight"), [(0, 0, 0.3), (0, -1, 0.3), (math.nan, 1, 0.3), (0, 1, 0), (0, 1, 1.5)]
)
def test_no_weighted_chart(start, sigma, weight):
    with pytest.raises(CannotCompute):
        ewma_chart([1, 2, 3], start, sigma, weight)


def test_no_zones_without_spread():
    with pytest.raises(CannotCompute, match="no spread"):
        zone_alarms([1, 2], 0, 0)
    with pytest.raises(CannotCompute, match="no values"):
        ewma_chart([], 0, 1)


@pytest.mark.parametrize(
    ("x", "index", "rule"),
    [
        ([2.1, 0, 2.1], 2, "two of three beyond two sigma on one side"),
        ([-2.1, -2.1, 0], 1, "two of three beyond two sigma on one side"),
        ([1.1, 1.1, -0.5, 1.1, 1.1], 4, "four of five beyond one sigma on one side"),
        ([0.1] * 8, 7, "eight in a row on one side"),
        ([-0.1] * 8, 7, "eight in a row on one side"),
    ],
)
def test_each_zone_rule(x, index, rule):
    """Western Electric 1956, the patterns as written."""
    assert zone_alarms(x, 0, 1) == (ZoneAlarm(index, rule),)


@pytest.mark.parametrize("x", [[2.1, 0, 0, 2.1], [2.1, -2.1, 2.0], [1.1, 1.1, 0, 0, 1.1, 1.1], [0.1] * 7, [0.0] * 20])
def test_near_misses_of_the_zone_rules(x):
    assert zone_alarms(x, 0, 1) == ()


def first_alarm(x, centre, sigma):
    beyond = np.flatnonzero(np.abs((x - centre) / sigma) > 3)
    hits = [*beyond[:1], *(a.index for a in zone_alarms(x, centre, sigma)[:1])]
    return min(hits) + 1 if hits else None


def test_run_length_of_all_rules_together():
    """Champ and Woodall 1987, Technometrics 29:393: 91.75 values on average until a false alarm (from memory)."""
    rng = np.random.default_rng(1987)
    lengths = [first_alarm(rng.normal(size=1500), 0, 1) for _ in range(1200)]
    assert np.mean(lengths) == pytest.approx(91.75, abs=4 * 90 / 1200**0.5)


def test_zone_rules_are_loud():
    """Stable series of 50 with limits from themselves: about a third alarm with the zone rules, few without."""
    rng = np.random.default_rng(50)
    loud = quiet = 0
    for _ in range(1500):
        x = rng.normal(size=50)
        chart = individuals_chart(x)
        quiet += bool(chart.beyond)
        loud += bool(chart.beyond) or bool(zone_alarms(x, chart.centre, chart.sigma))
    assert 0.28 <= loud / 1500 <= 0.45
    assert quiet / 1500 <= 0.16
