"""The hanger fit against statsmodels' least squares, the closed form for four positions and scipy's distributions."""

import json
import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import chi2, ncx2

from service.domain.conformity import Band, judge
from service.domain.errors import CannotCompute
from service.domain.hanger import Tip, effect_on_indexing, fit, judge_deviation, same_hanger
from service.domain.hanger_words import clock_words
from tests.domain.shared_answers import shared

SQUARE = (12, 3, 6, 9)
gaps = st.floats(-50, 50)
clocks = st.integers(1, 12)


def tips(clock_positions, a=0.0, b=0.0, c=9.0):
    angles = [math.radians(clock * 30) for clock in clock_positions]
    pairs = zip(clock_positions, angles, strict=True)
    return [Tip(clock, c + a * math.cos(angle) + b * math.sin(angle)) for clock, angle in pairs]


@pytest.mark.parametrize("case", shared("hanger"))
def test_shared_answers(case):
    given_ = case.inputs
    readings = [Tip(tip["clock"], tip["gap_mm"]) for tip in given_["tips"]]
    if "error" in case.expected:
        with pytest.raises(CannotCompute):
            fit(readings, given_["radius_mm"], given_["u_mm"])
        return
    answer = fit(readings, given_["radius_mm"], given_["u_mm"])
    judgement = judge_deviation(answer, Band(None, given_["band_upper"]))
    effect = vars(effect_on_indexing(answer, **given_["drivetrain"])) if "drivetrain" in given_ else {}
    case.check(vars(answer) | vars(judgement) | effect)


def test_published_identities_for_four_readings(published):
    """Closed form: mean, half differences, amplitude and the closure rule top + bottom = left + right."""
    case = published("sn-four")
    answer = fit([Tip(clock, gap) for clock, gap in zip(SQUARE, case.inputs["y_0_90_180_270"], strict=True)], 311, 0.3)
    for field, found in (("mean", answer.c), ("cos", answer.a), ("sin", answer.b)):
        case.check(field, found)
    case.check("amplitude", answer.correction_mm)
    case.check("closure", answer.residual_mm)


@given(st.tuples(gaps, gaps, gaps, gaps))
def test_closed_form_of_four_positions(read):
    """a = (g12 - g6) / 2, b = (g3 - g9) / 2, and one leftover: residual = |g12 - g3 + g6 - g9| / 2."""
    twelve, three, six, nine = read
    answer = fit([Tip(clock, gap) for clock, gap in zip(SQUARE, read, strict=True)], 311, 0.3)
    assert answer.vertical_mm == pytest.approx(twelve - six, abs=1e-9)
    assert answer.fore_aft_mm == pytest.approx(three - nine, abs=1e-9)
    assert answer.deviation_mm == pytest.approx(math.hypot(twelve - six, three - nine), abs=1e-9)
    assert answer.residual_mm == pytest.approx(abs(twelve - three + six - nine) / 2, abs=1e-9)
    assert math.tan(math.radians(answer.tilt_deg)) == pytest.approx(answer.deviation_mm / 2 / 311, abs=1e-9)


@given(st.lists(clocks, min_size=3, max_size=12, unique=True), gaps, gaps, st.integers(1, 11))
def test_turning_the_clock_turns_the_answer(positions, a, b, hours):
    assume(fits(positions))
    before = fit(tips(positions, a, b), 311, 0.3)
    after = fit([Tip((tip.clock + hours) % 12, tip.gap_mm) for tip in tips(positions, a, b)], 311, 0.3)
    assert after.deviation_mm == pytest.approx(before.deviation_mm, abs=1e-6)
    if before.steepest_clock and after.steepest_clock:
        assert (after.steepest_clock - before.steepest_clock - hours + 6) % 12 == pytest.approx(6, abs=1e-4)


@given(st.lists(clocks, min_size=3, max_size=12, unique=True), gaps, gaps, st.floats(-100, 100))
def test_finds_a_bend_without_error_and_no_matter_where_the_gauge_stands(positions, a, b, c):
    assume(fits(positions))
    answer = fit(tips(positions, a, b, c), 311, 0.3)
    assert (answer.a, answer.b, answer.c) == pytest.approx((a, b, c), abs=1e-6)


def fits(positions):
    try:
        return fit(tips(positions), 311, 0.3).covariance is not None
    except CannotCompute:
        return False


@pytest.mark.parametrize(("positions", "limit"), [(SQUARE, 2.6), (range(1, 13), 1.55)])
def test_agreement_limit(positions, limit):
    """99 % point of the residual: root(chi2 / df), 2.6 u for four tips and 1.55 u for twelve (scipy.stats.chi2)."""
    freedom = len(positions) - 3
    exact = math.sqrt(chi2.ppf(0.99, freedom) / freedom)
    assert exact == pytest.approx(limit, abs=0.03)
    wobble = np.array([1 if n % 2 else -1 for n in range(len(positions))]) * math.sqrt(freedom / len(positions))
    for factor, agrees in ((0.999, True), (1.001, False)):
        read = [Tip(clock, 9 + 0.3 * exact * factor * w) for clock, w in zip(positions, wobble, strict=True)]
        answer = fit(read, 311, 0.3)
        assert answer.residual_mm == pytest.approx(0.3 * exact * factor, rel=1e-9)
        assert answer.agrees is agrees
        assert ("measure again" in answer.advice and "do not agree" in answer.advice) is not agrees


