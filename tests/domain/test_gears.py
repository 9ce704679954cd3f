"""The gear table by hand, and rotation ratios against the hunting-tooth identity."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.errors import CannotCompute
from service.domain.gears import Lines, gear_table, missing_lines, rotations
from tests.domain.shared_answers import shared

LINES = Lines(chainline_mm=45, ring_spacing_mm=8, cassette_line_mm=44, cog_pitch_mm=4, chainstay_mm=415)


@pytest.mark.parametrize("case", shared("gears"))
def test_shared_answers(case):
    asked = dict(case.inputs)
    gear = asked.pop("ring", None), asked.pop("cog", None)
    sizes = asked.pop("chain_links", None), asked.pop("pulley_teeth", None)
    bike = asked.pop("rings"), asked.pop("cogs"), asked.pop("circumference_mm")
    if "error" in case.expected:
        with pytest.raises(CannotCompute):
            gear_table(*bike, Lines(**asked), *sizes)
        return
    case.check({(line.ring, line.cog): line for line in gear_table(*bike, Lines(**asked), *sizes)}[gear])


def test_a_table_by_hand():
    """Arithmetic: 46/23 = 2, 2 x 2.1 m = 4.2 m; ring line 45 + 4 = 49, cog line 44: atan(-5/415) = -0.690 degrees."""
    table = gear_table([46, 33], [11, 23, 36], 2100, LINES, chain_links=110, pulley_teeth=12)
    assert [(gear.ring, gear.cog) for gear in table] == [(46, 36), (46, 23), (46, 11), (33, 36), (33, 23), (33, 11)]
    gear = table[1]
    assert (gear.ratio, gear.development_m) == (2, pytest.approx(4.2))
    assert gear.chain_angle_deg == pytest.approx(-0.690, abs=5e-4)
    assert gear.rotations == pytest.approx(
        {"crank": 1, "pedal_strokes": 2, "wheel": 2, "chain_loop": 0.418182, "pulley": 3.833333}, abs=1e-6
    )


def test_large_cog_is_inboard_and_small_cog_outboard():
    """Atan of (44 - 4 - 49)/415 and (44 + 4 - 49)/415 by hand: -1.242 and -0.138 degrees."""
    table = {(gear.ring, gear.cog): gear.chain_angle_deg for gear in gear_table([46, 33], [11, 23, 36], 2100, LINES)}
    assert table[46, 36] == pytest.approx(-1.2424, abs=5e-4)
    assert table[46, 11] == pytest.approx(-0.1381, abs=5e-4)
    assert table[33, 11] == pytest.approx(math.degrees(math.atan((48 - 41) / 415)))


def test_published_hunting_tooth(published):
    """16 teeth and 112 links meet again after 7 turns of the sprocket, when the loop has gone round once."""
    case = published("pe-hunting")
    sprocket_turns, loop_turns = case.expected["sprocket_revs"], case.expected["loop_revs"]
    turns = rotations(16, 16, chain_links=case.inputs["links"])
    assert turns["chain_loop"] * sprocket_turns == pytest.approx(loop_turns)


@given(st.integers(20, 60), st.integers(9, 52), st.integers(80, 130), st.integers(9, 16))
def test_teeth_that_pass_are_the_same_everywhere(ring, cog, links, pulley):
    turns = rotations(ring, cog, links, pulley)
    assert turns["wheel"] * cog == pytest.approx(ring)
    assert turns["chain_loop"] * links == pytest.approx(ring)
    assert turns["pulley"] * pulley == pytest.approx(ring)


def test_says_what_the_chain_angle_lacks():
    assert "chainline" in missing_lines([46, 33], Lines())
    assert "ring spacing" in missing_lines([46, 33], Lines(45, None, 44, 4, 415))
    assert missing_lines([40], Lines(45, None, 44, 4, 415)) is None
    assert "cog pitch" in missing_lines([40], Lines(45, None, 44, math.nan, 415))
    assert gear_table([46, 33], [11], 2100)[0].chain_angle_deg is None
    assert set(gear_table([40], [11], 2100)[0].rotations) == {"crank", "pedal_strokes", "wheel"}


@pytest.mark.parametrize(
    "call",
    [
        lambda: gear_table([], [11], 2100),
        lambda: gear_table([46], [], 2100),
        lambda: gear_table([46], [11], 0),
        lambda: gear_table([46], [11], math.nan),
        lambda: gear_table([46], [11], math.inf),
        lambda: rotations(46, 0),
        lambda: rotations(46, 11, 0),
    ],
)
def test_refuses_what_cannot_be(call):
    with pytest.raises(CannotCompute):
        call()
