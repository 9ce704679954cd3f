"""Noise by counting and tapping against statsmodels and scipy, the published variance of a period, and simulations."""

import json
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.errors import CannotCompute
from service.domain.noise import Sounding, candidates_by_count, candidates_by_taps
from service.domain.noise_tapping import tapped_period
from service.domain.noise_words import NAMES
from tests.domain.shared_answers import shared

KNOWN = Sounding(46, 17, chain_links=112, pulley_teeth=12, cadence_rpm=80)


def answer(inputs):
    known = {key: inputs[key] for key in vars(KNOWN) if key in inputs}
    sounding = Sounding(**inputs["gear"], **known)
    if "count_in_ten_turns" in inputs:
        return candidates_by_count(inputs["count_in_ten_turns"], sounding)
    return candidates_by_taps(inputs["taps_ms"], sounding, inputs.get("crank_taps_ms"))


@pytest.mark.parametrize("case", shared("noise"))
def test_shared_answers(case):
    if "error" in case.expected:
        with pytest.raises(CannotCompute):
            answer(case.inputs)
        return
    case.check(answer(case.inputs))


def test_published_variance_of_a_period(published):
    """Variance of a slope on 12 unit steps is 12 sigma2 / (n (n2 - 1)); sigma is set by scaling the residuals to it."""
    case = published("pe-olsindex")
    n, sigma = case.inputs["n"], case.inputs["sigma"]
    x = np.arange(n) - (n - 1) / 2
    wobble = np.array([1.0, -1.0] * (n // 2))
    basis = np.linalg.qr(np.column_stack([np.ones(n), x, x**2]))[0]
    wobble -= basis @ (basis.T @ wobble)
    wobble *= 10 * sigma * math.sqrt((n - 3) / (wobble @ wobble))
    found = tapped_period(1000 + 700 * np.arange(n) + wobble)
    assert found.period_ms == pytest.approx(700)
    assert (found.u_period_ms / 10) ** 2 == pytest.approx(case.expected["var_slope"], rel=1e-9)


@given(
    period=st.floats(300, 3000),
    skips=st.lists(st.sampled_from([1, 1, 1, 2, 3]), min_size=5, max_size=30),
    start=st.floats(0, 1e12),
)
def test_even_taps_give_their_period_whatever_was_missed(period, skips, start):
    if 1 not in skips:
        skips = [1, *skips]
    if sum(skip == 1 for skip in skips) < len(skips) / 3:
        return
    found = tapped_period(start + period * np.concatenate([[0], np.cumsum(skips)]))
    assert found.period_ms == pytest.approx(period, rel=1e-3)


def test_a_bouncing_finger_changes_nothing():
    taps = [0, 700, 1400, 2110, 2790, 3500]
    assert tapped_period(sorted([*taps, 1430, 2820])) == tapped_period(taps)


def test_a_steady_change_of_tempo_is_no_scatter():
    """Even acceleration leaves the mean period exact and no residual; only the clock's floor of 1 ms is left."""
    index = np.arange(12)
    found = tapped_period(700 * index + 2.0 * index**2)
    assert found.period_ms == pytest.approx(700 + 2 * 11)
    assert found.u_period_ms == pytest.approx(math.sqrt(12 / (12 * 143)))


def test_a_wandering_tempo_widens():
    index = np.arange(16)
    wandering = 700 * index + 60 * np.sin(index * 2 * math.pi / 16)
    steady = 700 * index + 60 * np.cos(index * math.pi)
    assert tapped_period(wandering).period_ms == pytest.approx(wandering[-1] / 15)
    assert tapped_period(wandering).u_period_ms > 0.4 / 15
    assert tapped_period(steady).period_ms == pytest.approx(700, abs=2)


def test_counts_expected_by_hand():
    """460 teeth pass in ten turns: over 17 for the wheel, 112 for the chain, 12 for a pulley; two strokes a turn."""
    expected = {c.part: c.expected_count for c in candidates_by_count(12, KNOWN).candidates}
    by_hand = {"crank": 10, "pedal_strokes": 20, "wheel": 27.0588, "chain_loop": 4.1071, "pulley": 38.3333}
    assert expected == pytest.approx(by_hand | {"other": None}, abs=1e-4)


def test_each_part_is_found_by_its_own_count():
    for part, count in (("crank", 10), ("pedal_strokes", 20), ("wheel", 27), ("chain_loop", 4), ("pulley", 38)):
        found = candidates_by_count(count, KNOWN)
        assert found.candidates[0].part == part and found.told_apart
        assert NAMES[part] in found.advice


@given(st.floats(1, 1000), st.integers(20, 60), st.integers(9, 52), st.none() | st.booleans())
def test_probabilities_add_up(count, ring, cog, coasting):
    found = candidates_by_count(count, Sounding(ring, cog, 112, 12, coasting=coasting))
    assert sum(c.probability for c in found.candidates) == pytest.approx(1)
    assert [c.probability for c in found.candidates] == sorted((c.probability for c in found.candidates), reverse=True)
    if coasting:
        assert {c.part for c in found.candidates} == {"wheel", "other"}
    json.dumps([vars(c) for c in found.candidates], allow_nan=False)


def test_a_likely_part_is_not_yet_told_apart():
    """23 counted between 20 strokes and 26 wheel turns (34/13): the wheel leads with less than 0.9."""
    found = candidates_by_count(23, Sounding(34, 13, 112, 12))
    assert found.candidates[0].part == "wheel" and 0.5 < found.candidates[0].probability < 0.9
    assert not found.told_apart and found.not_told_apart[0] == "wheel"


def test_what_cannot_be_told_apart_is_said():
    found = candidates_by_count(20, Sounding(34, 17, 112, 12))
    assert set(found.not_told_apart) == {"wheel", "pedal_strokes"} and not found.told_apart
    assert "another gear" in found.advice
    fits_nothing = candidates_by_taps([n * 60_000 / 80 / 1.4 for n in range(12)], KNOWN)
    assert fits_nothing.candidates[0].part == "other" and not fits_nothing.told_apart
    assert "none of these parts" in fits_nothing.advice


def test_advice_names_what_is_too_fast_and_what_coasting_says():
    found = candidates_by_taps([n * 750 for n in range(12)], KNOWN)
    assert "pulley" not in {c.part for c in found.candidates} and "turn of a pulley" in found.advice
    assert "load went too" in candidates_by_count(20, Sounding(46, 17, coasting=False)).advice
    assert "crank, chain and pulleys are out" in candidates_by_count(27, Sounding(46, 17, coasting=True)).advice
    alone = candidates_by_taps([n * 750 for n in range(12)], Sounding(46, 17))
    assert alone.ratio_to_crank is None and alone.why_not["ratio_to_crank"].endswith(".")


@pytest.mark.parametrize(
    "known",
    [
        Sounding(0, 17, cadence_rpm=80),
        Sounding(46, 17, cadence_rpm=0),
        Sounding(46, 17, cadence_rpm=math.nan),
        Sounding(46, 17, speed_kmh=0, circumference_mm=2100),
        Sounding(46, 17, chain_links=0, cadence_rpm=80),
    ],
)
def test_refuses_what_cannot_be(known):
    for compute in (
        lambda: candidates_by_taps([0, 700, 1400, 2100, 2800], known),
        lambda: candidates_by_count(9, known),
    ):
        with pytest.raises(CannotCompute):
            compute()


@pytest.mark.parametrize("count", [0, -3, 0.5, 1001, math.nan, math.inf])
def test_refuses_what_is_no_count(count):
    with pytest.raises(CannotCompute):
        candidates_by_count(count, KNOWN)


times = st.floats() | st.floats(0, 20_000) | st.integers(0, 5000).map(float)


@given(st.lists(times, max_size=30), st.lists(times, max_size=30) | st.none(), st.booleans())
def test_degenerate_taps_get_words_or_plain_numbers(taps, crank, in_order):
    if in_order:
        taps = sorted(tap for tap in taps if not math.isnan(tap))
    try:
        found = candidates_by_taps(taps, KNOWN, crank)
    except CannotCompute as error:
        assert error.reason.endswith(".")
        return
    json.dumps(vars(found) | {"candidates": [vars(c) for c in found.candidates]}, allow_nan=False)
