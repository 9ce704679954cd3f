"""The derailleur hanger: deviation, tilt and direction from gauge-tip gaps at clock positions of the rim.

Model: gap = c + a cos(theta) + b sin(theta), theta = clock x 30 degrees, seen from the drive side, 12 up and 3 forward,
fitted by ordinary least squares (Draper and Smith, Applied Regression Analysis, ch. 1 to 3). The gap is from the rim
out to the tip, so a above zero is a lower end bent in. All lengths in mm, angles in degrees.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import chdtri

from service.domain import hanger_words, vector_length
from service.domain.conformity import NO_JUDGEMENT, Band, Judgement, verdict_of
from service.domain.errors import CannotCompute
from service.domain.hanger_change import HangerChange, compare
from service.domain.hanger_direction import clock_of, direction_interval
from service.domain.hanger_effect import IndexingEffect, indexing_effect

DIRECTION_FROM = 2.45  # root of the 95 % point of chi-square with two degrees of freedom
LARGEST_GAP_MM = 1000.0
_TILL_EXACT_MM = 1e-9


@dataclass(frozen=True)
class Tip:
    """One reading: gap in mm between rim and gauge tip at a clock position (0 to 12, 0 being 12)."""

    clock: float
    gap_mm: float


@dataclass(frozen=True)
class HangerFit:
    """What the tips say. Readings at two opposite positions only give `axis_mm` and leave the rest None."""

    a: float | None
    b: float | None
    c: float
    covariance: tuple[tuple[float, float], tuple[float, float]] | None
    radius_mm: float
    u_mm: float
    deviation_mm: float | None
    u_deviation_mm: float | None
    deviation_interval_mm: tuple[float, float] | None
    tilt_deg: float | None
    vertical_mm: float | None
    fore_aft_mm: float | None
    steepest_clock: float | None
    steepest_clock_interval: tuple[float, float] | None
    correction_mm: float | None
    residual_mm: float | None
    agrees: bool | None
    axis_clock: float | None = None
    axis_mm: float | None = None
    u_axis_mm: float | None = None
    why_not: str | None = None
    advice: str = ""


def fit(tips: Sequence[Tip], radius_mm: float, u_mm: float) -> HangerFit:
    """Fit the tips' gaps, read at radius_mm from the axle with standard uncertainty u_mm each.

    deviation = 2 A, A = root(a2 + b2); tilt = atan(A / radius); vertical = 2a (12 minus 6); fore-and-aft = 2b (3 minus
    9). The interval of the deviation covers at zero bend too (see vector_length); it is exact for evenly spread tips
    and on the safe side for others. The direction is given only where A > 2.45 u(A). `agrees` is False where the
    residual is beyond its 99 % point, and None where no reading is left to check the others by.
    Raises CannotCompute for fewer than three distinct positions that are not two opposite ones, for positions that lie
    too close together, and for input that is not a plain number.
    """
    _check(tips, radius_mm, u_mm)
    u_mm = 0.0 if u_mm < _TILL_EXACT_MM else u_mm
    clocks = sorted({round(tip.clock % 12, 3) % 12 for tip in tips})
    if len(clocks) == 2 and math.isclose(clocks[1] - clocks[0], 6):
        return _fit_axis(tips, clocks[0], radius_mm, u_mm)
    if len(clocks) < 3:
        raise CannotCompute("Read the gap at three different clock positions at least; four are better: 12, 3, 6, 9.")
    theta = np.radians([tip.clock * 30 for tip in tips])
    design = np.column_stack([np.ones(len(tips)), np.cos(theta), np.sin(theta)])
    coefficients, residual, inverse = _least_squares(design, [tip.gap_mm for tip in tips])
    spread = float(np.linalg.eigvalsh(inverse[1:, 1:])[-1])
    if not spread < 100:
        raise CannotCompute("These clock positions lie too close together: spread them round the rim.")
    return _answer(coefficients, inverse[1:, 1:] * u_mm**2, residual, len(tips) - 3, radius_mm, u_mm)


def judge_deviation(fit_: HangerFit, band: Band | None) -> Judgement:
    """Judge the deviation by its own distribution, since it is never negative and biased upward near zero.

    p is the confidence that the true deviation lies in the band, from the noncentral chi-square distribution with two
    degrees of freedom; far from zero it equals JCGM 106:2012, clause 7. A lower limit of zero is no limit.
    """
    if band is None or band.is_open or fit_.deviation_mm is None or fit_.covariance is None:
        return NO_JUDGEMENT
    error = 2 * _largest_error(fit_.covariance)
    if error == 0:
        lower, upper = band.lower or 0.0, math.inf if band.upper is None else band.upper
        return verdict_of(1.0 if lower <= fit_.deviation_mm <= upper else 0.0)
    p = 1.0 if band.upper is None else vector_length.chance_shorter(fit_.deviation_mm, band.upper, error)
    if band.lower is not None and band.lower > 0:
        p -= vector_length.chance_shorter(fit_.deviation_mm, band.lower, error)
    return verdict_of(p)


def same_hanger(before: HangerFit, after: HangerFit) -> HangerChange:
    """Compare two measurements of one hanger as vectors; see hanger_change.compare.

    Raises CannotCompute where one of them holds two opposite positions only.
    """
    if before.covariance is None or after.covariance is None:
        raise CannotCompute("To compare two measurements of a hanger, both need three positions or more.")
    return compare((before.a, before.b), before.covariance, (after.a, after.b), after.covariance)


def effect_on_indexing(
    fit_: HangerFit,
    cogs: Sequence[int],
    cog_pitch_mm: float | None = None,
    trim_step_mm: float | None = None,
    pulley_depth_mm: float | None = None,
) -> IndexingEffect:
    """What the vertical part does to the shifting; see hanger_effect.indexing_effect."""
    if fit_.vertical_mm is None:
        raise CannotCompute("Without readings at 12 and 6, or three positions, the vertical part is not known.")
    return indexing_effect(fit_.vertical_mm / 2, fit_.radius_mm, cogs, cog_pitch_mm, trim_step_mm, pulley_depth_mm)


def _check(tips: Sequence[Tip], radius_mm: float, u_mm: float) -> None:
    for tip in tips:
        if not (math.isfinite(tip.clock) and 0 <= tip.clock <= 12):
            raise CannotCompute("Clock positions go from 1 to 12.")
        if not (math.isfinite(tip.gap_mm) and abs(tip.gap_mm) <= LARGEST_GAP_MM):
            raise CannotCompute("A gap must be a number of millimetres that fits between rim and gauge.")
    if not (math.isfinite(radius_mm) and 10 <= radius_mm <= 1000):
        raise CannotCompute("The radius at which the gauge touches must be between 10 and 1000 mm.")
    if not (math.isfinite(u_mm) and 0 <= u_mm <= LARGEST_GAP_MM):
        raise CannotCompute("The uncertainty of a reading must be a number of millimetres from 0 up.")


def _least_squares(design: np.ndarray, gaps: Sequence[float]) -> tuple[np.ndarray, float | None, np.ndarray]:
    """Coefficients, residual standard deviation (None without spare readings), inverse of the normal matrix."""
    observed = np.asarray(gaps, dtype=float)
    coefficients = np.linalg.lstsq(design, observed, rcond=None)[0]
    freedom = len(observed) - design.shape[1]
    left = observed - design @ coefficients
    residual = float(np.sqrt(left @ left / freedom)) if freedom else None
    _, triangle = np.linalg.qr(design)
    if abs(np.linalg.det(triangle)) < 1e-9:
        raise CannotCompute("These clock positions lie too close together: spread them round the rim.")
    half = np.linalg.inv(triangle)
    return coefficients, residual, half @ half.T


def _agrees(residual: float | None, freedom: int, u_mm: float) -> bool | None:
    """Residual against its 99 % point, u root(chi2 / freedom); None where nothing is left to check by."""
    if residual is None:
        return None
    return residual <= u_mm * math.sqrt(chdtri(freedom, 0.01) / freedom) + _TILL_EXACT_MM


def _largest_error(covariance: Sequence[Sequence[float]]) -> float:
    """Standard uncertainty of (a, b) in its least certain direction."""
    return math.sqrt(max(0.0, float(np.linalg.eigvalsh(np.asarray(covariance))[-1])))


def _answer(
    coefficients: np.ndarray,
    covariance: np.ndarray,
    residual: float | None,
    freedom: int,
    radius_mm: float,
    u_mm: float,
) -> HangerFit:
    c, a, b = (float(x) for x in coefficients)
    amplitude = math.hypot(a, b)
    error = _largest_error(covariance)
    pointed = np.array([a, b]) / amplitude if amplitude > _TILL_EXACT_MM else None
    u_amplitude = error if pointed is None else math.sqrt(max(0.0, float(pointed @ covariance @ pointed)))
    low, high = vector_length.interval(amplitude, error) if error else (amplitude, amplitude)
    clear = pointed is not None and amplitude > DIRECTION_FROM * u_amplitude
    agrees = _agrees(residual, freedom, u_mm)
    steepest = clock_of(a, b) if clear else None
    return HangerFit(
        a=a,
        b=b,
        c=c,
        covariance=tuple(tuple(float(x) for x in row) for row in covariance),
        radius_mm=radius_mm,
        u_mm=u_mm,
        deviation_mm=2 * amplitude,
        u_deviation_mm=2 * u_amplitude,
        deviation_interval_mm=(2 * low, 2 * high),
        tilt_deg=math.degrees(math.atan2(amplitude, radius_mm)),
        vertical_mm=2 * a,
        fore_aft_mm=2 * b,
        steepest_clock=steepest,
        steepest_clock_interval=direction_interval(a, b, covariance) if clear else None,
        correction_mm=amplitude,
        residual_mm=residual,
        agrees=agrees,
        why_not=None if clear else hanger_words.NO_DIRECTION,
        advice=hanger_words.advice(steepest, amplitude, agrees),
    )


def _fit_axis(tips: Sequence[Tip], clock: float, radius_mm: float, u_mm: float) -> HangerFit:
    """Two opposite positions: the part of the bend along the line through them, and nothing else."""
    side = np.array([1.0 if math.isclose(tip.clock % 12, clock, abs_tol=0.002) else -1.0 for tip in tips])
    design = np.column_stack([np.ones(len(tips)), side])
    coefficients, residual, inverse = _least_squares(design, [tip.gap_mm for tip in tips])
    axis_mm, u_axis = 2 * float(coefficients[1]), 2 * u_mm * math.sqrt(float(inverse[1, 1]))
    agrees = _agrees(residual, len(tips) - 2, u_mm)
    return HangerFit(
        a=None,
        b=None,
        c=float(coefficients[0]),
        covariance=None,
        radius_mm=radius_mm,
        u_mm=u_mm,
        deviation_mm=None,
        u_deviation_mm=None,
        deviation_interval_mm=None,
        tilt_deg=None,
        vertical_mm=axis_mm if clock == 0 else None,
        fore_aft_mm=axis_mm if clock == 3 else None,
        steepest_clock=None,
        steepest_clock_interval=None,
        correction_mm=None,
        residual_mm=residual,
        agrees=agrees,
        axis_clock=clock or 12.0,
        axis_mm=axis_mm,
        u_axis_mm=u_axis,
        why_not=hanger_words.one_direction(clock),
        advice=hanger_words.axis_advice(clock, axis_mm, u_axis, agrees),
    )
