"""Hanger fits by statsmodels' least squares, intervals by inverting scipy's noncentral chi-square."""

import math

import numpy as np
import statsmodels.api as sm
from scipy.optimize import brentq
from scipy.stats import chi2, ncx2, norm

ABOUT = (
    "Gauge-tip gaps at clock positions: fit, uncertainty, interval, direction, agreement, verdict under a band with an "
    "upper limit (band_upper) and effect on the indexing (drivetrain). An error means that it cannot be computed."
)
SOURCE = "statsmodels OLS; scipy.stats.ncx2, chi2; pitch radius by ISO 606"

SQUARE = (12, 3, 6, 9)
DOZEN = tuple(range(1, 13))
WOBBLE = (0.1, -0.2, 0.15, 0.05, -0.1, 0.2, -0.15, 0.0, 0.1, -0.05, -0.2, 0.1)
DRIVETRAIN = {"cogs": [10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 36], "cog_pitch_mm": 3.95, "trim_step_mm": 0.2}


def bent(clocks, size, toward, noise=None):
    """Gaps of an arm that stands `size` / 2 farther out at `toward`, 9 mm on average, to 0.05 mm."""
    noise = noise or [0] * len(clocks)
    tips = []
    for clock, error in zip(clocks, noise, strict=True):
        gap = 9 + size / 2 * math.cos(math.radians((clock - toward) * 30)) + error
        tips.append({"clock": clock, "gap_mm": round(round(gap / 0.05) * 0.05, 2)})
    return tips


def answer(tips, radius_mm, u_mm, band_upper):
    theta = np.radians([tip["clock"] * 30 for tip in tips])
    design = np.column_stack([np.ones(len(tips)), np.cos(theta), np.sin(theta)])
    model = sm.OLS([tip["gap_mm"] for tip in tips], design).fit()
    _, a, b = model.params
    covariance = model.normalized_cov_params[1:, 1:] * u_mm**2
    length = math.hypot(a, b)
    pointed = np.array([a, b]) / length if length > 1e-9 else None
    error = math.sqrt(np.linalg.eigvalsh(covariance)[-1])
    u_length = error if pointed is None else math.sqrt(pointed @ covariance @ pointed)
    clear = length > 2.45 * u_length
    spare = int(model.df_resid)
    residual = math.sqrt(model.ssr / spare) if spare else None
    p = float(ncx2.sf((length / error) ** 2, 2, (band_upper / 2 / error) ** 2))
    return {
        "deviation_mm": 2 * length,
        "u_deviation_mm": 2 * u_length,
        "deviation_interval_mm": [2 * error * limit for limit in interval(length / error)],
        "tilt_deg": math.degrees(math.atan(length / radius_mm)),
        "vertical_mm": 2 * a,
        "fore_aft_mm": 2 * b,
        "steepest_clock": (math.degrees(math.atan2(b, a)) / 30 - 1e-12) % 12 + 1e-12 if clear else None,
        "correction_mm": length,
        "residual_mm": residual,
        "agrees": bool(spare * residual**2 <= u_mm**2 * chi2.ppf(0.99, spare)) if spare else None,
        "verdict": "inside" if p >= 0.95 else "outside" if p <= 0.05 else "borderline",
        "p_inside": p,
    }


def interval(seen):
    """Accept a true length up to 1.645 if the observed one is below its 95 % point, others between 2.5 and 97.5 %."""

    def root(p):
        if ncx2.cdf(seen**2, 2, 1e-12) <= p:
            return 0.0
        return brentq(lambda true: ncx2.cdf(seen**2, 2, max(true, 1e-6) ** 2) - p, 0, seen + 10, xtol=1e-13)

    turn = float(norm.ppf(0.95))
    lower = root(0.95)
    return [lower if lower <= turn else max(turn, root(0.975)), max(turn, root(0.025))]


