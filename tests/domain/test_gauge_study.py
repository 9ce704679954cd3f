"""Gauge study: AIAG's data set, statsmodels' analysis of variance, closed forms and properties."""

import math

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from statsmodels.formula.api import ols

from service.domain.errors import CannotCompute
from service.domain.gauge_study import POOL_ABOVE, arrange, gauge_study

studies = arrays(
    np.int64, st.tuples(st.integers(2, 5), st.integers(2, 4), st.integers(2, 3)), elements=st.integers(-20, 20)
).filter(lambda x: np.ptp(x) > 0)


def row(study, source):
    return next(r for r in study.anova if r.source == source)


def test_published_study(published):
    """AIAG, Measurement Systems Analysis: ten parts, three appraisers, three trials, interaction pooled."""
    case = published("gr-aiag-anova")
    assert case.inputs["pool_alpha"] == POOL_ABOVE
    study = gauge_study(np.array(case.inputs["data_part_x_op_x_trial"]))
    rows = [row(study, source) for source in ("part", "person", "interaction", "repeatability")]
    case.check("SS", [r.ss for r in rows])
    case.check("MS", [r.ms for r in rows])
    case.check("F_int", rows[2].f)
    case.check("p_int", study.interaction_p)
    assert study.pooled
    v = study.variance
    components = {"rep": v.repeatability, "repro": v.reproducibility, "grr": v.gauge, "part": v.part}
    for name, value in components.items():
        assert value == pytest.approx(case.expected["var"][name], abs=case.tolerance("var"))
    case.check("pct_contribution_grr", 100 * v.gauge / (v.gauge + v.part))
    case.check("pct_study_grr", 100 * study.share_of_study_variation)
    case.check("sd_grr", study.u)
    case.check("sd_part", math.sqrt(v.part))
    # 1.41 · part / gauge is 4.86: truncated, not rounded.
    case.check("ndc", study.distinct_categories)


def with_interaction():
    rng = np.random.default_rng(7)
    part, person = rng.normal(0, 2, (6, 1, 1)), rng.normal(0, 0.5, (1, 3, 1))
    return part + person + rng.normal(0, 0.8, (6, 3, 1)) + rng.normal(0, 0.2, (6, 3, 3))


def test_interaction_that_is_real_against_statsmodels():
    """statsmodels' two-way analysis; parts and persons are tested against the interaction, as both are drawn."""
    x = with_interaction()
    study = gauge_study(x)
    i, j, _ = np.indices(x.shape)
    frame = pd.DataFrame({"part": i.ravel(), "person": j.ravel(), "value": x.ravel()})
    table = sm.stats.anova_lm(ols("value ~ C(part) * C(person)", frame).fit())
    names = {"part": "C(part)", "person": "C(person)", "interaction": "C(part):C(person)", "repeatability": "Residual"}
    for source, name in names.items():
        assert row(study, source).ss == pytest.approx(table.loc[name, "sum_sq"])
        assert row(study, source).df == table.loc[name, "df"]
    assert not study.pooled
    assert row(study, "interaction").p == pytest.approx(table.loc["C(part):C(person)", "PR(>F)"])
    ms = {source: row(study, source).ms for source in names}
    assert row(study, "part").f == pytest.approx(ms["part"] / ms["interaction"])
    # Expected mean squares of the two-way random model (Montgomery, Design and Analysis of Experiments, 13.3).
    v = study.variance
    assert v.repeatability == pytest.approx(ms["repeatability"])
    assert v.interaction == pytest.approx((ms["interaction"] - ms["repeatability"]) / 3)
    assert v.reproducibility == pytest.approx((ms["person"] - ms["interaction"]) / 18)
    assert v.part == pytest.approx((ms["part"] - ms["interaction"]) / 9)
    assert study.u == pytest.approx(math.sqrt(v.repeatability + v.interaction + v.reproducibility))


def test_known_components_are_found():
    """Seeded: the mean of many studies meets the variances they were drawn from, within five standard errors or so.

    Pooling only what looks small takes about 3 % off the repeatability, whoever does it.
    """
    rng = np.random.default_rng(1)
    found = []
    for _ in range(2000):
        part, person = rng.normal(0, 1.5, (8, 1, 1)), rng.normal(0, 0.4, (1, 4, 1))
        v = gauge_study(part + person + rng.normal(0, 0.3, (8, 4, 3))).variance
        found.append((v.repeatability, v.reproducibility, v.part))
    assert np.mean(found, axis=0) == pytest.approx((0.09, 0.16, 2.25), rel=0.06)


