"""The fine position of a derailleur: what steps or barrel turns amount to at the guide pulley. Positive is inboard."""

import math
from dataclasses import dataclass

from service.domain.errors import CannotCompute

BARREL_PITCH_MM = 0.8  # thread M5 x 0.8: standard, ISO 261; that barrel adjusters have it: from memory


@dataclass(frozen=True)
class PulleyMove:
    """A sideways move of the guide pulley in mm, and as a share of the distance between two cogs."""

    mm: float
    of_pitch: float | None


def by_steps(steps: float, step_mm: float, cog_pitch_mm: float | None = None) -> PulleyMove:
    """Steps of an electronic derailleur, step_mm each."""
    return _move(steps, step_mm, cog_pitch_mm)


def by_barrel_turns(turns: float, actuation_ratio: float, cog_pitch_mm: float | None = None) -> PulleyMove:
    """Turns of a barrel adjuster: turns x 0.8 mm of cable x mm at the pulley for a mm of cable."""
    return _move(turns, BARREL_PITCH_MM * actuation_ratio, cog_pitch_mm)


def _move(amount: float, each_mm: float, cog_pitch_mm: float | None) -> PulleyMove:
    if not math.isfinite(amount) or abs(amount) > 1e6:
        raise CannotCompute("The amount must be an ordinary number of steps or turns.")
    for length in (each_mm, cog_pitch_mm):
        if length is not None and not 0 < length <= 100:
            raise CannotCompute("Step, actuation ratio and cog pitch must be above zero.")
    return PulleyMove(amount * each_mm, None if cog_pitch_mm is None else amount * each_mm / cog_pitch_mm)
