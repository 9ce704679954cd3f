"""The calculators through the API: the answers that service and phone share, and words where there is no answer."""

from __future__ import annotations

import math

import pytest

from tests.conftest import BIKE
from tests.domain.shared_answers import Shared, shared

TIPS = [{"clock": clock, "gap_mm": gap} for clock, gap in ((12, 10.5), (3, 9.0), (6, 7.5), (9, 9.0))]
GEAR = {"ring": 46, "cog": 17}


def calculate(phone, name: str, body: dict) -> dict:
    answer = phone.post(f"/calculators/{name}", body)
    assert answer.status_code == 200, answer.json
    reasons = answer.json["why_not"]
    assert all(reason.endswith(".") for reason in reasons.values())
    return answer.json


def asked(name: str, case: Shared) -> dict:
    """The request of a shared case: some of them carry what only the function underneath takes."""
    inputs = dict(case.inputs)
    inputs.pop("band_upper", None)
    inputs.pop("factor_nm", None)
    if "wrench_max_nm" in inputs:
        inputs["wrench_max"] = inputs.pop("wrench_max_nm")
    if name == "chain" and "rings" not in inputs:
        inputs |= {"rings": [46, 33], "cogs": [11, 36], "chainstay_mm": 415}
    return inputs


def cases():
    for file in ("hanger", "chain", "torque", "conformity", "noise", "rub_window"):
        for case in shared(file):
            (values,) = case.values
            if "low" in values.inputs or values.inputs.get("chainstay_mm", 415) < 200:
                continue  # go / no-go pairs have no calculator; so short a chainstay breaks the schema
            if values.inputs.keys() & {"wrench_u_nm", "wrench_min_nm"}:
                continue  # what a wrench's certificate says comes with an entry's gauge
            yield pytest.param(file.replace("_", "-"), values, id=f"{file}: {case.id}")


@pytest.mark.parametrize(("name", "case"), list(cases()))
def test_shared_answers(owner, name, case):
    answer = calculate(owner, name, asked(name, case))
    if "error" in case.expected:
        lacking = "elongation_percent" if name == "chain" else next(key for key in answer if key != "why_not")
        assert answer[lacking] is None and answer["why_not"][lacking]
        return
    expected = {key: value for key, value in case.expected.items() if key in answer}
    # The rest is asked elsewhere: the verdict of a hanger with its reading, the axis in words.
    assert expected.keys() >= case.expected.keys() - {"verdict", "p_inside", "axis_mm", "u_axis_mm"}
    Shared(case.id, case.inputs, expected, case.tolerance).check(answer)


def test_every_null_has_its_reason(owner):
    for name, body in {
        "hanger": {"tips": TIPS[:3], "radius_mm": 311},
        "chain": {"rings": [40], "cogs": [10, 50], "chainstay_mm": 430},
        "gears": {"rings": [40], "cogs": [10, 50], "circumference_mm": 2200},
        "torque": {"target": 5, "unit": "N·m"},
        "conformity": {"value": 5, "u": 0.1},
        "noise": {"gear": GEAR, "count_in_ten_turns": 20},
        "rub-window": {"cogs": [{"cog": c, "in_steps": 5, "out_steps": 4} for c in (10, 21, 36)], "step_mm": 0.2},
    }.items():
        answer = calculate(owner, name, body)
        missing = {key for key, value in answer.items() if value is None}
        assert missing <= answer["why_not"].keys(), name


def test_hanger_takes_the_drivetrain_of_a_bike(owner):
    drivetrain = BIKE["drivetrain"] | {"cog_pitch_mm": 3.95, "trim_step_mm": 0.2}
    answer = calculate(owner, "hanger", {"tips": TIPS, "radius_mm": 311, "drivetrain": drivetrain})
    assert answer["deviation_mm"] == pytest.approx(3)
    assert answer["index_spread_mm"] == pytest.approx(1.5 / 311 * (72.86 - 20.55), abs=2e-4)
    assert answer["trim_steps"] < 0 and "At 12 bring the arm in by 1.5 mm" in answer["advice"]


