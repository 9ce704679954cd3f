"""Expected information gain against closed forms, scipy and a simulation."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from service.domain.causes import Cause, Change, Observation, Usual, weigh
from service.domain.evidence import likelihoods
from service.domain.next_measurement import entropy, information, next_measurements, outcomes
from tests.domain.likelihoods import LEVELS

USUAL = Usual(0.0, 0.3, 3.0)
BENT = Cause("bent", "Bent", .4, changes=(Change("hanger", "up"), Change("check:x", "failed")))
WORN = Cause("worn", "Worn", .4, changes=(Change("growth", "up"),), noise_period="chain")
TABLE = (BENT, WORN)


def gauge(of: str, u: float = .4) -> Observation:
    return Observation(of, "change", of, 0.0, u, USUAL)


def test_binary_symmetric_channel():
    """Closed form 1 - H(f) bits for equal inputs (Cover and Thomas, 2nd ed., section 7.1.4; MacKay 2003, ch. 9)."""
    for f in (.0, .05, .15, .5):
        table = np.array([[1 - f, f], [f, 1 - f]])
        expected = 1 - (stats.entropy([f, 1 - f], base=2) if 0 < f < 1 else 0)
        assert information(np.array([.5, .5]), table) == pytest.approx(expected, abs=1e-12)


def test_noisy_channel_of_the_textbook():
    """MacKay, Information Theory, Inference, and Learning Algorithms (2003), exercise 9.10: the Z channel with
    f = 0.15 and equal inputs tells 0.68 bits, against 0.39 bits of the symmetric one."""
    z = np.array([[1, 0], [.15, .85]])
    assert information(np.array([.5, .5]), z) == pytest.approx(.68, abs=.005)
    assert information(np.array([.5, .5]), np.array([[.85, .15], [.15, .85]])) == pytest.approx(.39, abs=.005)


def test_gain_is_the_mean_fall_of_the_entropy():
    """Simulated: outcomes drawn under each cause, the posterior's entropy against scipy's, mean over 4,000 draws."""
    rng = np.random.default_rng(31)
    p = np.array([.5, .3, .2])
    option = Observation("check:x", "finding", "x", True)
    yes = likelihoods(option, [*TABLE, None], LEVELS)
    left = []
    for cause in rng.choice(3, 4000, p=p):
        seen = yes if rng.random() < yes[cause] else 1 - yes
        left.append(stats.entropy(weigh(p, np.log(seen)), base=2))
    gain = next_measurements(TABLE, p, [option], LEVELS)[0]
    assert gain.open_bits == pytest.approx(stats.entropy(p, base=2))
    assert gain.bits == pytest.approx(gain.open_bits - np.mean(left), abs=.02)


def test_a_reading_on_the_grid_tells_what_numerical_integration_says():
    """Mutual information of a continuous reading by a grid ten times finer over twice the range: same to 0.01 bit."""
    p, option = np.array([.45, .45, .1]), gauge("hanger")
    values = np.linspace(-30, 30, 60_001)
    rows = np.array([likelihoods(replace(option, value=v), [*TABLE, None], LEVELS) for v in values[::50]]).T
    rows = rows / rows.sum(axis=1, keepdims=True)
    assert next_measurements(TABLE, p, [option], LEVELS)[0].bits == pytest.approx(information(p, rows), abs=.01)


def test_measures_what_tells_the_open_causes_apart():
    even, settled = [.5, .5, .0], [.99, .01, .0]
    options = [gauge("hanger"), gauge("gap"), gauge("growth", u=3.0)]
    gains = next_measurements(TABLE, even, options, LEVELS)
    assert [g.of for g in gains] == ["hanger", "growth", "gap"]
    assert gains[-1].bits == pytest.approx(0, abs=1e-9), "what no cause names tells nothing"
    assert next_measurements(TABLE, settled, options, LEVELS)[0].bits < gains[0].bits
    assert next_measurements(TABLE, even, [], LEVELS) == ()


def test_settings_and_noises_can_be_read_too():
    trim = Observation("trim", "change", "trim", 0.0, 0.0, Usual(0, 0, 1))
    noise = Observation("noise_period", "period", "noise", {})
    gains = next_measurements(TABLE, [.5, .4, .1], [trim, noise], LEVELS)
    assert {g.of: g.bits > .05 for g in gains} == {"noise_period": True, "trim": False}
    for option in (trim, noise):
        assert outcomes(option, TABLE, LEVELS).sum(axis=1) == pytest.approx(np.ones(3))


@given(st.lists(st.floats(0, 1), min_size=3, max_size=3).filter(lambda p: sum(p) > .1), st.floats(.01, 5))
def test_a_gain_is_never_negative_and_never_more_than_is_open(p, u):
    for gain in next_measurements(TABLE, p, [gauge("hanger", u), Observation("check:x", "finding", "x", True)], LEVELS):
        assert 0 <= gain.bits <= gain.open_bits + 1e-9
        assert gain.open_bits == pytest.approx(entropy(np.array(p) / sum(p)))