def effect(answer_, radius_mm):
    def radius(teeth):
        return 12.7 / (2 * math.sin(math.pi / teeth))

    large, small = radius(36), radius(10)
    slope = answer_["vertical_mm"] / 2 / radius_mm
    spread = abs(slope) * (large - small)
    return {
        "index_spread_mm": spread,
        "index_spread_of_pitch": spread / 3.95,
        "trim_steps": -slope * (large + small) / 2 / 0.2,
    }


def case(name, tips, radius_mm=311.0, u_mm=0.3, band_upper=2.0, source="statsmodels OLS; scipy.stats.ncx2"):
    inputs = {"tips": tips, "radius_mm": radius_mm, "u_mm": u_mm, "band_upper": band_upper, "drivetrain": DRIVETRAIN}
    expected = answer(tips, radius_mm, u_mm, band_upper)
    expected |= effect(expected, radius_mm)
    return {"id": name, "inputs": inputs, "expected": expected, "tolerance": 1e-7, "source": source}


def refused(name, clocks):
    tips = [{"clock": clock, "gap_mm": 9.0} for clock in clocks]
    inputs = {"tips": tips, "radius_mm": 311.0, "u_mm": 0.3, "band_upper": 2.0, "drivetrain": DRIVETRAIN}
    return {"id": name, "inputs": inputs, "expected": {"error": True}, "source": "too few positions for three unknowns"}


def axis(name, tips, vertical_mm, fore_aft_mm):
    inputs = {"tips": tips, "radius_mm": 311.0, "u_mm": 0.3, "band_upper": 2.0}
    known = vertical_mm if fore_aft_mm is None else fore_aft_mm
    expected = dict.fromkeys(("deviation_mm", "steepest_clock", "tilt_deg", "residual_mm", "agrees", "p_inside"))
    expected |= {"verdict": "none", "vertical_mm": vertical_mm, "fore_aft_mm": fore_aft_mm, "axis_mm": known}
    expected |= {"u_axis_mm": math.sqrt(2) * 0.3}
    return {"id": name, "inputs": inputs, "expected": expected, "source": "difference of two readings"}


def cases():
    quarters = [{"clock": clock, "gap_mm": gap} for clock, gap in zip(SQUARE, (0.3, -0.1, 0.2, 0.6), strict=True)]
    made = [
        case("four-identities", quarters, source="discrete Fourier identities for four readings"),
        case("straight", bent(SQUARE, 0, 12)),
        case("bent-in-at-12", bent(SQUARE, 3, 12)),
        case("bent-toward-4-30", bent(SQUARE, 4, 4.5)),
        case("borderline", bent(SQUARE, 1.6, 7)),
        case("large", bent(SQUARE, 12, 10)),
        case("dozen", bent(DOZEN, 2.4, 8.5, WOBBLE)),
        case("dozen-straight", bent(DOZEN, 0, 12, WOBBLE)),
        case("three-positions", bent((12, 4, 8), 5, 2)),
        case("uneven-three", bent((12, 3, 6), 3, 6)),
        case("uneven-five", bent((12, 2, 3, 6, 9), 3, 9, WOBBLE[:5])),
        case("one-position-twice", bent((12, 12, 4, 8), 3, 1, (0.2, -0.2, 0, 0))),
        case("disagree", [*bent((12, 3, 6), 1, 12), {"clock": 9, "gap_mm": 12.0}]),
        case("small-wheel", bent(SQUARE, 3, 5), radius_mm=203.0),
        case("coarse-gauge", bent(SQUARE, 3, 5), u_mm=0.8),
    ]
    two = [{"clock": 12, "gap_mm": 10.0}, {"clock": 6, "gap_mm": 8.0}]
    level = [{"clock": 9, "gap_mm": 10.0}, {"clock": 3, "gap_mm": 8.0}]
    made += [axis("vertical-only", two, 2.0, None), axis("fore-aft-only", level, None, -2.0)]
    made += [refused("none", ()), refused("one", (12,)), refused("two-not-opposite", (12, 3))]
    return [*made, refused("same-place", (6, 6, 6)), refused("close-together", (12, 0.5, 1))]
