"""The front derailleur's cage: its rotation from the gaps to the outer ring at its two ends."""

import math
from dataclasses import dataclass

from service.domain.errors import CannotCompute


@dataclass(frozen=True)
class CageRotation:
    """Gap at the front minus gap at the tail (mm), and the angle it makes (degrees), with standard uncertainties."""

    rotation_deg: float
    u_rotation_deg: float
    alignment_mm: float
    u_alignment_mm: float


def cage_rotation(
    front_gap_mm: float, tail_gap_mm: float, cage_length_mm: float, u_alignment_mm: float
) -> CageRotation:
    """Rotation = atan((front gap - tail gap) / cage length): positive where the cage's front stands out (geometry).

    u_alignment_mm is that of the difference of the two gaps; it is propagated to first order (JCGM 100:2008, 5.1.2),
    the length taken as exact.
    Raises CannotCompute for a length that is not above zero, or what is no number.
    """
    if not all(math.isfinite(x) and abs(x) <= 1000 for x in (front_gap_mm, tail_gap_mm, u_alignment_mm)):
        raise CannotCompute("Gaps must be ordinary numbers of millimetres.")
    if u_alignment_mm < 0:
        raise CannotCompute("An uncertainty cannot be negative.")
    if not 1 <= cage_length_mm <= 1000:
        raise CannotCompute("The cage's length between the two places must be given in millimetres.")
    alignment = front_gap_mm - tail_gap_mm
    slope = alignment / cage_length_mm
    return CageRotation(
        rotation_deg=math.degrees(math.atan(slope)),
        u_rotation_deg=math.degrees(u_alignment_mm / cage_length_mm / (1 + slope**2)),
        alignment_mm=alignment,
        u_alignment_mm=u_alignment_mm,
    )
