"""Calculators: nothing is stored. What cannot be computed is null, with its reason in `why_not` under the same key."""

from __future__ import annotations

from marshmallow import fields

from .bike import TEETH, DrivetrainSchema
from .fields import Flag, Many, Number, OneOf, Part, Strict, Text, Whole
from .reading import GearSchema, TipSchema

TORQUE_UNITS = ("N·m", "lbf·in", "lbf·ft", "kgf·m")
PARTS = ("crank", "pedal_strokes", "wheel", "chain_loop", "pulley", "other")
COMPUTED = 1e12  # what follows from the largest numbers that a request may hold stays below
RINGS, COGS = (3, 1), (16, 1)
CIRCUMFERENCE = {"description": "rolling, of the rear wheel"}
ADVICE = {"description": "in words for the mechanic"}


def _computed(lowest: float = -COMPUTED, **more) -> Number:
    """A number of an answer, null where it cannot be computed."""
    return Number(lowest, COMPUTED, required=True, allow_none=True, **more)


def _share() -> Number:
    return Number(0, 1, required=True, allow_none=True)


def _interval() -> Many:
    return Many(Number(-COMPUTED, COMPUTED), 2, 2, required=True, allow_none=True)


def _advice() -> Text:
    return Text(1000, 0, required=True, allow_none=True, metadata=ADVICE)


class AnswerSchema(Strict):
    why_not = fields.Dict(required=True, metadata={"additionalProperties": {"type": "string"}})


class KnownDrivetrainSchema(DrivetrainSchema):
    """A bike's drivetrain, or as much of it as is known."""

    rings = Many(Whole(*TEETH), *RINGS, different=True)
    shifting = OneOf("electronic", "cable")
    rear_mount = OneOf("hanger", "axle")
    front_derailleur = Flag()


class HangerRequestSchema(Strict):
    tips = Many(Part(TipSchema), 24, required=True)
    radius_mm = Number(10, 1000, required=True, metadata={"description": "where the tip touches, half the bead seat"})
    u_mm = Number(0, 100, metadata={"description": "standard uncertainty of one gap; the catalogue's without it"})
    drivetrain = Part(KnownDrivetrainSchema)
    pulley_depth_mm = Number(1, 500, metadata={"description": "guide pulley below the hanger, mid-cassette"})


class HangerAnswerSchema(AnswerSchema):
    deviation_mm = _computed(0)
    u_deviation_mm = _computed(0)
    deviation_interval_mm = _interval()
    tilt_deg = _computed(0)
    vertical_mm = _computed(metadata={"description": "12 minus 6"})
    fore_aft_mm = _computed(metadata={"description": "3 minus 9"})
    steepest_clock = _computed(0, metadata={"description": "where the tip stands farthest out"})
    steepest_clock_interval = _interval()
    correction_mm = _computed(0)
    residual_mm = _computed(0)
    agrees = Flag(required=True, allow_none=True)
    index_spread_mm = _computed(0, metadata={"description": "upper bound of the sideways error between cogs"})
    index_spread_of_pitch = _computed(0)
    trim_steps = _computed(metadata={"description": "the correction mid-cassette, positive inboard"})
    pulley_depth_mm = _computed(0)
    advice = _advice()


class MeasuredChainSchema(Strict):
    links = Whole(1, 400, required=True)
    length_mm = Number(0, 10_000, required=True)


class ChainRequestSchema(Strict):
    rings = Many(Whole(*TEETH), *RINGS, required=True)
    cogs = Many(Whole(*TEETH), *COGS, required=True)
    chainstay_mm = Number(200, 1000, required=True)
    growth_mm = Number(0, 200, load_default=0.0, metadata={"description": "what suspension adds at its longest"})
    allowance_links = Whole(0, 20, metadata={"description": "2 without it, the rule for a double"})
    rear_capacity = Whole(0, 200)
    rear_max_cog = Whole(*TEETH)
    measured = Part(MeasuredChainSchema)


class ChainAnswerSchema(AnswerSchema):
    exact_links = _computed(0)
    links_to_cut = Whole(required=True, allow_none=True, metadata={"description": "the connecting link counted"})
    allowance_links = Whole(required=True, allow_none=True)
    capacity_needed = Whole(required=True, allow_none=True)
    capacity_ok = Flag(required=True, allow_none=True)
    max_cog_ok = Flag(required=True, allow_none=True)
    elongation_percent = _computed()
    advice = _advice()


class GearsRequestSchema(Strict):
    rings = Many(Whole(*TEETH), *RINGS, required=True)
    cogs = Many(Whole(*TEETH), *COGS, required=True)
    circumference_mm = Number(300, 4000, required=True, metadata=CIRCUMFERENCE)
    chainline_mm = Number(10, 150)
    ring_spacing_mm = Number(1, 50)
    cassette_line_mm = Number(10, 150)
    cog_pitch_mm = Number(1, 20)
    chainstay_mm = Number(200, 1000)
    chain_links = Whole(1, 400)
    pulley_teeth = Whole(5, 40)


class RotationsSchema(Strict):
    """Turns for one turn of the crank; parts of unknown size are left out."""

    crank = Number(0, required=True)
    pedal_strokes = Number(0, required=True)
    wheel = Number(0, required=True)
    chain_loop = Number(0)
    pulley = Number(0)