def test_perfect_hanger_reads_about_half_a_millimetre():
    """Mean of a Rayleigh length: 2 x 0.3 x root(2/4) x root(pi/2) = 0.53 mm; the interval starts at zero anyway."""
    assert 2 * 0.3 * math.sqrt(0.5) * math.sqrt(math.pi / 2) == pytest.approx(0.53, abs=0.005)
    answer = fit(tips(SQUARE, 0.5 / 2, 0), 311, 0.3)
    assert answer.deviation_interval_mm[0] == 0
    assert answer.steepest_clock is None
    assert "direction" in answer.why_not


def test_interval_errs_in_five_percent_at_any_true_bend():
    """Chance of an observed length whose interval holds the true one, added up by scipy's noncentral chi-square."""
    error = 2 * 0.3 * math.sqrt(0.5)
    seen = np.linspace(1e-6, 14, 5601)
    found = [fit(tips(SQUARE, length * error / 2, 0), 311, 0.3).deviation_interval_mm for length in seen]
    for true in (0.0, 0.3, 1.0, 1.64, 1.66, 2.5, 4.0, 8.0):
        inside = seen[[low <= true * error <= high for low, high in found]]
        assert np.all(np.diff(inside) < 0.003), "one stretch of observed lengths"
        chance = ncx2.cdf(inside[-1] ** 2, 2, true**2) - ncx2.cdf(inside[0] ** 2, 2, true**2)
        assert chance == pytest.approx(0.95, abs=0.002)


@given(st.floats(1.5, 300), st.floats(0.5, 20))
def test_far_from_zero_the_verdict_is_the_normal_one(deviation, limit):
    """Beyond 30 errors the noncentral chi-square is JCGM 106:2012, clause 7, to a hundredth."""
    answer = fit(tips(SQUARE, deviation / 2, 0), 311, 0.03)
    exact = judge_deviation(answer, Band(None, limit)).p_inside
    assert exact == pytest.approx(judge(deviation, answer.u_deviation_mm, Band(None, limit)).p_inside, abs=0.02)


def test_verdict_with_a_lower_limit_and_without_band():
    answer = fit(tips(SQUARE, 1.5, 0), 311, 0.3)
    between = judge_deviation(answer, Band(2, 4)).p_inside
    below, above = (judge_deviation(answer, band).p_inside for band in (Band(None, 2), Band(4, None)))
    assert between == pytest.approx(1 - below - above)
    assert judge_deviation(answer, Band(0, 4)) == judge_deviation(answer, Band(None, 4))
    assert judge_deviation(answer, None).verdict == "none"
    exact = fit(tips(SQUARE, 1.5, 0), 311, 0)
    assert judge_deviation(exact, Band(None, 3.1)).p_inside == 1
    assert judge_deviation(exact, Band(3.2, None)).verdict == "outside"


def test_direction_is_claimed_from_2_45_u_on():
    """Root of the 95 % point of chi-square with two degrees of freedom: 2.4477."""
    error = 0.3 * math.sqrt(0.5)
    assert math.sqrt(chi2.ppf(0.95, 2)) == pytest.approx(2.45, abs=0.003)
    assert fit(tips(SQUARE, 2.46 * error, 0), 311, 0.3).steepest_clock == pytest.approx(12)
    assert fit(tips(SQUARE, 2.44 * error, 0), 311, 0.3).steepest_clock is None


@pytest.mark.parametrize("clock", [1, 3, 5, 6, 7.5, 9, 11, 12])
def test_direction_interval_of_even_tips_is_the_arc_sine(clock):
    """Closed form for equal errors every way: asin(1.96 u / A) to either side (Fieller 1954)."""
    angle = math.radians(clock * 30)
    answer = fit(tips(SQUARE, 1.2 * math.cos(angle), 1.2 * math.sin(angle)), 311, 0.3)
    half = math.degrees(math.asin(1.959964 * 0.3 * math.sqrt(0.5) / 1.2)) / 30
    assert answer.steepest_clock == pytest.approx(clock)
    assert [(end - clock + 6) % 12 - 6 for end in answer.steepest_clock_interval] == pytest.approx(
        [-half, half], abs=1e-6
    )


def test_a_bend_that_turned_has_changed():
    before, after = fit(tips(SQUARE, 1.5, 0), 311, 0.3), fit(tips(SQUARE, -1.5, 0), 311, 0.3)
    assert before.deviation_mm == pytest.approx(after.deviation_mm)
    change = same_hanger(before, after)
    assert change.changed and change.size_mm == pytest.approx(6)
    assert change.vertical_change_mm == pytest.approx(-6)
    assert change.towards_clock == pytest.approx(6)