def test_two_opposite_tips_give_one_direction(owner):
    answer = calculate(owner, "hanger", {"tips": [TIPS[0], TIPS[2]], "radius_mm": 311})
    assert answer["vertical_mm"] == pytest.approx(3) and answer["deviation_mm"] is None
    assert "read 3 and 9 as well" in answer["why_not"]["deviation_mm"]
    assert answer["residual_mm"] is None and "check the others" in answer["why_not"]["agrees"]


def test_cage_and_gears_by_hand(owner):
    """Closed forms: atan(1 / 57.29) is a degree; 46/23 turns of 2.1 m are 4.2 m; atan(-5/415) is -0.690 degrees."""
    cage = calculate(owner, "cage", {"front_gap_mm": 2, "tail_gap_mm": 1, "cage_length_mm": 57.29})
    assert cage["rotation_deg"] == pytest.approx(1, abs=1e-4)
    assert cage["u_rotation_deg"] == pytest.approx(math.degrees(0.15 / 57.29), rel=1e-3)
    lines = {"chainline_mm": 45, "ring_spacing_mm": 8, "cassette_line_mm": 44, "cog_pitch_mm": 4, "chainstay_mm": 415}
    body = {"rings": [46, 33], "cogs": [11, 23, 36], "circumference_mm": 2100, "chain_links": 110, **lines}
    line = calculate(owner, "gears", body)["table"][1]
    assert (line["ratio"], line["development_m"]) == (2, pytest.approx(4.2))
    assert line["chain_angle_deg"] == pytest.approx(-0.690, abs=5e-4)
    assert line["rotations"] == {"crank": 1, "pedal_strokes": 2, "wheel": 2, "chain_loop": pytest.approx(46 / 110)}


def test_length_and_elongation_answer_apart(owner):
    """A chainstay that cannot be leaves the elongation, and a miscount leaves the length."""
    body = {"rings": [120], "cogs": [120], "chainstay_mm": 200, "measured": {"links": 24, "length_mm": 306.324}}
    answer = calculate(owner, "chain", body)
    assert answer["elongation_percent"] == pytest.approx(0.5) and answer["exact_links"] is None
    assert "elongation_percent" not in answer["why_not"] and "chainstay" in answer["why_not"]["exact_links"]


def test_torque_outside_the_range_of_the_wrench(owner):
    body = {"target": 5, "unit": "N·m", "applied": 5, "wrench_max": 60}
    answer = calculate(owner, "torque", body)
    assert answer["verdict"] is None and "good from 12 to 60 N·m" in answer["why_not"]["verdict"]
    assert answer["set_to"] == 5


def test_noise_takes_taps_or_a_count(owner):
    for more in ({}, {"taps_ms": [0, 700, 1400, 2100], "count_in_ten_turns": 20}):
        answer = calculate(owner, "noise", {"gear": GEAR, **more})
        assert answer["candidates"] is None and "either" in answer["why_not"]["candidates"]


@pytest.mark.parametrize(
    ("name", "body", "pointer"),
    [
        ("hanger", {"tips": TIPS}, "/radius_mm"),
        ("hanger", {"tips": [{"clock": 13, "gap_mm": 1}], "radius_mm": 311}, "/tips/0/clock"),
        ("torque", {"target": 5, "unit": "N"}, "/unit"),
        ("conformity", {"value": 5, "u": -0.1}, "/u"),
        ("conformity", {"value": "5", "u": 0.1}, "/value"),
        ("noise", {"taps_ms": [0, 1]}, "/gear"),
        ("rub-window", {"cogs": [], "step_mm": 0}, "/step_mm"),
        ("chain", {"rings": [46], "cogs": [36], "chainstay_mm": 415, "other": 1}, "/other"),
    ],
)
def test_what_breaks_the_schema_is_named(owner, name, body, pointer):
    answer = owner.post(f"/calculators/{name}", body)
    assert answer.status_code == 422
    assert pointer in [error["pointer"] for error in answer.json["errors"]]


def test_needs_a_paired_device(owner):
    answer = owner.http.post("/api/v1/calculators/conformity", json={"value": 5, "u": 0.1})
    assert answer.status_code == 401
