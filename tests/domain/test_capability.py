"""Capability against the NIST/SEMATECH e-Handbook, Montgomery, scipy's chi-squared and simulated coverage."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chi2

from service.domain.capability import capability, capability_of
from service.domain.conformity import Band
from service.domain.errors import CannotCompute


def test_published_indices(published):
    """NIST/SEMATECH e-Handbook 6.1.6."""
    case = published("cc-cap-nist")
    lsl, usl, mean, s = (case.inputs[k] for k in ("lsl", "usl", "mean", "s"))
    both = capability_of(mean, s, 50, Band(lsl, usl))
    case.check("Cp", both.cp.value)
    case.check("Cpk", both.cpk.value)
    upper, lower = capability_of(mean, s, 50, Band(None, usl)), capability_of(mean, s, 50, Band(lsl, None))
    case.check("Cpu", upper.cpk.value)
    case.check("Cpl", lower.cpk.value)
    assert upper.cp is None and lower.cp is None
    case.check("k", 1 - both.cpk.value / both.cp.value)


def test_published_interval_of_cp(published):
    """Montgomery, ch. 8; against scipy's chi-squared as well."""
    case = published("cc-cp-ci")
    n, s, conf = (case.inputs[k] for k in ("n", "s", "conf"))
    cp = capability_of(50, s, n, Band(case.inputs["lsl"], case.inputs["usl"]), conf).cp
    case.check("Cp", cp.value)
    case.check("lo", cp.low)
    case.check("hi", cp.high)
    limits = cp.value * np.sqrt(chi2.ppf([0.025, 0.975], n - 1) / (n - 1))
    assert (cp.low, cp.high) == pytest.approx(tuple(limits))


def test_published_interval_of_cpk(published):
    """Montgomery, ch. 8: the formula written there for a mean that gives the Cpk stated."""
    case = published("cc-cpk-ci")
    cpk = capability_of(0, 1, case.inputs["n"], Band(None, 3 * case.inputs["Cpk"]), case.inputs["conf"]).cpk
    assert cpk.value == pytest.approx(case.inputs["Cpk"])
    case.check("lo", cpk.low)
    case.check("hi", cpk.high)


@given(st.lists(st.integers(-300, 300), min_size=10, max_size=40).filter(lambda v: len(set(v)) > 1))
def test_indices_do_not_depend_on_the_unit(values):
    one = capability(values, Band(-310, 350))
    inches = capability([v / 25.4 + 7 for v in values], Band(-310 / 25.4 + 7, 350 / 25.4 + 7))
    upside_down = capability([-v for v in values], Band(-350, 310))
    for other in (inches, upside_down):
        assert other.cp.value == pytest.approx(one.cp.value)
        assert (other.cpk.low, other.cpk.value, other.cpk.high) == pytest.approx(
            (one.cpk.low, one.cpk.value, one.cpk.high)
        )
    assert one.cpk.value <= one.cp.value + 1e-12


def test_values_beyond_the_band():
    """A mean outside its band has a Cpk below zero, and a finite interval."""
    answer = capability([5.0, 5.2] * 6, Band(1, 4))
    assert answer.cpk.value < 0 and math.isfinite(answer.cpk.low + answer.cpk.high)


@pytest.mark.parametrize(
    ("values", "band", "words"),
    [
        ([1, 2] * 5, None, "no band"),
        ([1, 2] * 5, Band(None, None), "no band"),
        ([1, 2, 3], Band(0, 4), "so far there are 3"),
        ([], Band(0, 4), "so far there are 0"),
        ([2] * 12, Band(0, 4), "are the same"),
        ([1, math.nan] * 6, Band(0, 4), "ordinary"),
    ],
)
def test_no_capability_in_words(values, band, words):
    with pytest.raises(CannotCompute, match=words):
        capability(values, band)


def test_no_capability_from_no_spread():
    for n, sd in ((1, 1.0), (12, 0.0), (12, math.nan)):
        with pytest.raises(CannotCompute, match="no spread"):
            capability_of(0, sd, n, Band(0, 1))


def test_coverage_of_normal_values():
    """Cp's interval is exact; Cpk's is an approximation that covers about as often. Seeded."""
    rng = np.random.default_rng(6)
    band, runs, n = Band(-3.6, 4.2), 4000, 30
    cp = cpk = 0
    for _ in range(runs):
        answer = capability(rng.normal(size=n), band)
        cp += answer.cp.low <= 1.3 <= answer.cp.high
        cpk += answer.cpk.low <= 1.2 <= answer.cpk.high
    error = 3 * (0.95 * 0.05 / runs) ** 0.5
    assert cp / runs == pytest.approx(0.95, abs=error)
    assert cpk / runs == pytest.approx(0.95, abs=error + 0.01)
