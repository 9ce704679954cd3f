"""The cause table on simulated comebacks, against the exact posterior of the frozen world (comeback_model.py).

A quicker run of `./ops/comebacks`, which takes 2,000 cases in each situation; seeds are the world's own.
"""

import numpy as np
import pytest

from tests.domain import comeback_table as table
from tests.domain.comeback_score import calibration_error, score, table_posterior
from tests.domain.likelihoods import LEVELS


@pytest.mark.parametrize("name", table.SITUATIONS)
def test_nine_tenths_of_the_best_possible_score(name):
    mine, best = table.situation(name, 400, LEVELS)
    assert mine.first >= .9 * best.first
    assert mine.three >= .9 * best.three


@pytest.mark.parametrize("name", table.SITUATIONS)
def test_calibration_over_a_thousand(name):
    _, measured, told = table.SITUATIONS[name]
    cases = table.drawn(name, 1000, measured=measured, told=told)
    assert score(cases, [table_posterior(c, LEVELS) for c in cases]).calibration_error <= .1


@pytest.mark.parametrize("measured", [0.0, 1.0])
def test_learned_priors_do_better_in_a_shop_with_other_frequencies(measured):
    start, learned, log_start, log_learned = table.learning(600, LEVELS, measured)
    assert learned.first > start.first
    assert log_learned > log_start


def test_a_cause_outside_the_table_raises_none_of_these():
    """Told apart from ordinary comebacks, and no more often sure of a wrong cause than the best can be, by a tenth."""
    found = table.outside(200, LEVELS)
    assert found["none of these, mean"] > 3 * LEVELS.outside
    assert found["none of these, mean"] > 4 * found["mean when the cause is in the table"]
    assert found["sure of a wrong cause"] < found["best possible"] + .1


def test_a_second_cause_is_noticed():
    found = table.second(120, LEVELS)
    assert found["a second one, mean"] > 3 * found["mean when there is one"]
    assert found["both named"] > .5


def test_calibration_error_by_hand():
    """Two bins: 0.95 said and 3 of 4 right, 0.55 said and both right: 4/6 x 0.20 + 2/6 x 0.45."""
    stated, right = np.array([.95] * 4 + [.55] * 2), np.array([1, 1, 1, 0, 1, 1])
    assert calibration_error(stated, right) == pytest.approx(4 / 6 * .2 + 2 / 6 * .45)
