"""Then and now side by side: Holm's method against statsmodels, the hanger as a vector, steps against prediction."""

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from service.domain.hanger import Tip, fit
from service.domain.hanger_effect import indexing_effect
from service.domain.review import NOT_AT_HANDOVER, NOT_ON_ARRIVAL, Measured, compare, consistency, in_words
from tests.domain.holm_reference import holm_by_statsmodels

readings = st.dictionaries(
    st.sampled_from([("gap", None), ("rub", (46, 11)), ("rub", (46, 36)), ("runout", None), ("trim", None)]),
    st.tuples(st.floats(-10, 10), st.floats(-10, 10), st.sampled_from([0.05, .2, 1.0])), min_size=1)


@given(readings)
def test_all_changes_together_are_judged_by_holm(pairs):
    """Adjusted p against statsmodels' holm over scipy's two-sided normal p."""
    then = {key: Measured(a, u) for key, (a, _, u) in pairs.items()}
    now = {key: Measured(b, u) for key, (_, b, u) in pairs.items()}
    found = compare(then, now)
    p = [2 * stats.norm.sf(abs(b - a) / hypot(u, u)) for a, b, u in pairs.values()]
    real, adjusted = holm_by_statsmodels(p)
    for c, want, is_real in zip(found, adjusted, real, strict=True):
        assert c.p_together == pytest.approx(want, abs=1e-12)
        assert c.real == is_real or want == pytest.approx(.05)


def test_one_small_change_among_many_is_not_real():
    """2.2 standard uncertainties: real alone (p = 0.028), not among 25 unchanged ones (Holm: 25 x 0.028)."""
    then = {(f"q{n}", None): Measured(5.0, .2) for n in range(25)}
    now = then | {("q3", None): Measured(5.0 + 2.2 * hypot(.2, .2), .2)}
    alone, many = compare({("q3", None): then["q3", None]}, {("q3", None): now["q3", None]}), compare(then, now)
    assert alone[0].real is True
    assert not any(c.real for c in many)
    assert many[3].p_together == pytest.approx(25 * 2 * stats.norm.sf(2.2))


def test_a_setting_has_changed_if_it_differs_and_is_no_test():
    then = {("trim", None): Measured(3.0, 0.0), ("links", None): Measured(110.0, 0.0), ("gap", None): Measured(5.0, .2)}
    now = {("trim", None): Measured(4.0, 0.0), ("links", None): Measured(110.0, 0.0), ("gap", None): Measured(5.6, .2)}
    trim, links, gap = compare(then, now)
    assert (trim.delta, trim.real, trim.p_together) == (1.0, True, None)
    assert (links.real, links.p_together) == (False, None)
    assert gap.p_together == pytest.approx(gap.p), "a family of one"


def test_what_is_missing_is_said():
    then = {("a", None): Measured(1.0, .1), ("b", None): Measured(None, why_not="adjusted since measured")}
    now = {("b", None): Measured(1.0, .1), ("c", None): Measured(1.0, .1)}
    assert [(c.key[0], c.why_not, c.real) for c in compare(then, now)] == [
        ("a", NOT_ON_ARRIVAL, None), ("b", "adjusted since measured", None), ("c", NOT_AT_HANDOVER, None)]
    assert compare({}, {}) == ()


def test_gears_are_never_mixed():
    then, now = {("rub", (46, 11)): Measured(3.0, .3)}, {("rub", (46, 36)): Measured(9.0, .3)}
    assert [c.delta for c in compare(then, now)] == [None, None]


def hanger(twelve: float, three: float, six: float, nine: float) -> Measured:
    fitted = fit([Tip(12, twelve), Tip(3, three), Tip(6, six), Tip(9, nine)], 311, .3)
    return Measured(fitted.deviation_mm, fitted.u_deviation_mm, hanger=fitted)


def test_a_bend_that_turned_has_changed_though_its_size_has_not():
    """3 mm at 12 o'clock then, 3 mm at 6 now: the size is the same, the vector moved by 2 x 3 / 2 (by hand)."""
    key = ("hanger_deviation", None)
    found = compare({key: hanger(11.5, 10, 8.5, 10)}, {key: hanger(8.5, 10, 11.5, 10)})[0]
    assert found.delta == pytest.approx(0, abs=1e-9)
    assert found.real is True
    assert found.vertical[0] == pytest.approx(-6)
    assert found.vertical[1] == pytest.approx(2 * .3 * (2 / 4) ** .5 * 2 ** .5), "12 minus 6 of four tips, twice"


@pytest.mark.parametrize(("needed", "agrees"), [(-3.0, True), (-2.5, True), (3.0, False), (-8.0, False)])
def test_hanger_and_steps_agree(needed, agrees):
    """4 mm at the rim, pulley 70 mm down, R 311: 2 / 311 x 70 = 0.45 mm, 3.0 steps of 0.15 outboard (by hand)."""
    effect = indexing_effect(2.0, 311, [10, 36], 3.6, .15, 70)
    assert effect.trim_steps == pytest.approx(-3.0, abs=.01)
    found = consistency((4.0, .6), effect.trim_steps / 4, needed, .5)
    assert found.predicted == pytest.approx(-3.0, abs=.01)
    assert found.u_predicted == pytest.approx(.45, abs=.01)
    assert found.agrees is agrees
    assert "3 steps outboard" in found.words


def test_corrections_in_words():
    assert in_words(1.0) == "1 step inboard"
    assert in_words(-.5, "turn") == "0.5 turns outboard"
    assert in_words(-.02) == "no correction"
