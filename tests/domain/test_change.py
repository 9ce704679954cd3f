"""Change since a reading, and many changes together: closed forms, statsmodels, Benjamini and Hochberg's example."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from service.domain.change import change_since, holm, real_together
from service.domain.errors import CannotCompute
from tests.domain.holm_reference import holm_by_statsmodels

numbers = st.floats(-1e6, 1e6)
uncertainties = st.floats(1e-3, 1e3)
probabilities = st.lists(st.floats(0, 1), min_size=1, max_size=30)


def test_change_of_two_readings():
    """JCGM 100:2008, 5.1.2: variances of independent readings add; p from scipy.stats.norm."""
    change = change_since(5.2, 0.3, 4.4, 0.4)
    assert change.delta == pytest.approx(-0.8)
    assert change.u == pytest.approx(0.5)
    assert change.p == pytest.approx(2 * norm.sf(1.6))
    assert not change.real


def test_real_from_1_96_u_on():
    """The two-sided 5 % point of the normal distribution as it is usually rounded."""
    assert not change_since(0, 0.6, 1.96 - 1e-9, 0.8).real
    assert change_since(0, 0.6, 1.96 + 1e-9, 0.8).real


def test_a_setting_changed_if_it_differs():
    assert not change_since(3, 0, 3, 0).real
    assert change_since(3, 0, 4, 0).real
    assert change_since(3, 0, 4, 0).p == 0
    # Ten tenths of a turn are a turn.
    assert change_since(1, 0, sum([0.1] * 10), 0) == change_since(1, 0, 1, 0)


@given(numbers, uncertainties, numbers, uncertainties)
def test_the_other_way_round(then, u_then, now, u_now):
    one, other = change_since(then, u_then, now, u_now), change_since(now, u_now, then, u_then)
    assert (one.delta, one.u, one.real, one.p) == (-other.delta, other.u, other.real, other.p)
    assert math.isfinite(one.p)


@pytest.mark.parametrize("bad", [(math.nan, 1, 0, 1), (0, -1, 0, 1), (0, 1, math.inf, 1), (-1e308, 1, 1.7e308, 1)])
def test_what_cannot_be_compared(bad):
    with pytest.raises(CannotCompute):
        change_since(*bad)


@given(probabilities)
def test_holm_against_statsmodels(p_values):
    reject, expected = holm_by_statsmodels(p_values)
    assert holm(p_values) == pytest.approx(expected)
    # statsmodels compares without the rounding of n·p: leave out what stands on the line.
    clear = np.abs(expected - 0.05) > 1e-12
    assert (np.array(real_together(p_values)) == reject)[clear].all()


@given(probabilities, st.randoms())
def test_holm_does_not_care_for_order(p_values, random):
    order = list(range(len(p_values)))
    random.shuffle(order)
    assert holm([p_values[i] for i in order]) == pytest.approx(holm(p_values)[order])


def test_published_fifteen_tests(published):
    """Benjamini and Hochberg 1995: Holm finds no fewer than Bonferroni and no more than the false discovery rate."""
    case = published("np-bh")
    found = sum(real_together(case.inputs["p"], case.inputs["q"]))
    assert case.expected["bonferroni_rejections"] <= found <= case.expected["bh_rejections"]
    # By hand: .0019 · 13 = .0247 is below .05, .0095 · 12 = .114 is not.
    assert found == 3


def test_family_of_none_and_bad_probabilities():
    assert holm([]).size == 0
    for bad in ([0.1, math.nan], [1.2], [-0.1], [[0.1]]):
        with pytest.raises(CannotCompute):
            holm(bad)


def test_twenty_five_comparisons_of_nothing():
    """The chance of even one false change among 25 stays at the family's level (Holm 1979), seeded."""
    rng = np.random.default_rng(25)
    z = rng.normal(size=(4000, 25))
    false = [any(real_together([change_since(0, 0.6, float(v), 0.8).p for v in row])) for row in z]
    assert np.mean(false) == pytest.approx(0.05, abs=0.012)
    alone = [any(abs(v) > 1.96 for v in row) for row in z]
    assert np.mean(alone) > 0.6
