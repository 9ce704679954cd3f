"""Noises: periods by statsmodels' least squares on indices known beforehand, chances by scipy's distributions."""

import math

import numpy as np
import statsmodels.api as sm
from scipy.stats import norm, t

ABOUT = (
    "Period from tap times, ratio to the crank, and the chance of each part; by taps or by a count in ten pedal turns. "
    "Candidates are ranked, the likeliest first."
)
SOURCE = "statsmodels OLS; scipy.stats.t, norm; Bayes' rule with equal priors; rotation ratios by counting teeth"

COUNTED = "scipy.stats.norm; Bayes' rule"
GEAR = {"ring": 46, "cog": 17}
BIKE = {"chain_links": 112, "pulley_teeth": 12}


def jitter(n, seed, size=25.0):
    return np.random.default_rng(seed).normal(0, size, n)


def taps(indices, period, seed, start=1000.0, bend=0.0):
    """Taps at these indices, in whole milliseconds; `bend` is the change of tempo over the whole, as a share."""
    x = np.array(indices, dtype=float)
    share = x / x[-1] - 0.5
    times = start + period * x + bend * period * x[-1] * (share**2 - 0.25) / 2
    return [round(float(time)) for time in times + jitter(len(x), seed)]


def period(times, indices):
    """Period, its error and freedom; the definition's choice between regression and first-to-last is replayed."""
    times, x = np.array(times, dtype=float) - times[0], np.array(indices, dtype=float)
    x = x - (x[0] + x[-1]) / 2
    columns = [np.ones(len(x)), x] + ([x**2] if len(x) >= 8 else [])
    fitted = sm.OLS(times, np.column_stack(columns)).fit()
    left = fitted.resid
    wanders = len(x) >= 8 and left[1:] @ left[:-1] / (left @ left) * math.sqrt(len(x)) > 1
    if len(x) < 20 and not wanders:
        return float(fitted.params[1]), float(fitted.bse[1]), int(fitted.df_resid)
    off = []
    for n in range(1, len(x) - 1):
        share = (x[n] - x[n - 1]) / (x[n + 1] - x[n - 1])
        gap = times[n] - np.interp(x[n], x[[n - 1, n + 1]], times[[n - 1, n + 1]])
        off.append(gap**2 / (1 + share**2 + (1 - share) ** 2))
    span = x[-1] - x[0]
    return float(times[-1] / span), math.sqrt(2 * np.mean(off)) / span, len(off) / 1.944


def ratios(gear, bike):
    found = {"crank": 1.0, "pedal_strokes": 2.0, "wheel": gear["ring"] / gear["cog"]}
    if "chain_links" in bike:
        found["chain_loop"] = gear["ring"] / bike["chain_links"]
    if "pulley_teeth" in bike:
        found["pulley"] = gear["ring"] / bike["pulley_teeth"]
    return found


def ranked(weights, crank_ms, turns):
    total = sum(weights.values())
    rows = [
        {
            "part": part,
            "expected_period_ms": crank_ms / turns[part] if crank_ms and part in turns else None,
            "probability": weight / total,
        }
        for part, weight in weights.items()
    ]
    return sorted(rows, key=lambda row: -row["probability"])


def verdict(rows):
    told = rows[0]["probability"] >= 0.9 and rows[0]["part"] != "other"
    still_open = [row["part"] for row in rows if row["probability"] >= 0.05]
    return {"told_apart": bool(told), "not_told_apart": [] if told or still_open == ["other"] else still_open}


def tapped(name, indices, true_ms, seed, gear=GEAR, bike=BIKE, crank=None, bend=0.0, coasting=None, **reference):
    """A case by taps; `crank` is (indices, period, seed, start) of a crank tapped beside it."""
    times = taps(indices, true_ms, seed, bend=bend)
    found, u, freedom = period(times, indices)
    half = float(t.ppf(0.975, freedom)) * u
    expected = {"period_ms": found, "u_period_ms": u, "period_interval_ms": [found - half, found + half]}
    inputs = {"taps_ms": times, "gear": gear, **bike, **reference}
    own, other, other_freedom = u / found, 0.03, math.inf
    if crank:
        crank_indices, crank_true, crank_seed, start = crank
        inputs["crank_taps_ms"] = taps(crank_indices, crank_true, crank_seed, start, bend)
        crank_ms, u_crank, other_freedom = period(inputs["crank_taps_ms"], crank_indices)
        other = u_crank / crank_ms
        if start > times[-1]:
            other, other_freedom = math.hypot(other, 0.03), math.inf
    elif "cadence_rpm" in reference:
        crank_ms = 60_000 / reference["cadence_rpm"]
    elif "speed_kmh" in reference:
        metres = bike["circumference_mm"] / 1000
        crank_ms = metres / (reference["speed_kmh"] / 3.6) * 1000 * gear["ring"] / gear["cog"]
    else:
        expected |= {"ratio_to_crank": None, "candidates": [], "told_apart": False, "not_told_apart": []}
        return {"id": name, "inputs": inputs, "expected": expected, "source": "statsmodels OLS"}
    relative = math.hypot(own, other)
    freedom = relative**4 / (own**4 / freedom + other**4 / other_freedom)
    turns = ratios(gear, bike)
    weights = {
        part: float(t.pdf(math.log(crank_ms / found / turn) / relative, freedom))
        for part, turn in turns.items()
        if crank_ms / turn >= 250
    }
    if coasting is not None:
        inputs["coasting"] = coasting
        weights = {part: weight for part, weight in weights.items() if part == "wheel" or not coasting}
    rows = ranked(weights | {"other": float(t.pdf(4, freedom))}, crank_ms, turns)
    expected |= {"ratio_to_crank": crank_ms / found, "candidates": rows, **verdict(rows)}
    return {"id": name, "inputs": inputs, "expected": expected, "tolerance": 1e-7, "source": "OLS; Student's t"}


