"""Calculators between the contract and the computing room: the fields of a request in, those of an answer out.

Where nothing can be computed every field is null and has the reason; uncertainties that are not given are the
catalogue's.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict
from functools import wraps
from typing import Any

from schemas import calculators as schemas
from service import catalogue
from service.domain import chain, gears, hanger, noise, torque
from service.domain.cage import cage_rotation
from service.domain.conformity import Band, judge
from service.domain.errors import CannotCompute
from service.domain.rub_window import CogWindow, rub_window

Body = Mapping[str, Any]


def _or_reasons(answer: type[schemas.AnswerSchema]) -> Callable:
    """Null for every field of the answer, each with its reason, where the whole cannot be computed."""
    names = [name for name in answer().fields if name != "why_not"]

    def decorate(compute: Callable[[Body], dict[str, Any]]) -> Callable[[Body], dict[str, Any]]:
        @wraps(compute)
        def answered(body: Body) -> dict[str, Any]:
            try:
                found = compute(body)
            except CannotCompute as error:
                return dict.fromkeys(names) | {"why_not": dict.fromkeys(names, error.reason)}
            return {name: found.get(name) for name in (*names, "why_not")}

        return answered

    return decorate


def _u(quantity: str) -> float:
    return float(catalogue.load().items["quantities"][quantity]["u"])


@_or_reasons(schemas.HangerAnswerSchema)
def of_hanger(body: Body) -> dict[str, Any]:
    """The hanger's bend and what it does to the shifting."""
    tips = [hanger.Tip(tip["clock"], tip["gap_mm"]) for tip in body["tips"]]
    fit = hanger.fit(tips, body["radius_mm"], body.get("u_mm", _u("hanger_deviation")))
    answer = {name: value for name, value in vars(fit).items() if name != "why_not"}
    effect, reasons = _indexing(fit, body)
    if fit.steepest_clock is None:
        reasons |= dict.fromkeys(("steepest_clock", "steepest_clock_interval"), fit.why_not)
    if fit.deviation_mm is None:
        missing = [name for name in schemas.HangerAnswerSchema().fields if answer.get(name, 0) is None]
        reasons |= dict.fromkeys(missing, fit.why_not)
    if fit.agrees is None:
        reasons |= dict.fromkeys(("residual_mm", "agrees"), "No reading is left over to check the others by.")
    return answer | effect | {"why_not": reasons}


def _indexing(fit: hanger.HangerFit, body: Body) -> tuple[dict[str, Any], dict[str, str]]:
    names = ("index_spread_mm", "index_spread_of_pitch", "trim_steps", "pulley_depth_mm")
    drivetrain = body.get("drivetrain")
    if drivetrain is None:
        return {}, dict.fromkeys(names, "The drivetrain is not given.")
    pitch, step = drivetrain.get("cog_pitch_mm"), drivetrain.get("trim_step_mm")
    try:
        effect = hanger.effect_on_indexing(fit, drivetrain["cogs"], pitch, step, body.get("pulley_depth_mm"))
    except CannotCompute as error:
        return {}, dict.fromkeys(names, error.reason)
    reasons = {} if pitch else {"index_spread_of_pitch": "The cog pitch is not given."}
    if step is None:
        reasons["trim_steps"] = "The size of a fine step is not given."
    return {name: getattr(effect, name) for name in names}, reasons


@_or_reasons(schemas.ChainAnswerSchema)
def of_chain(body: Body) -> dict[str, Any]:
    """Length, cut and capacity; elongation where a length was measured."""
    asked = {name: value for name, value in body.items() if name != "measured"}
    why_not = {}
    try:
        sized = asdict(chain.size_chain(**asked))
        why_not = sized.pop("why_not")
    except CannotCompute as error:
        sized = {}
        why_not = dict.fromkeys(schemas.ChainAnswerSchema().fields.keys() - {"why_not"}, error.reason)
    try:
        if "measured" not in body:
            raise CannotCompute("No length was measured.")
        elongation = chain.elongation(body["measured"]["links"], body["measured"]["length_mm"])
        why_not.pop("elongation_percent", None)
    except CannotCompute as error:
        elongation, why_not["elongation_percent"] = None, error.reason
    return {**sized, "elongation_percent": elongation, "why_not": why_not}


