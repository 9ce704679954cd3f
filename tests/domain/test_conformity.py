"""Verdicts against JCGM 106:2012 and scipy's normal distribution, and rules that hold for any input."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from service.domain.conformity import Band, judge, judge_interval, verdict_of
from service.domain.errors import CannotCompute
from tests.domain.shared_answers import shared

numbers = st.floats(-1e6, 1e6)
widths = st.floats(1e-6, 1e6)


@pytest.mark.parametrize("case", shared("conformity"))
def test_shared_answers(case):
    given_ = case.inputs
    band = Band(given_["lower"], given_["upper"])
    if "low" in given_:
        answer = judge_interval(given_["low"], given_["high"], band)
    else:
        answer = judge(given_["value"], given_["u"], band)
    case.check(answer)


def test_published_one_sided(published):
    """JCGM 106:2012, clause 7: breakdown voltage of a diode and burst strength, one limit each."""
    case = published("cf-106-onesided")
    a, b = case.inputs["a_zener"], case.inputs["b_burst"]
    case.check("a", judge(a["y"], a["u"], Band(None, a["TU"])).p_inside)
    case.check("b", judge(b["y"], b["u"], Band(b["TL"], None)).p_inside)


def test_published_two_sided(published):
    """JCGM 106:2012, clause 7: viscosity between two limits."""
    case = published("cf-106-twosided")
    given_ = case.inputs
    case.check("pc", judge(given_["y"], given_["u"], Band(given_["TL"], given_["TU"])).p_inside)


def test_published_quantiles(published):
    """JCGM 106:2012, Table 1: the distance from the limit, in u, at which each probability is reached."""
    case = published("cf-106-table1")
    for p, z in zip(case.inputs["pc"], case.expected["z"], strict=True):
        near = [judge(-z + shift, 1, Band(None, 0)).p_inside for shift in (case.tolerance("z"), -case.tolerance("z"))]
        assert near[0] <= p <= near[1]


def test_one_sided_guard_band():
    """ILAC-G8:09/2019 and ISO 14253-1:2017: inside from a guard band of 1.645 u on."""
    z = float(norm.ppf(0.95))
    assert judge(2 - (z + 1e-9) * 0.3, 0.3, Band(None, 2)).verdict == "inside"
    assert judge(2 - (z - 1e-6) * 0.3, 0.3, Band(None, 2)).verdict == "borderline"
    assert judge(2 + (z - 1e-6) * 0.3, 0.3, Band(None, 2)).verdict == "borderline"
    assert judge(2 + (z + 1e-9) * 0.3, 0.3, Band(None, 2)).verdict == "outside"


def test_rectangle_of_a_go_no_go_pair(published):
    """JCGM 100:2008, 4.3.7: the standard uncertainty of a rectangle is its half width over root three."""
    half_width = 0.40e-6
    assert half_width / math.sqrt(3) == pytest.approx(published("gu-typeB-rect").expected["u1"], abs=5e-9)
    assert judge_interval(5.5, 6.5, Band(4.5, 6)).p_inside == 0.5


@given(value=numbers, u=widths, lower=numbers, width=widths)
def test_equals_the_normal_distribution(value, u, lower, width):
    upper = lower + width
    expected = norm.cdf(upper, value, u) - norm.cdf(lower, value, u)
    assert judge(value, u, Band(lower, upper)).p_inside == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("side", [1, -1])
def test_far_tails_keep_their_digits(side):
    """Chance beyond nine standard uncertainties, 1.1e-19, either side, by scipy's survival function."""
    band = Band(*sorted((side * 9.0, side * 12.0)))
    assert judge(0, 1, band).p_inside == pytest.approx(norm.sf(9) - norm.sf(12), rel=1e-9, abs=0)


@given(value=numbers, u=st.floats(0, 1e6), limit=numbers)
def test_the_two_sides_of_a_limit_share_one(value, u, limit):
    below, above = (judge(value, u, band).p_inside for band in (Band(None, limit), Band(limit, None)))
    assert below + above == pytest.approx(2 if u == 0 and value == limit else 1)


@given(low=numbers, width=widths, limit=numbers)
def test_interval_shares(low, width, limit):
    below, above = (judge_interval(low, low + width, band).p_inside for band in (Band(None, limit), Band(limit, None)))
    assert below + above == pytest.approx(1)


@given(
    value=st.floats(allow_nan=False, allow_infinity=False),
    u=st.floats(0, allow_infinity=False),
    limits=st.tuples(*[st.none() | st.floats(allow_nan=False, allow_infinity=False)] * 2),
)
def test_always_an_answer(value, u, limits):
    if None not in limits:
        limits = sorted(limits)
    band = Band(*limits)
    for answer in (judge(value, u, band), judge_interval(min(value, u), max(value, u), band)):
        assert (answer.verdict == "none") == (answer.p_inside is None) == band.is_open
        assert answer.p_inside is None or 0 <= answer.p_inside <= 1


def test_no_band_no_verdict():
    assert judge(3, 0.1, None).verdict == "none"
    assert judge(3, 0, Band(target=3)).p_inside is None
    assert judge_interval(3, 4, None).verdict == "none"


@pytest.mark.parametrize(
    ("p", "verdict"), [(0.95, "inside"), (0.9499, "borderline"), (0.0501, "borderline"), (0.05, "outside")]
)
def test_limits_of_the_verdict(p, verdict):
    assert verdict_of(p).verdict == verdict


def test_refuses_what_is_no_number():
    for value, u in ((math.nan, 1), (math.inf, 1), (1, math.nan), (1, math.inf), (1, -0.1)):
        with pytest.raises(CannotCompute):
            judge(value, u, Band(0, 2))
    for low, high in ((math.nan, 1), (0, math.inf), (2, 1)):
        with pytest.raises(CannotCompute):
            judge_interval(low, high, Band(0, 2))
    for limits in ((2, 1), (math.nan, 1), (0, math.inf)):
        with pytest.raises(CannotCompute):
            Band(*limits)