@given(studies)
def test_sums_add_up_and_stay_finite(x):
    study = gauge_study(x)
    *parts, total = [r for r in study.anova if r.source != "pooled"]
    assert sum(r.ss for r in parts) == pytest.approx(total.ss)
    assert total.ss == pytest.approx(float(np.sum((x - x.mean()) ** 2)))
    assert sum(r.df for r in parts) == total.df == x.size - 1
    numbers = [study.u, study.share_of_study_variation, *vars(study.variance).values()]
    numbers += [n for r in study.anova for n in (r.ss, r.ms, r.f, r.p) if n is not None]
    assert np.isfinite(numbers).all() and min(numbers) >= 0
    assert study.share_of_study_variation <= 1


@given(studies, st.integers(-1000, 1000), st.sampled_from([-2.0, 0.5, 25.4]), st.randoms())
def test_unit_zero_and_order_do_not_matter(x, shift, factor, random):
    one = gauge_study(x)
    orders = [random.sample(range(size), size) for size in x.shape]
    other = gauge_study((factor * x + shift)[np.ix_(*orders)])
    assert other.u == pytest.approx(abs(factor) * one.u, rel=1e-6, abs=1e-9)
    assert other.pooled == one.pooled
    assert other.share_of_study_variation == pytest.approx(one.share_of_study_variation, rel=1e-6, abs=1e-9)


def test_repeats_that_never_differ():
    """A coarse gauge repeats itself exactly, but two persons disagree part by part: nothing to pool that away."""
    x = np.repeat(np.array([[1.0, 2.0], [4.0, 3.0], [2.0, 6.0]])[:, :, None], 2, axis=2)
    study = gauge_study(x)
    assert (study.interaction_p, study.pooled) == (0, False)
    assert study.variance.interaction > 0


def test_a_gauge_without_any_spread():
    x = np.repeat(np.array([1.0, 2.0, 3.0])[:, None], 4, axis=1).reshape(3, 2, 2)
    study = gauge_study(x)
    assert (study.u, study.distinct_categories, study.share_of_study_variation) == (0, None, 0)


def test_categories_count_with_1_41():
    """AIAG's rounded factor, where the square root of two would count one more."""
    repeats, part = np.array([-1.0, 1.0] * 4).reshape(1, 4, 2), np.arange(5.0).reshape(5, 1, 1)
    for size in np.arange(1, 9, 0.0005):
        study = gauge_study(size * part + repeats)
        ratio = math.sqrt(study.variance.part / study.variance.gauge)
        if int(1.41 * ratio) < int(math.sqrt(2) * ratio):
            assert study.distinct_categories == int(1.41 * ratio)
            return
    pytest.fail("the two factors never differed")


def readings(x):
    return [(f"part {i}", f"person {j}", v) for (i, j, _), v in np.ndenumerate(x)]


def test_readings_in_any_order_make_the_same_study():
    x = with_interaction()
    rows = readings(x)
    assert arrange(rows) == pytest.approx(x)
    assert gauge_study(arrange(rows[::-1])).u == pytest.approx(gauge_study(x).u)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([], "two parts and two persons"),
        ([("a", "x", 1), ("a", "y", 2)] * 2, "two parts and two persons"),
        ([("a", "x", 1), ("b", "x", 2)] * 2, "two parts and two persons"),
        ([("a", "x", 1), ("a", "y", 1), ("b", "x", 1), ("b", "y", 1)], "at least twice"),
        ([("a", "x", 1), ("a", "y", 1), ("b", "x", 1)] * 2, "equally often"),
        ([("a", "x", 1), ("a", "y", 1), ("b", "x", 1), ("b", "y", 1)] * 2 + [("a", "x", 1)], "equally often"),
    ],
)
def test_studies_that_are_not_crossed(rows, words):
    with pytest.raises(CannotCompute, match=words):
        arrange(rows)


@pytest.mark.parametrize(
    ("x", "words"),
    [
        (np.ones((3, 2, 2)), "all readings are the same|All readings are the same"),
        (np.full((3, 2, 2), math.nan), "ordinary"),
        (np.ones((3, 2)), "at least"),
        (np.ones((1, 2, 2)), "at least"),
    ],
)
def test_no_study_in_words(x, words):
    with pytest.raises(CannotCompute, match=words):
        gauge_study(x)
