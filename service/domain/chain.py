"""Chain and sprockets: pitch radius, length, elongation, derailleur capacity. Lengths in mm unless said otherwise."""

import math

from service.domain.errors import CannotCompute

PITCH_MM = 12.7  # ISO 606, ISO 9633


def pitch_radius(teeth: int) -> float:
    """Radius in mm of the circle through the chain's pins on a sprocket: p / (2 sin(pi / z)), ISO 606.

    Raises CannotCompute for fewer than 5 teeth.
    """
    if teeth < 5:
        raise CannotCompute("A sprocket has five teeth at least.")
    return PITCH_MM / (2 * math.sin(math.pi / teeth))
