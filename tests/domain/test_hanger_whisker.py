"""The whisker's ends against scipy's noncentral chi-square distribution, and against the verdict they stand for."""

from __future__ import annotations

import pytest
from scipy.stats import ncx2

from service.domain.conformity import Band
from service.domain.hanger import Tip, fit, judge_deviation
from service.domain.hanger_whisker import whisker


def tips(vertical: float) -> list[Tip]:
    """Four tips of a hanger bent in the vertical plane only; `vertical` is the gap at 12 less that at 6, mm."""
    return [Tip(12, 10 + vertical / 2), Tip(3, 10), Tip(6, 10 - vertical / 2), Tip(9, 10)]


@pytest.mark.parametrize("deviation", [0.4, 0.9, 1.5, 3.0, 12.0])
def test_the_ends_are_one_sided_bounds(deviation):
    error = 2 * 0.3 / 2**0.5  # four even tips: u(A) = u · √(2/4), the deviation is 2 A
    low, high = whisker(fit(tips(deviation), 311, 0.3))
    assert 1 - ncx2.cdf((deviation / error) ** 2, 2, (high / error) ** 2) == pytest.approx(0.95, abs=1e-6)
    if low > 0:
        assert 1 - ncx2.cdf((deviation / error) ** 2, 2, (low / error) ** 2) == pytest.approx(0.05, abs=1e-6)
    assert 0 <= low <= deviation < high


@pytest.mark.parametrize("deviation", [0.2, 0.9, 1.2, 1.4, 1.9, 2.4, 2.7, 2.9, 4.0])
def test_clear_of_the_limit_is_inside_and_past_it_is_outside(deviation):
    read = fit(tips(deviation), 311, 0.3)
    low, high = whisker(read)
    verdict = judge_deviation(read, Band(upper=2)).verdict
    assert verdict == ("inside" if high < 2 else "outside" if low > 2 else "borderline")


def test_far_from_zero_it_is_the_normal_whisker():
    low, high = whisker(fit(tips(40), 311, 0.3))
    half = 1.645 * 2 * 0.3 / 2**0.5
    assert (low, high) == (pytest.approx(40 - half, abs=0.01), pytest.approx(40 + half, abs=0.01))


def test_nothing_left_open():
    assert whisker(fit(tips(1), 311, 0.0)) is None
    assert whisker(fit([Tip(12, 10), Tip(6, 9)], 311, 0.3)) is None
