"""Ten minutes left: rates by hand and by scipy's beta distribution, and the order of the advice."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from service.domain.causes import Cause, Change
from service.domain.ten_minutes import History, OpenCheck, cause_rates, comeback_rate, ten_minutes
from tests.domain.likelihoods import LEVELS

LEVELS = replace(LEVELS, learning=40, change_shown=.9, finding_shown=.5)
BENT = Cause("bent", "Hanger bent", .3, changes=(Change("hanger_vertical", "up"), Change("gap", "same")))
LOOSE = Cause("loose", "Mount loose", .1, changes=(Change("fastener:mount", "down"), Change("hanger_vertical", "up")))
SETTLED = Cause("settled", "Cable settled", .6)
TABLE, SHARES = (BENT, LOOSE, SETTLED), {"bent": .3, "loose": .1, "settled": .6}
HANGER, MOUNT = OpenCheck("hanger", "Hanger", ("hanger_vertical",)), OpenCheck("mount", "Mount", ("fastener:mount",))
GAP = OpenCheck("gap", "Gap", ("gap",))


def test_rate_is_the_mean_of_a_beta_distribution():
    """One in twenty to start with; 9 of 80 jobs: beta(1 + 9, 19 + 71), and the family's 4 of 20 on top of 20 such."""
    assert comeback_rate(History(0, 0)) == pytest.approx(.05)
    shop = stats.beta(1 + 9, 19 + 71).mean()
    assert comeback_rate(History(80, 9)) == pytest.approx(shop)
    assert comeback_rate(History(80, 9, 20, 4)) == pytest.approx(stats.beta(20 * shop + 4, 20 * (1 - shop) + 16).mean())


def test_rates_by_hand():
    """Shares of 0.3 worth 40, and 8 of the family's 10 comebacks: (12 + 8) / 50 of all."""
    rates = cause_rates(TABLE, SHARES, History(80, 9, 20, 4, {"bent": 8, "settled": 2}), LEVELS)
    rate = comeback_rate(History(80, 9, 20, 4))
    assert rates["bent"] == pytest.approx(rate * 20 / 50)
    assert sum(rates.values()) == pytest.approx(rate)


def test_the_check_that_prevents_most_comes_first():
    """Hanger: 0.9 x (0.3 + 0.1) of 5 %; mount: 0.5 x 0.1 of 5 %; the gap shows no cause, what stays same tells none."""
    first, second = ten_minutes(TABLE, SHARES, History(0, 0), [GAP, MOUNT, HANGER], LEVELS)
    assert (first.id, first.prevented) == ("hanger", pytest.approx(.05 * .9 * .4))
    assert (second.id, second.prevented) == ("mount", pytest.approx(.05 * .5 * .1))
    assert [id for id, _ in first.causes] == ["bent", "loose"]
    assert first.words == ("Hanger: would prevent about 18 comebacks in 1,000 bikes like this "
                           "(hanger bent, mount loose).")


def test_the_shops_own_history_turns_the_order():
    """Sixty comebacks of this family, all with a loose mount: the wrench now beats a gauge that tells only bends."""
    bends_only = OpenCheck("hanger", "Hanger", ("bend",))
    bent = Cause("bent", "Hanger bent", .3, changes=(Change("bend", "up"),))
    loose = Cause("loose", "Mount loose", .1, changes=(Change("fastener:mount", "down"),))
    start = ten_minutes([bent, loose], SHARES, History(0, 0), [bends_only, MOUNT], LEVELS)
    later = ten_minutes([bent, loose], SHARES, History(200, 60, 200, 60, {"loose": 60}), [bends_only, MOUNT], LEVELS)
    assert (start[0].id, later[0].id) == ("hanger", "mount")


def test_without_causes_or_checks_there_is_no_advice():
    assert ten_minutes([], {}, History(0, 0), [HANGER], LEVELS) == ()
    assert ten_minutes(TABLE, SHARES, History(0, 0), [], LEVELS) == ()
    assert ten_minutes(TABLE, {}, History(0, 0), [HANGER], LEVELS) == ()


@given(st.integers(0, 500), st.integers(0, 500), st.integers(0, 200), st.integers(0, 200))
def test_nothing_prevents_more_than_all_comebacks(jobs, back, family, family_back):
    history = History(jobs, back, family, family_back, {"bent": family_back})
    rate = comeback_rate(history)
    assert 0 < rate < 1
    assert all(0 < a.prevented <= rate for a in ten_minutes(TABLE, SHARES, history, [HANGER, MOUNT], LEVELS))
