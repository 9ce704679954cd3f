"""Chain length, cut, capacity and elongation against handbook tables and tangents found numerically."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.chain import elongation, links_over, pitch_radius, size_chain
from service.domain.errors import CannotCompute
from tests.domain.shared_answers import shared

teeth = st.integers(9, 60)


@pytest.mark.parametrize("case", shared("chain"))
def test_shared_answers(case):
    given_ = dict(case.inputs)
    measured = given_.pop("measured", None)
    if "error" in case.expected:
        with pytest.raises(CannotCompute):
            elongation(**measured) if measured else size_chain(**given_)
    elif measured:
        case.check({"elongation_percent": elongation(**measured)})
    else:
        case.check(size_chain(**given_))


def test_published_pitch_diameters(published):
    """Machinery's Handbook and ISO 606: pitch diameter of a sprocket for unit pitch."""
    case = published("ch-pd-b29")
    case.check("PD", [2 * pitch_radius(z) / 12.7 for z in case.inputs["z"]])


def test_published_length(published):
    """Shigley, ch. 17: 17 and 34 teeth, 25 pitches apart, by the handbook's approximate form; ours is the exact one."""
    case = published("ch-length-shigley")
    given_ = case.inputs
    exact = links_over(given_["N2"], given_["N1"], given_["C_pitches"] * 12.7)
    assert exact == pytest.approx(case.expected["L"], abs=0.01)


def test_published_elongation(published):
    case = published("ch-elongation")
    case.check("pct", [elongation(24, 304.8 + 25.4 / 16), elongation(24, 304.8 + 25.4 / 8)])


@given(teeth, teeth, st.floats(380, 480))
def test_agrees_with_the_handbook_form(ring, cog, centre):
    """Shigley, ch. 17: 2C/p + (z1 + z2)/2 + ((z1 - z2)/2 pi)2 p/C, to well under a tenth of a link."""
    handbook = 2 * centre / 12.7 + (ring + cog) / 2 + ((ring - cog) / (2 * math.pi)) ** 2 * 12.7 / centre
    assert links_over(ring, cog, centre) == pytest.approx(handbook, abs=0.05)


@given(teeth, teeth, st.floats(400, 450), st.floats(0, 40))
def test_same_either_way_round_and_longer_when_farther(ring, cog, centre, more):
    assert links_over(ring, cog, centre) == pytest.approx(links_over(cog, ring, centre))
    assert links_over(ring, cog, centre + more) >= links_over(ring, cog, centre)


@given(teeth, teeth, st.floats(400, 450), st.integers(0, 4))
def test_cut_is_even_and_long_enough(ring, cog, centre, pairs):
    sized = size_chain([ring], [cog], centre, allowance_links=2 * pairs)
    assert sized.links_to_cut % 2 == 0
    assert 0 <= sized.links_to_cut - 2 * pairs - sized.exact_links + 1e-6 < 2.01


@given(st.integers(10, 30), st.integers(26, 38))
def test_rounding_costs_no_links(half_teeth, half_links):
    """Equal sprockets n pitches apart: the length is exactly 2 n + z, an even number, and that is what is cut."""
    teeth, pitches = 2 * half_teeth, half_links
    sized = size_chain([teeth], [teeth], round(pitches * 12.7, 1), allowance_links=0)
    assert sized.links_to_cut == 2 * pitches + teeth


def test_says_what_is_missing_and_what_to_check():
    sized = size_chain([40], [10, 50], 430)
    assert sized.capacity_ok is None and sized.why_not["capacity_ok"].endswith(".")
    assert sized.max_cog_ok is None and "max_cog_ok" in sized.why_not
    assert "maker" in sized.advice and "Never cut by numbers alone" in sized.advice
    assert "maker" not in size_chain([46, 33], [10, 36], 415).advice
    assert "maker" not in size_chain([40], [10, 50], 430, allowance_links=4).advice


@pytest.mark.parametrize(
    "call",
    [
        lambda: size_chain([], [10], 415),
        lambda: size_chain([46], [], 415),
        lambda: size_chain([46], [36], math.nan),
        lambda: size_chain([46], [36], math.inf),
        lambda: size_chain([46], [36], 0),
        lambda: size_chain([46], [36], 415, growth_mm=-1),
        lambda: size_chain([46], [36], 415, growth_mm=math.nan),
        lambda: size_chain([46], [2], 415),
        lambda: size_chain([46], [36], 415, allowance_links=1),
        lambda: size_chain([46], [36], 415, allowance_links=-2),
        lambda: elongation(0, 152.4),
        lambda: elongation(12, math.nan),
        lambda: elongation(12, math.inf),
        lambda: elongation(12, 100),
    ],
)
def test_refuses_what_cannot_be(call):
    with pytest.raises(CannotCompute):
        call()
