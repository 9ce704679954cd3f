"""The rule's geometry: limits at 30 and 70 % of every rule, the rest by proportion.

The expected places of the first cases are those of the design's own drawing of this page, worked out there by hand.
"""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from service.record.rule import rule, scale_of, shown, verdict


def value(number, lower=None, upper=None, u=0.0, unit="mm", whisker=None, form="value", **more):
    ends = whisker if whisker is not None else ([number - 1.645 * u, number + 1.645 * u] if u else None)
    rule_of = {"minor": 0.1, "major": 0.5, "digits": 1, "span": None, "zero": True, "signed": False} | more.pop(
        "rule", {}
    )
    band = None if lower is None and upper is None else {"lower": lower, "upper": upper, "target": None}
    return {
        "label": "Upper pulley to largest cog", "value": number, "unit": unit, "band": band, "whisker": ends,
        "form": form, "verdict": "inside", "rule": rule_of, "low": None, "high": None,
    } | more  # fmt: skip


def places(drawn: str, name: str) -> list[float]:
    """Places in percent at which marks of a class stand."""
    return [float(x) for x in re.findall(rf'<svg x="([\d.]+)%" overflow="visible"><path class="{name}"', drawn)]


def line(drawn: str) -> tuple[float, float]:
    found = re.search(r'class="wsk" x1="([\d.]+)%" x2="([\d.]+)%"', drawn)
    return float(found[1]), float(found[2])


@pytest.mark.parametrize(
    ("given", "tick", "whisker"),
    [
        (value(5.3, 4.5, 6, 0.2), 51.33, (42.56, 60.11)),
        (value(1.4, 1, 2, 0.15), 46.00, (36.13, 55.87)),
        (value(0.1, -0.5, 0.5, 0.15), 54.00, (44.13, 63.87)),
        (value(0.45, None, 0.5, 0.08), 63.00, (44.58, 81.42)),
        (value(0.12, None, 0.5, 0.05, "%"), 16.80, (5.29, 28.31)),
        (value(0.08, None, 0.2, 0.03), 28.00, (10.73, 45.27)),
        (value(2.6, 1, None, 0.1), 78.00, (73.06, 82.94)),
    ],
)
def test_places_as_drawn_in_the_design(given, tick, whisker):
    drawn = rule(given)
    assert places(drawn, "tick") == [pytest.approx(tick, abs=0.01)]
    assert line(drawn) == (pytest.approx(whisker[0], abs=0.01), pytest.approx(whisker[1], abs=0.01))
    ElementTree.fromstring(drawn)


@pytest.mark.parametrize(("lower", "upper"), [(4.5, 6), (-0.5, 0.5), (None, 0.2), (1.0, None), (-2, 2)])
def test_limits_stand_at_their_two_places(lower, upper):
    scale = scale_of(value(1.0, lower, upper))
    if lower is not None:
        assert scale.place(lower) == pytest.approx(30)
    if upper is not None:
        assert scale.place(upper) == pytest.approx(70)


def test_a_share_that_must_be_high_ends_at_a_hundred():
    scale = scale_of(value(90, 80, None, unit="%"))
    assert (scale.place(80), scale.place(100)) == (30, 70)


@pytest.mark.parametrize(("number", "side"), [(9.0, 100.0), (0.5, 0.0)])
def test_a_value_far_off_stands_broken_at_the_end(number, side):
    drawn = rule(value(number, 4.5, 6, 0.2))
    assert places(drawn, "tick") == [side]
    assert 'class="gap"' in drawn
    assert "nan" not in drawn and max(line(drawn)) <= 100 and min(line(drawn)) >= 0


def test_a_hangers_whisker_is_not_symmetric_and_stops_at_zero():
    drawn = rule(value(0.5, None, 2, whisker=[0.0, 1.24], form="hanger", low=0.0, high=1.3))
    low, high = line(drawn)
    assert low == 0 and high == pytest.approx(1.24 * 35)
    assert places(drawn, "tick") == [pytest.approx(17.5)]


def test_a_go_no_go_reading_is_a_leaf_between_its_feelers():
    given = value(5.25, 4.5, 6, form="interval", low=5.0, high=5.5, whisker=[5.0, 5.5])
    drawn = rule(given)
    assert 'class="leaf"' in drawn and 'class="tick"' not in drawn and 'class="wsk"' not in drawn
    assert places(drawn, "lw") == [pytest.approx(43.33, abs=0.01), pytest.approx(56.67, abs=0.01)]
    assert shown(given) == "5–5.5"


def test_graduations_stay_readable():
    drawn = rule(value(300, None, 500, 7, "kPa", rule={"minor": 1, "major": 50, "digits": 0}))
    assert drawn.count("M", drawn.index('class="grad"')) < 140


def test_without_a_band_there_is_no_rule():
    assert scale_of(value(5)) is None
    assert rule(value(5)) == ""


def test_names_from_the_book_are_escaped():
    drawn = rule(value(5, 4, 6, label='<img src=x onerror="alert(1)">'))
    assert "<img" not in drawn
    ElementTree.fromstring(drawn)


@pytest.mark.parametrize("word", ["inside", "borderline", "outside"])
def test_a_verdict_is_a_word_and_a_shape_that_faces_its_side(word):
    high = verdict(value(5.9, 4.5, 6) | {"verdict": word})
    low = verdict(value(4.6, 4.5, 6) | {"verdict": word})
    assert word in high and "<path" in high
    assert "scale(-1 1)" in low and "scale(-1 1)" not in high


def test_nothing_in_it_needs_a_style_of_its_own():
    """The page's policy refuses style attributes."""
    assert "style=" not in rule(value(9, 4.5, 6, 0.2)) + verdict(value(4.6, 4.5, 6))
