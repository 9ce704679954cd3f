"""The rub window: fine steps from the set position to the first noise, inboard and outboard, on several cogs.

Its middle on each cog is where the fine position should be. How the middles have come to slope against the cogs' pitch
radii since the bike was handed over tells a vertical tilt of the hanger, without taking the derailleur off: a tilt
moves the pulley sideways by its depth below the hanger, and the depth grows with the cog. Least squares with known
error (Draper and Smith, Applied Regression Analysis, ch. 1); steps positive inboard, lengths in mm, angles in degrees.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.special import chdtri

from service.domain.chain import pitch_radius
from service.domain.errors import CannotCompute

FEWEST_COGS = 3
# Half the interval wider than the tightest hanger band (from memory): the gauge would tell more.
TAKE_GAUGE_FROM_MM = 2.0
SINCE_HANDOVER = (
    "width_change_steps", "u_width_change_steps", "tilt_deg", "u_tilt_deg", "tilt_interval_deg",
    "vertical_mm", "u_vertical_mm", "agrees",
)  # fmt: skip
_Z = 1.959963984540054

TAKE_GAUGE = "Take the hanger gauge: these windows leave the tilt open by more than its band is wide."
DISAGREE = "The windows of the cogs do not fit one line: count again, or take the hanger gauge."
NO_TILT = "No tilt of the hanger can be told from these windows."
NOTHING_TO_COMPARE = "A tilt shows against the handed-over windows only: count them at handover."
TOO_FEW_SHARED = "A tilt needs three cogs that were counted at handover too."


@dataclass(frozen=True)
class CogWindow:
    """Steps from the set position to the first noise on one cog (teeth), inboard and outboard, both counted up."""

    cog: int
    in_steps: float
    out_steps: float

    @property
    def centre(self) -> float:
        """Steps from the set position to the window's middle, positive inboard."""
        return (self.in_steps - self.out_steps) / 2

    @property
    def width(self) -> float:
        """Steps from noise to noise."""
        return self.in_steps + self.out_steps


@dataclass(frozen=True)
class RubWindow:
    """Best position, width, and the vertical tilt come since handover (positive: lower end bent in)."""

    centre_steps: float
    u_centre_steps: float
    width_steps: float
    u_width_steps: float
    width_change_steps: float | None = None
    u_width_change_steps: float | None = None
    tilt_deg: float | None = None
    u_tilt_deg: float | None = None
    tilt_interval_deg: tuple[float, float] | None = None
    vertical_mm: float | None = None
    u_vertical_mm: float | None = None
    agrees: bool | None = None
    advice: str = ""
    why_not: dict[str, str] = field(default_factory=dict)


def rub_window(
    cogs: Sequence[CogWindow],
    handed_over: Sequence[CogWindow] | None,
    step_mm: float,
    radius_mm: float,
    u_steps: float,
) -> RubWindow:
    """Best fine position from at least three cogs, and the hanger's tilt since the handed-over windows.

    u_steps is the standard uncertainty of one count. The best position is the mean of the middles, the counts being
    equally uncertain. Tilt = atan(-slope) of the middles' change (mm) on pitch radius (mm), a lower bound since the
    pulley's gap is larger on small cogs; vertical = 2 radius tan(tilt), 12 minus 6 at the rim. Its 95 % interval takes
    u_steps as known. `agrees` is False where the changes leave the line beyond their 99 % point.
    Raises CannotCompute for fewer than three cogs, a window narrower than nothing, or what is no number.
    """
    now = _by_cog(cogs)
    if len(now) < FEWEST_COGS:
        raise CannotCompute("Count the steps on three cogs at least: a large, a middle and a small one.")
    _check_lengths(step_mm, radius_mm, u_steps)
    count = len(cogs)
    answer = {
        "centre_steps": sum(window.centre for window in cogs) / count,
        "u_centre_steps": u_steps / math.sqrt(2 * count),
        "width_steps": sum(window.width for window in cogs) / count,
        "u_width_steps": u_steps * math.sqrt(2 / count),
    }
    then = _by_cog(handed_over or ())
    shared = sorted(now.keys() & then.keys())
    if len(shared) < FEWEST_COGS:
        reason = TOO_FEW_SHARED if then else NOTHING_TO_COMPARE
        return RubWindow(**answer, advice=reason, why_not=dict.fromkeys(SINCE_HANDOVER, reason))
    return RubWindow(**answer, **_since(now, then, shared, step_mm, radius_mm, u_steps))