class GearLineSchema(GearSchema):
    ratio = Number(0, required=True)
    development_m = Number(0, required=True)
    chain_angle_deg = Number(-90, 90, required=True, allow_none=True, metadata={"description": "outboard to the rear"})
    rotations = Part(RotationsSchema, required=True)


class GearsAnswerSchema(AnswerSchema):
    table = Many(Part(GearLineSchema), 48, required=True, allow_none=True)


class CageRequestSchema(Strict):
    front_gap_mm = Number(-100, 100, required=True)
    tail_gap_mm = Number(-100, 100, required=True)
    cage_length_mm = Number(1, 500, required=True)
    u_alignment_mm = Number(
        0, 10, metadata={"description": "of the difference of the gaps; the catalogue's without it"}
    )


class CageAnswerSchema(AnswerSchema):
    rotation_deg = _computed()
    u_rotation_deg = _computed(0)
    alignment_mm = _computed()
    u_alignment_mm = _computed(0)


class TorqueRequestSchema(Strict):
    """Limits, applied and wrench_max are in `unit`; without limits the band is 10 % to either side of the target."""

    target = Number(0, 10_000, required=True)
    unit = OneOf(*TORQUE_UNITS, required=True)
    wrench_mm = Number(10, 5000, metadata={"description": "square to the middle of the grip"})
    adapter_mm = Number(0, 2000, metadata={"description": "square to fastener"})
    angle_deg = Number(-180, 180, metadata={"description": "adapter to wrench: 0 straight on, 90 square"})
    applied = Number(0, 10_000, metadata={"description": "what the wrench showed"})
    tolerance_percent = Number(0, 50, metadata={"description": "of the wrench; by ISO 6789:2003 without it"})
    wrench_max = Number(above=0, highest=10_000)
    lower = Number(0, 10_000)
    upper = Number(0, 10_000)


class TorqueAnswerSchema(AnswerSchema):
    set_to = _computed(0)
    target_nm = _computed(0)
    applied_nm = _computed(0, metadata={"description": "at the fastener"})
    tolerance_percent = _computed(0)
    verdict = OneOf("inside", "borderline", "outside", required=True, allow_none=True)
    p_inside = _share()


class ConformityRequestSchema(Strict):
    value = Number(required=True)
    u = Number(0, required=True, metadata={"description": "standard uncertainty"})
    lower = Number(allow_none=True)
    upper = Number(allow_none=True)


class ConformityAnswerSchema(AnswerSchema):
    verdict = OneOf("inside", "borderline", "outside", "none", required=True, allow_none=True)
    p_inside = _share()


class NoiseRequestSchema(Strict):
    """Either taps or a count; beside taps, crank taps, cadence or speed say how fast the crank turned."""

    taps_ms = Many(Number(0, 1e13), 500)
    count_in_ten_turns = Number(0, 1000)
    crank_taps_ms = Many(Number(0, 1e13), 500)
    cadence_rpm = Number(1, 300)
    speed_kmh = Number(0.1, 200)
    gear = Part(GearSchema, required=True)
    chain_links = Whole(1, 400)
    circumference_mm = Number(300, 4000, metadata=CIRCUMFERENCE)
    pulley_teeth = Whole(5, 40)
    coasting = Flag(allow_none=True, metadata={"description": "true if it goes on while coasting, false if it stops"})


class CandidateSchema(Strict):
    part = OneOf(*PARTS, required=True)
    expected_period_ms = _computed(0)
    expected_count = _computed(0, metadata={"description": "in ten turns of the crank"})
    probability = Number(0, 1, required=True)


class NoiseAnswerSchema(AnswerSchema):
    period_ms = _computed(0)
    u_period_ms = _computed(0)
    period_interval_ms = _interval()
    ratio_to_crank = _computed(0, metadata={"description": "noises for one turn of the crank"})
    u_ratio_to_crank = _computed(0)
    candidates = Many(Part(CandidateSchema), 6, required=True, allow_none=True)
    told_apart = Flag(required=True, allow_none=True)
    not_told_apart = Many(OneOf(*PARTS), 6, required=True, allow_none=True)
    advice = _advice()


class CogWindowSchema(Strict):
    """Steps from the set position to the first noise, each way."""

    cog = Whole(*TEETH, required=True)
    in_steps = Number(-100, 100, required=True)
    out_steps = Number(-100, 100, required=True)


class RubWindowRequestSchema(Strict):
    cogs = Many(Part(CogWindowSchema), 48, required=True)
    handed_over = Many(Part(CogWindowSchema), 48)
    step_mm = Number(0.001, 5, required=True)
    radius_mm = Number(10, 1000, load_default=311.0, metadata={"description": "of the rim; half of 622 without it"})
    u_steps = Number(0, 100, metadata={"description": "standard uncertainty of one count; the catalogue's without it"})


class RubWindowAnswerSchema(AnswerSchema):
    centre_steps = _computed(metadata={"description": "best fine position from the set one, positive inboard"})
    u_centre_steps = _computed(0)
    width_steps = _computed()
    u_width_steps = _computed(0)
    width_change_steps = _computed()
    u_width_change_steps = _computed(0)
    tilt_deg = _computed(metadata={"description": "since handover; positive: lower end of the hanger bent in"})
    u_tilt_deg = _computed(0)
    tilt_interval_deg = _interval()
    vertical_mm = _computed(metadata={"description": "the same as a hanger's vertical part, 12 minus 6"})
    u_vertical_mm = _computed(0)
    agrees = Flag(required=True, allow_none=True)
    advice = _advice()
