"""Stand offset: Hollander and Wolfe's example, scipy.stats.wilcoxon, closed forms, and coverage of whole steps."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from service.domain.errors import CannotCompute
from service.domain.rank_distributions import bounding_rank, wilcoxon_distribution
from service.domain.stand_offset import StandOffset, advice, rides_needed, stand_offset

quarter_turns = st.lists(st.integers(-8, 8).map(lambda v: v / 4), min_size=6, max_size=25)


def differences(case):
    return np.round(np.array(case.inputs["x"]) - np.array(case.inputs["y"]), 3)


def test_published_estimate_and_interval(published):
    """Hollander, Wolfe and Chicken 2014, example 3.3, sign reversed; the sixth Walsh averages attain 96.09 %."""
    case = published("np-hl")
    offset = stand_offset(differences(case))
    case.check("hl", offset.value)
    case.check("ci96", [offset.low, offset.high])
    assert offset.confidence == pytest.approx(0.9609, abs=5e-5)
    assert offset.certain


def test_published_test_and_interval_agree(published):
    """Hollander and Wolfe 1973, p. 29f: V = 40 of 45, p one-sided 0.01953; two-sided that is below 5 %."""
    case = published("np-wilcoxon")
    d = differences(case)
    i, j = np.triu_indices(d.size)
    case.check("V", int(np.sum(d[i] + d[j] > 0)))
    assert 2 * case.expected["p_exact"] <= 0.05 and stand_offset(d).certain


@given(st.lists(st.integers(-1000, 1000), min_size=6, max_size=14, unique_by=abs).filter(lambda v: 0 not in v))
def test_certain_where_scipy_says_so(values):
    """scipy.stats.wilcoxon, exact: without ties the interval excludes zero where p is at most 1 − confidence."""
    offset = stand_offset(values)
    p = stats.wilcoxon(values, method="exact").pvalue
    assert offset.certain == (p <= 1 - offset.confidence + 1e-12)


def test_six_alike():
    """Six equal corrections attain 1 − 2/2⁶; rounding leaves almost half a step either way."""
    offset = stand_offset([1] * 6, step=1)
    assert offset == StandOffset(1, 0.55, 1.45, pytest.approx(1 - 2 / 64), 6, True, 1)


@pytest.mark.parametrize(
    ("d", "step", "grain"),
    [
        ([1, 0, 2, 1, 0, 1], None, 1),
        ([2, 4, 0, 2, 2, 2], None, 2),
        ([2, 4, 0, 2, 2, 2], 1, 1),
        ([0.25, 0.5, 0, 0.25, 0.25, 0], 1, 0.25),
        ([0] * 6, 0.25, 0.25),
        ([0] * 6, None, 0),
        ([0.3, 0.25, 0.1, 0, 0, 0], None, 0.05),
    ],
)
def test_the_step_is_read_from_the_corrections(d, step, grain):
    assert stand_offset(d, step).step == pytest.approx(grain)


@given(quarter_turns, st.integers(-20, 20), st.sampled_from([-1.0, 4.0]))
def test_shift_scale_and_mirror(d, shift, factor):
    one = stand_offset(d, step=0.25)
    other = stand_offset([factor * v + shift for v in d], step=0.25 * abs(factor))
    assert other.value == pytest.approx(factor * one.value + shift)
    expected = sorted(factor * v + shift for v in (one.low, one.high))
    assert (other.low, other.high) == pytest.approx(tuple(expected))


@given(quarter_turns, st.randoms())
def test_order_does_not_matter(d, random):
    shuffled = d[:]
    random.shuffle(shuffled)
    assert stand_offset(shuffled) == stand_offset(d)


@given(quarter_turns)
def test_room_for_rounding_changes_no_finding(d):
    """The interval of the very same corrections without a step, by the test alone, tells zero just as often."""
    offset = stand_offset(d)
    assert offset.low <= offset.value <= offset.high
    assert offset.certain == (offset.low > 0 or offset.high < 0)
    i, j = np.triu_indices(len(d))
    walsh = np.sort((np.array(d)[i] + np.array(d)[j]) / 2)
    k, _ = bounding_rank(wilcoxon_distribution(len(d)), 0.95)
    assert offset.certain == (walsh[k - 1] > 0 or walsh[-k] < 0)


@pytest.mark.parametrize(
    ("d", "words"),
    [
        ([], "0 rides so far, 6 more are needed"),
        ([1], "1 ride so far, 5 more are needed"),
        ([1] * 5, "5 rides so far, 1 more is needed"),
        ([1] * 6 + [math.nan], "ordinary"),
        ([1] * 6 + [math.inf], "ordinary"),
    ],
)
def test_no_offset_in_words(d, words):
    with pytest.raises(CannotCompute, match=words):
        stand_offset(d)


@pytest.mark.parametrize(
    ("d", "step", "words"),
    [
        ([1, 1, 2, 1, 0, 1, 1, 1], 1, "On the stand, start 1 step inboard."),
        ([-2, -2, -3, -2, -1, -2], 1, "On the stand, start 2 steps outboard."),
        ([0.5] * 7, 0.25, "On the stand, start 0.5 step inboard."),
        ([0.3, 0.4, 0.35, 0.3, 0.4, 0.3, 0.4], None, "On the stand, start 0.35 step inboard."),
        ([0, 0, 0, 0, 0, 0], 1, "No advice: the interval holds zero. After 6 rides the stand looks right."),
        ([1, -1, 0, 1, -1, 0], 1, "No advice: the interval holds zero. After 6 rides the stand looks right."),
    ],
)
def test_advice(d, step, words):
    assert advice(stand_offset(d, step), "step", "inboard", "outboard") == words


def test_advice_for_less_than_half_a_step():
    small = StandOffset(0.4, 0.1, 0.7, 0.95, 60, True, 1)
    assert "less than half a step" in advice(small, "step", "inboard", "outboard")


def test_how_many_more_rides():
    """Half the width is 1.5 at 8 rides; to come down to 0.5 takes nine times as many: 64 more."""
    offset = StandOffset(0.5, -1, 2, 0.95, 8, False, 1)
    assert rides_needed(offset) == 64
    assert "about 64 more rides will show it" in advice(offset, "step", "inboard", "outboard")
    assert rides_needed(StandOffset(1, 0.5, 1.5, 0.95, 8, True, 1)) == 0
    assert rides_needed(StandOffset(0, -1, 1, 0.95, 8, False, 1)) is None


RUNS = 1000
ERROR = 3 * (0.95 * 0.05 / RUNS) ** 0.5


@pytest.mark.parametrize("n", [6, 12, 40])
@pytest.mark.parametrize("truth", [0.0, 0.25, 0.4, 1.0, 1.3])
def test_coverage_of_whole_steps(n, truth):
    """The mechanic turns whole steps: corrections rounded from a truth between them, with many ties and zeros."""
    rng = np.random.default_rng([n, int(100 * truth)])
    for spread in (0.3, 0.6, 1.0, 2.0):
        d = np.round(truth + rng.normal(0, spread, (RUNS, n)))
        offsets = [stand_offset(row, step=1) for row in d]
        covered = np.mean([o.low - 1e-9 <= truth <= o.high + 1e-9 for o in offsets])
        assert covered >= 0.95 - ERROR, f"spread {spread}"
        if truth == 0:
            assert np.mean([o.certain for o in offsets]) <= 0.05 + ERROR


@pytest.mark.parametrize("n", [6, 12, 20, 101])
def test_coverage_without_steps(n):
    """Symmetric errors of any shape: at least 95 %, and at most 97 % from twelve on."""
    rng = np.random.default_rng(n)
    for noise in (rng.normal(size=(RUNS, n)), rng.standard_t(3, (RUNS, n)), rng.uniform(-1, 1, (RUNS, n))):
        offsets = [stand_offset(row) for row in noise + 0.37]
        covered = np.mean([o.low <= 0.37 <= o.high for o in offsets])
        assert covered >= 0.95 - ERROR
        assert n < 12 or covered <= 0.97 + ERROR
