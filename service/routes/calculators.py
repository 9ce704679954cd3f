"""Calculators: what a mechanic may want without saving anything."""

from __future__ import annotations

from schemas import calculators as schemas
from service import calculators
from service.api import Room

room = Room("calculators", description="Computing without storing")


@room.route("/calculators/hanger", methods=["POST"])
@room.arguments(schemas.HangerRequestSchema)
@room.response(200, schemas.HangerAnswerSchema)
def post_hanger(body):
    """Bend of a derailleur hanger from gauge-tip gaps, and what it does to the shifting"""
    return calculators.of_hanger(body)


@room.route("/calculators/chain", methods=["POST"])
@room.arguments(schemas.ChainRequestSchema)
@room.response(200, schemas.ChainAnswerSchema)
def post_chain(body):
    """Links to cut, derailleur capacity, elongation"""
    return calculators.of_chain(body)


@room.route("/calculators/gears", methods=["POST"])
@room.arguments(schemas.GearsRequestSchema)
@room.response(200, schemas.GearsAnswerSchema)
def post_gears(body):
    """Ratio, development, chain angle and rotations of every gear"""
    return calculators.of_gears(body)


@room.route("/calculators/cage", methods=["POST"])
@room.arguments(schemas.CageRequestSchema)
@room.response(200, schemas.CageAnswerSchema)
def post_cage(body):
    """Rotation of the front cage from the gaps at its two ends"""
    return calculators.of_cage(body)


@room.route("/calculators/torque", methods=["POST"])
@room.arguments(schemas.TorqueRequestSchema)
@room.response(200, schemas.TorqueAnswerSchema)
def post_torque(body):
    """What to set on the wrench, and whether what it showed is right"""
    return calculators.of_torque(body)


@room.route("/calculators/conformity", methods=["POST"])
@room.arguments(schemas.ConformityRequestSchema)
@room.response(200, schemas.ConformityAnswerSchema)
def post_conformity(body):
    """Verdict and probability of a value under a band"""
    return calculators.of_conformity(body)


@room.route("/calculators/noise", methods=["POST"])
@room.arguments(schemas.NoiseRequestSchema)
@room.response(200, schemas.NoiseAnswerSchema)
def post_noise(body):
    """Which part makes a noise, by counting or tapping"""
    return calculators.of_noise(body)


@room.route("/calculators/rub-window", methods=["POST"])
@room.arguments(schemas.RubWindowRequestSchema)
@room.response(200, schemas.RubWindowAnswerSchema)
def post_rub_window(body):
    """Best fine position, and the hanger's tilt since handover, from steps to the first noise"""
    return calculators.of_rub_window(body)