@given(gaps, gaps, st.lists(clocks, min_size=3, max_size=12, unique=True))
def test_change_test_is_chi_square(a, b, positions):
    """p against scipy.stats.chi2 and a matrix written out by hand."""
    assume(fits(positions))
    before, after = fit(tips(SQUARE), 311, 0.3), fit(tips(positions, a / 20, b / 20), 311, 0.3)
    step = np.array([after.a - before.a, after.b - before.b])
    total = np.array(before.covariance) + np.array(after.covariance)
    change = same_hanger(before, after)
    assert change.chi2 == pytest.approx(step @ np.linalg.inv(total) @ step, rel=1e-6, abs=1e-9)
    assert change.p == pytest.approx(chi2.sf(change.chi2, 2), abs=1e-12)
    assert change.changed is bool(change.p < 0.05)


def test_exact_readings_change_if_they_differ():
    before = fit(tips(SQUARE, 1, 0), 311, 0)
    assert not same_hanger(before, fit(tips(SQUARE, 1, 0), 311, 0)).changed
    moved = same_hanger(before, fit(tips(SQUARE, 1.01, 0), 311, 0))
    assert moved.changed and moved.chi2 is None and moved.p == 0
    with pytest.raises(CannotCompute):
        same_hanger(before, fit([Tip(12, 9), Tip(6, 8)], 311, 0.3))


def test_effect_on_the_indexing():
    """Plane geometry by hand: 1.5 mm at 311 mm over pitch radii 72.86 (36 teeth) and 20.55 mm (10 teeth)."""
    answer = fit(tips(SQUARE, 1.5, 0), 311, 0.3)
    effect = effect_on_indexing(answer, [10, 21, 36], 4.0, 0.2, 45)
    assert effect.index_spread_mm == pytest.approx(1.5 / 311 * (72.86 - 20.55), abs=2e-4)
    assert effect.index_spread_of_pitch == pytest.approx(effect.index_spread_mm / 4)
    assert effect.left_over_mm == pytest.approx(effect.index_spread_mm / 2)
    assert effect.trim_steps == pytest.approx(-1.5 / 311 * 45 / 0.2)  # bent in, so the correction is outboard
    assert effect_on_indexing(answer, [10, 36]).trim_steps is None
    assert effect_on_indexing(answer, [10, 36]).index_spread_of_pitch is None
    for cogs, pitch, step in (([], 4, 0.2), ([10, 36], 0, 0.2), ([10, 36], 4, 0), ([2], 4, 0.2)):
        with pytest.raises(CannotCompute):
            effect_on_indexing(answer, cogs, pitch, step)


def test_two_opposite_positions_say_what_is_missing():
    answer = fit([Tip(3, 8), Tip(9, 10), Tip(9, 10.1)], 311, 0.3)
    assert answer.fore_aft_mm == pytest.approx(-2.05)
    assert "read 6 and 12 as well" in answer.why_not
    assert "farther out at 9 than at 3" in answer.advice
    assert "no bend can be told" in fit([Tip(12, 8), Tip(6, 8.1)], 311, 0.3).advice
    assert "do not agree" in fit([Tip(12, 8), Tip(12, 12), Tip(6, 8)], 311, 0.3).advice
    with pytest.raises(CannotCompute):
        effect_on_indexing(answer, [10, 36], 4.0)


def test_advice_in_words():
    answer = fit(tips(SQUARE, 0, 2), 311, 0.3)
    assert "At 3 bring the arm in by 2.0 mm, or at 9 out by as much" in answer.advice
    assert "measure again" in answer.advice and "can break" in answer.advice
    assert "fourth" in fit(tips((12, 4, 8), 0, 2), 311, 0.3).advice
    assert [clock_words(c) for c in (12, 0.2, 1.5, 11.9, 6.26, 0.5)] == ["12", "12", "1:30", "12", "6:30", "12:30"]


anything = st.floats() | st.sampled_from([0.0, 6.0, 12.0, 3.0, 1e300, 1e-300, math.nan, math.inf])


@given(st.lists(st.builds(Tip, anything, anything), max_size=6), anything, anything)
def test_degenerate_input_gets_words_or_plain_numbers(readings, radius, u):
    try:
        answer = fit(readings, radius, u)
    except CannotCompute as error:
        assert error.reason.endswith(".")
        return
    json.dumps(vars(answer) | vars(judge_deviation(answer, Band(None, 2))), allow_nan=False)


@given(st.lists(st.builds(Tip, st.floats(0, 12), st.floats(-1000, 1000)), max_size=6), st.floats(0, 1000))
def test_legal_input_gets_words_or_plain_numbers(readings, u):
    try:
        answer = fit(readings, 311, u)
    except CannotCompute:
        return
    json.dumps(vars(answer) | vars(judge_deviation(answer, Band(1, 2))), allow_nan=False)
    if answer.covariance:
        json.dumps(vars(same_hanger(answer, fit(tips(SQUARE), 311, 0.3))), allow_nan=False)
