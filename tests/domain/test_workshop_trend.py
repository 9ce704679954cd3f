"""One quantity over all jobs: the charts of the handbook reached from readings, and words for what is missing."""

import numpy as np
import pytest

from service.domain.conformity import Band
from service.domain.workshop_trend import BenchValue, first_values, read_workshop_trend


def bench(values):
    return [BenchValue(f"job {i}", i, v) for i, v in enumerate(values)]


def test_the_first_bench_value_of_each_job():
    """What was measured after adjusting does not enter; jobs stand in the order of their first reading."""
    readings = [
        BenchValue("b", 3, 4.0),
        BenchValue("a", 1, 7.0),
        BenchValue("a", 2, 5.0),
        BenchValue("b", 4, 5.0),
        BenchValue("c", 3, 6.0),
    ]
    assert [(r.job, r.value) for r in first_values(readings)] == [("a", 7.0), ("b", 4.0), ("c", 6.0)]


def test_published_flowrate(published):
    """NIST/SEMATECH e-Handbook 6.3.2.2, each value a job."""
    case = published("cc-imr-nist")
    trend = read_workshop_trend(bench(case.inputs["x"])[::-1], [], None)
    case.check("ucl", trend.individuals.upper)
    case.check("lcl", trend.individuals.lower)
    assert [r.value for r in trend.first] == case.inputs["x"]
    # The weighted chart stands on the same level and sigma: 3 σ √(0.3 / 1.7), closed form.
    half = 3 * trend.individuals.sigma * (0.3 / 1.7) ** 0.5
    assert (trend.weighted.lower, trend.weighted.upper) == pytest.approx((50.81 - half, 50.81 + half))


def test_zone_rules_only_on_request():
    values = list(np.random.default_rng(1).normal(5, 0.1, 20)) + [5.25] * 9
    assert read_workshop_trend(bench(values), [], None).zones is None
    assert read_workshop_trend(bench(values), [], None, zones=True).zones


def test_capability_of_what_was_handed_over():
    handed = [5.0, 5.1, 4.9, 5.2, 5.0, 5.1, 4.8, 5.0, 5.1, 5.0]
    trend = read_workshop_trend(bench([4, 7, 6, 5, 3, 6]), handed, Band(4.5, 6))
    assert trend.capability.n == 10
    assert trend.capability.mean == pytest.approx(np.mean(handed))


@pytest.mark.parametrize("zones", [False, True])
@pytest.mark.parametrize("values", [[], [5.0], [5.0] * 12, [5.0, float("nan"), 4.0, 3.0, 4.0]])
def test_words_for_what_is_missing(values, zones):
    trend = read_workshop_trend(bench(values), [], None, zones)
    for part in ("individuals", "weighted", "zones", "capability"):
        assert getattr(trend, part) is None
        assert len(trend.why_not[part]) > 10