def _by_cog(windows: Sequence[CogWindow]) -> dict[int, list[CogWindow]]:
    """The windows of each cog; a cog may have been counted more than once."""
    found: dict[int, list[CogWindow]] = {}
    for window in windows:
        if not all(math.isfinite(steps) and abs(steps) <= 1000 for steps in (window.in_steps, window.out_steps)):
            raise CannotCompute("Steps must be ordinary numbers.")
        if window.width < 0:
            raise CannotCompute(f"On the cog with {window.cog} teeth the noise inboard comes before that outboard.")
        found.setdefault(window.cog, []).append(window)
    return found


def _check_lengths(step_mm: float, radius_mm: float, u_steps: float) -> None:
    if not 0.001 <= step_mm <= 10:
        raise CannotCompute("The size of a step must be given in millimetres.")
    if not 10 <= radius_mm <= 1000:
        raise CannotCompute("The radius at the rim must be between 10 and 1000 mm.")
    if not 0 <= u_steps <= 1000:
        raise CannotCompute("The uncertainty of a count is a number of steps from 0 up.")


def _since(
    now: dict[int, list[CogWindow]],
    then: dict[int, list[CogWindow]],
    shared: Sequence[int],
    step_mm: float,
    radius_mm: float,
    u_steps: float,
) -> dict:
    """Change of width, and of slope as a tilt, over the cogs counted both times."""

    def means(windows: dict[int, list[CogWindow]], part: str) -> np.ndarray:
        return np.array([np.mean([getattr(window, part) for window in windows[cog]]) for cog in shared])

    # Share of one count's variance in the change of a cog's middle, half a count from each side each time.
    share = np.array([(1 / len(now[cog]) + 1 / len(then[cog])) / 2 for cog in shared])
    widths = means(now, "width") - means(then, "width")
    radii = np.array([pitch_radius(cog) for cog in shared])
    slope, u_slope, agrees = _line(
        radii, (means(now, "centre") - means(then, "centre")) * step_mm, share, u_steps * step_mm
    )
    limits = (-slope - _Z * u_slope, -slope + _Z * u_slope)
    u_vertical = 2 * radius_mm * u_slope
    return {
        "width_change_steps": float(widths.mean()),
        "u_width_change_steps": 2 * u_steps * math.sqrt(float(share.sum())) / len(shared),
        "tilt_deg": math.degrees(math.atan(-slope)),
        "u_tilt_deg": math.degrees(u_slope / (1 + slope**2)),
        "tilt_interval_deg": tuple(math.degrees(math.atan(limit)) for limit in limits),
        "vertical_mm": -2 * radius_mm * slope,
        "u_vertical_mm": u_vertical,
        "agrees": agrees,
        "advice": _advice(-slope, u_slope, u_vertical, agrees),
    }


def _line(x: np.ndarray, y: np.ndarray, share: np.ndarray, u: float) -> tuple[float, float, bool]:
    """Weighted slope of y on x, its standard uncertainty, and whether y keeps to the line within u root(share)."""
    weights = 1 / share
    centre = float((weights * x).sum() / weights.sum())
    spread = float((weights * (x - centre) ** 2).sum())
    slope = float((weights * (x - centre) * y).sum()) / spread
    left = y - float((weights * y).sum() / weights.sum()) - slope * (x - centre)
    agrees = bool((weights * left**2).sum() <= u**2 * chdtri(len(x) - 2, 0.01) + 1e-12)
    return slope, u / math.sqrt(spread), agrees


def _advice(tilt: float, u_tilt: float, u_vertical_mm: float, agrees: bool) -> str:
    if not agrees:
        return DISAGREE
    if _Z * u_vertical_mm > TAKE_GAUGE_FROM_MM:
        return TAKE_GAUGE
    if abs(tilt) <= _Z * u_tilt:
        return NO_TILT
    way = "in" if tilt > 0 else "out"
    return f"The lower end of the hanger has been bent {way} since the handover: check it with the gauge."