@_or_reasons(schemas.GearsAnswerSchema)
def of_gears(body: Body) -> dict[str, Any]:
    """The gear table."""
    names = ("chainline_mm", "ring_spacing_mm", "cassette_line_mm", "cog_pitch_mm", "chainstay_mm")
    lines = gears.Lines(**{name: body.get(name) for name in names})
    sizes = (body.get("chain_links"), body.get("pulley_teeth"))
    table = gears.gear_table(body["rings"], body["cogs"], body["circumference_mm"], lines, *sizes)
    missing = gears.missing_lines(body["rings"], lines)
    return {"table": [asdict(line) for line in table], "why_not": {"chain_angle_deg": missing} if missing else {}}


@_or_reasons(schemas.CageAnswerSchema)
def of_cage(body: Body) -> dict[str, Any]:
    """The front cage's rotation."""
    return vars(cage_rotation(**{"u_alignment_mm": _u("cage_alignment"), **body})) | {"why_not": {}}


@_or_reasons(schemas.TorqueAnswerSchema)
def of_torque(body: Body) -> dict[str, Any]:
    """What to set, and whether what the wrench showed is right."""

    def nm(name: str) -> float | None:
        return None if body.get(name) is None else catalogue.load().to_unit(body[name], body["unit"], "N·m")

    wrench = torque.Wrench(body.get("wrench_mm"), nm("wrench_max"), body.get("tolerance_percent"))
    adapter = torque.Adapter(body["adapter_mm"], body.get("angle_deg", 0.0)) if "adapter_mm" in body else None
    set_to = torque.set_to(body["target"], wrench, adapter)
    answer = {"set_to": set_to, "target_nm": nm("target"), "why_not": {}}
    shown = nm("applied")
    if shown is None:
        missing = ("applied_nm", "tolerance_percent", "verdict", "p_inside")
        return answer | {"why_not": dict.fromkeys(missing, "What the wrench showed is not given.")}
    answer["applied_nm"] = torque.at_fastener(shown, wrench, adapter)
    answer["tolerance_percent"] = torque.tolerance_percent(wrench, shown)
    limits = nm("lower"), nm("upper")
    if limits == (None, None):
        limits = answer["target_nm"], answer["target_nm"]
    judged = torque.judge_torque(answer["applied_nm"], *limits, wrench, shown)
    if judged.p_inside is None:
        return answer | {"why_not": dict.fromkeys(("verdict", "p_inside"), torque.refusal(wrench, shown))}
    return answer | vars(judged)


@_or_reasons(schemas.ConformityAnswerSchema)
def of_conformity(body: Body) -> dict[str, Any]:
    """The verdict of a value under a band."""
    judged = judge(body["value"], body["u"], Band(body.get("lower"), body.get("upper")))
    why_not = {"p_inside": "Without a limit there is nothing to judge by."} if judged.p_inside is None else {}
    return vars(judged) | {"why_not": why_not}


@_or_reasons(schemas.NoiseAnswerSchema)
def of_noise(body: Body) -> dict[str, Any]:
    """The parts that may make a noise."""
    names = ("chain_links", "pulley_teeth", "circumference_mm", "cadence_rpm", "speed_kmh", "coasting")
    known = noise.Sounding(**body["gear"], **{name: body.get(name) for name in names})
    if ("taps_ms" in body) == ("count_in_ten_turns" in body):
        raise CannotCompute("Give either tap times or a count in ten turns.")
    if "taps_ms" in body:
        found = noise.candidates_by_taps(body["taps_ms"], known, body.get("crank_taps_ms"))
    else:
        found = noise.candidates_by_count(body["count_in_ten_turns"], known)
    return vars(found) | {"candidates": [vars(candidate) for candidate in found.candidates]}


@_or_reasons(schemas.RubWindowAnswerSchema)
def of_rub_window(body: Body) -> dict[str, Any]:
    """The best fine position and what the windows tell of the hanger."""
    now, then = ([CogWindow(**row) for row in body.get(name, ())] for name in ("cogs", "handed_over"))
    u_steps = body.get("u_steps", _u("rub_in_steps"))
    return vars(rub_window(now, then, body["step_mm"], body["radius_mm"], u_steps))
