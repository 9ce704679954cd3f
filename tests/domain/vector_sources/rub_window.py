"""Rub windows: slopes and their errors by statsmodels' weighted least squares, agreement by scipy's chi-square."""

import math

import numpy as np
import statsmodels.api as sm
from scipy.stats import chi2, norm

ABOUT = "Best fine position and width from steps to the first noise; tilt of the hanger since the handed-over windows."
SOURCE = "statsmodels WLS with known variances; scipy.stats; pitch radius by ISO 606"

SPREAD = (10, 13, 17, 21, 28, 36)


def windows(cogs, ins, outs):
    return [{"cog": cog, "in_steps": i, "out_steps": o} for cog, i, o in zip(cogs, ins, outs, strict=True)]


def radius(teeth):
    return 12.7 / (2 * math.sin(math.pi / teeth))


def of_cog(rows, cog):
    return [row for row in rows if row["cog"] == cog]


def middle(row):
    return (row["in_steps"] - row["out_steps"]) / 2


def width(row):
    return row["in_steps"] + row["out_steps"]


def since(now, then, step_mm, radius_mm, u):
    cogs = sorted({row["cog"] for row in now} & {row["cog"] for row in then})
    if len(cogs) < 3:
        return dict.fromkeys(
            ("width_change_steps", "u_width_change_steps", "tilt_deg", "u_tilt_deg", "vertical_mm", "agrees")
        )
    moved, widths, variances = [], [], []
    for cog in cogs:
        sides = [of_cog(now, cog), of_cog(then, cog)]
        moved.append(np.mean([middle(r) for r in sides[0]]) - np.mean([middle(r) for r in sides[1]]))
        widths.append(np.mean([width(r) for r in sides[0]]) - np.mean([width(r) for r in sides[1]]))
        variances.append(u**2 / 2 * sum(1 / len(side) for side in sides))
    variances = np.array(variances)
    design = sm.add_constant(np.array([radius(cog) for cog in cogs]))
    fitted = sm.WLS(np.array(moved) * step_mm, design, weights=1 / (variances * step_mm**2)).fit(cov_type="fixed scale")
    slope, u_slope = float(fitted.params[1]), float(fitted.bse[1])
    chi = float(np.sum(fitted.resid**2 / (variances * step_mm**2)))
    z = float(norm.ppf(0.975))
    return {
        "width_change_steps": float(np.mean(widths)),
        "u_width_change_steps": math.sqrt(np.sum(4 * variances)) / len(cogs),
        "tilt_deg": math.degrees(math.atan(-slope)),
        "u_tilt_deg": math.degrees(u_slope / (1 + slope**2)),
        "tilt_interval_deg": [math.degrees(math.atan(-slope + sign * z * u_slope)) for sign in (-1, 1)],
        "vertical_mm": -2 * radius_mm * slope,
        "u_vertical_mm": 2 * radius_mm * u_slope,
        "agrees": bool(chi <= chi2.ppf(0.99, len(cogs) - 2)),
    }


def case(name, now, then=None, step_mm=0.2, radius_mm=311.0, u_steps=0.3, source="statsmodels WLS"):
    inputs = {"cogs": now, "step_mm": step_mm, "radius_mm": radius_mm, "u_steps": u_steps}
    if then is not None:
        inputs["handed_over"] = then
    middles = sm.OLS([middle(row) for row in now], np.ones(len(now))).fit(
        cov_type="fixed scale", cov_kwds={"scale": u_steps**2 / 2}
    )
    expected = {
        "centre_steps": float(middles.params[0]),
        "u_centre_steps": float(middles.bse[0]),
        "width_steps": float(np.mean([width(row) for row in now])),
        **since(now, then or [], step_mm, radius_mm, u_steps),
    }
    return {"id": name, "inputs": inputs, "expected": expected, "source": source}


def refused(name, rows, source):
    inputs = {"cogs": rows, "step_mm": 0.2, "radius_mm": 311.0, "u_steps": 0.3}
    return {"id": name, "inputs": inputs, "expected": {"error": True}, "source": source}


def cases():
    even = windows(SPREAD, [5] * 6, [5] * 6)
    tilted = windows(SPREAD, [5, 5, 4, 4, 3, 3], [5, 5, 6, 6, 7, 7])
    return [
        case("middle", windows((10, 21, 36), (6, 5, 5), (3, 4, 3))),
        case("nothing-changed", even, even),
        case("bent-in", tilted, even),
        case("bent-out", even, tilted),
        case("wider", windows(SPREAD, [6] * 6, [6] * 6), even),
        case("three-cogs", tilted[::2], even[::2]),
        case("other-cogs", windows((11, 15, 36), (5, 5, 4), (5, 4, 5)), even),
        case("counted-twice", [*tilted, *tilted[:2]], even),
        case("off-the-line", windows(SPREAD, [5, 9, 3, 8, 2, 6], [5, 1, 7, 2, 8, 4]), even),
        case("fine-steps-small-wheel", tilted, even, step_mm=0.05, radius_mm=203.0, u_steps=0.5),
        case("rubs-as-set", windows((10, 21, 36), (-1, 0, 1), (8, 7, 6))),
        refused("two-cogs", windows((10, 36), (5, 5), (5, 5)), "a slope and its check need three"),
        refused("same-cog", windows((21, 21, 21), (5, 5, 5), (5, 5, 5)), "one cog has no slope"),
        refused("window-below-nothing", windows((10, 21, 36), (5, 1, 5), (5, -2, 5)), "noise on both sides at once"),
    ]