def counted(name, count, gear=GEAR, bike=BIKE, coasting=None, cadence_rpm=None):
    turns = ratios(gear, bike)
    weights = {part: float(norm.pdf(count, 10 * turn, math.hypot(0.5, 0.3 * turn))) for part, turn in turns.items()}
    inputs = {"count_in_ten_turns": count, "gear": gear, **bike}
    if coasting is not None:
        inputs["coasting"] = coasting
        weights = {part: weight for part, weight in weights.items() if part == "wheel" or not coasting}
    u = math.hypot(0.5, 0.03 * count)
    weights["other"] = float(norm.pdf(4)) / u
    crank_ms = None
    if cadence_rpm is not None:
        inputs["cadence_rpm"] = cadence_rpm
        crank_ms = 60_000 / cadence_rpm
    rows = ranked(weights, crank_ms, turns)
    expected = {
        "ratio_to_crank": count / 10,
        "period_ms": crank_ms and crank_ms / (count / 10),
        "u_period_ms": crank_ms and crank_ms / (count / 10) * math.hypot(u / count, 0.03),
        "candidates": rows,
        **verdict(rows),
    }
    return {"id": name, "inputs": inputs, "expected": expected, "tolerance": 1e-7, "source": COUNTED}


def refused(name, source, **inputs):
    return {"id": name, "inputs": {"gear": GEAR, **BIKE, **inputs}, "expected": {"error": True}, "source": source}


def cases():
    dozen = list(range(12))
    skipping = [0, 1, 2, 4, 5, 6, 8, 9, 10, 11, 12, 14]
    crank_ms = 60_000 / 80
    wheel_ms = crank_ms * 17 / 46
    wheel = {**BIKE, "circumference_mm": 2100}
    return [
        tapped("crank-with-cadence", dozen, crank_ms, 1, cadence_rpm=80),
        tapped("crank-with-crank-taps", dozen, crank_ms, 2, crank=(dozen, crank_ms, 3, 1200.0)),
        tapped("strokes-missed-taps", skipping, crank_ms / 2, 4, cadence_rpm=82),
        tapped("wheel-by-speed", dozen, wheel_ms, 5, bike=wheel, speed_kmh=27.5),
        tapped("wheel-with-drift", dozen, wheel_ms, 6, bend=0.04, crank=(dozen[:6], crank_ms, 7, 1000.0)),
        tapped("chain-loop", skipping, crank_ms * 112 / 46, 8, cadence_rpm=79),
        tapped("few-taps", [0, 1, 2, 4], crank_ms, 9, cadence_rpm=80),
        tapped("many-taps", list(range(30)), crank_ms, 12, cadence_rpm=80),
        tapped("wheel-or-strokes", dozen, crank_ms / 2, 11, gear={"ring": 34, "cog": 17}, cadence_rpm=80),
        tapped("fits-nothing", dozen, crank_ms / 1.4, 12, cadence_rpm=80),
        tapped("goes-on-while-coasting", dozen, wheel_ms, 13, cadence_rpm=80, coasting=True),
        tapped("stops-while-coasting", dozen, wheel_ms, 14, cadence_rpm=80, coasting=False),
        tapped("crank-tapped-afterwards", dozen, crank_ms, 15, crank=(dozen, crank_ms, 16, 60_000.0)),
        tapped("nothing-to-compare", dozen, crank_ms, 17),
        counted("ten", 10),
        counted("twenty", 20, cadence_rpm=80),
        counted("wheel-27", 27),
        counted("loop-4", 4),
        counted("pulley-38", 38),
        counted("between", 15),
        counted("wheel-or-strokes-counted", 20, gear={"ring": 34, "cog": 17}),
        counted("coasting-20", 20, coasting=True),
        counted("no-pulley-known", 27, bike={}),
        refused("three-taps", "no scatter left to judge by", taps_ms=[0, 700, 1400], cadence_rpm=80),
        refused("too-fast", "200 ms", taps_ms=list(range(0, 2400, 200)), cadence_rpm=80),
        refused("out-of-order", "time goes one way", taps_ms=[0, 700, 600, 1400, 2100], cadence_rpm=80),
        refused("all-at-once", "no time passes", taps_ms=[5, 5, 5, 5, 5], cadence_rpm=80),
        refused("no-noise", "nothing was counted", count_in_ten_turns=0),
    ]
