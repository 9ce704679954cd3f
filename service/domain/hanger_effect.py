"""What a bent hanger does to the shifting: no single fine position serves all cogs."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from service.domain.chain import pitch_radius
from service.domain.errors import CannotCompute


@dataclass(frozen=True)
class IndexingEffect:
    """Sideways errors at the guide pulley. `trim_steps` is the correction, positive inboard; None without a step.

    `index_spread_mm` is an upper bound, since the pulley's gap is larger on small cogs; the best fine position leaves
    half of it, `left_over_mm`, each way.
    """

    index_spread_mm: float
    index_spread_of_pitch: float | None
    left_over_mm: float
    offset_mm: float
    pulley_depth_mm: float
    trim_steps: float | None


def indexing_effect(
    a_mm: float,
    radius_mm: float,
    cogs: Sequence[int],
    cog_pitch_mm: float | None = None,
    trim_step_mm: float | None = None,
    pulley_depth_mm: float | None = None,
) -> IndexingEffect:
    """Effect of the vertical component a (mm at radius_mm; above zero: lower end bent in, pulley inboard).

    spread = |a| / R x (r_large - r_small), r the cogs' pitch radii; offset = a / R x depth of the pulley below the
    hanger in the middle of the cassette. Where no depth is given it is taken as the mean of the largest and smallest
    pitch radius (from memory: hanger drop, pulley radius and gap about cancel). Plane geometry, small angles.
    Raises CannotCompute for missing cogs or a pitch, step or depth that is not above zero.
    """
    if not cogs:
        raise CannotCompute("The cassette's cogs are needed for the effect on the shifting.")
    for length in (cog_pitch_mm, trim_step_mm, pulley_depth_mm):
        if length is not None and not (math.isfinite(length) and length > 0):
            raise CannotCompute("Cog pitch, step and pulley depth must be above zero.")
    large, small = pitch_radius(max(cogs)), pitch_radius(min(cogs))
    depth = (large + small) / 2 if pulley_depth_mm is None else pulley_depth_mm
    spread = abs(a_mm) / radius_mm * (large - small)
    offset = a_mm / radius_mm * depth
    return IndexingEffect(
        index_spread_mm=spread,
        index_spread_of_pitch=None if cog_pitch_mm is None else spread / cog_pitch_mm,
        left_over_mm=spread / 2,
        offset_mm=offset,
        pulley_depth_mm=depth,
        trim_steps=None if trim_step_mm is None else -offset / trim_step_mm,
    )
