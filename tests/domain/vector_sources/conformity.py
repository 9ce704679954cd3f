"""Verdicts from mpmath's normal distribution at 40 digits and the published cases of JCGM 106:2012."""

import mpmath

ABOUT = "Verdict and probability for a value with u, or for a go / no-go pair, in a band."
SOURCE = "JCGM 106:2012, clause 7; probabilities by mpmath.ncdf at 40 digits; JCGM 100:2008, 4.3.7 for pairs"

BANDS = [
    ("jcgm-zener", -5.47, 0.05, None, -5.4),
    ("jcgm-burst", 509.7, 8.6, 490, None),
    ("jcgm-viscosity", 13.6, 1.8, 12.5, 16.3),
    ("well-inside", 5.2, 0.2, 4.5, 6),
    ("on-the-limit", 6, 0.2, 4.5, 6),
    ("just-borderline-low", 4.82, 0.2, 4.5, 6),
    ("guard-band-inside", 1.671, 0.2, None, 2),
    ("guard-band-borderline", 1.672, 0.2, None, 2),
    ("outside-above", 6.4, 0.2, 4.5, 6),
    ("outside-by-guard-band", 2.33, 0.2, None, 2),
    ("far-outside", 40, 0.2, 4.5, 6),
    ("band-too-narrow", 0, 1, -0.5, 0.5),
    ("setting-inside", 116, 0, 116, 116),
    ("setting-outside", 114, 0, 116, 116),
    ("setting-on-limit", 2, 0, None, 2),
    ("no-band", 3, 0.2, None, None),
]
PAIRS = [
    ("pair-all-inside", 5, 5.5, 4.5, 6),
    ("pair-half", 5.5, 6.5, 4.5, 6),
    ("pair-outside", 7, 8, 4.5, 6),
    ("pair-wider-than-band", 4, 7, 4.5, 6),
    ("pair-open-below", 1, 3, None, 2),
    ("pair-without-width", 5, 5, 4.5, 6),
    ("pair-no-band", 5, 5.5, None, None),
]


def verdict(p):
    return "inside" if p >= 0.95 else "outside" if p <= 0.05 else "borderline"


def value_case(name, value, u, lower, upper):
    inputs = {"value": value, "u": u, "lower": lower, "upper": upper}
    if lower is None and upper is None:
        return {"id": name, "inputs": inputs, "expected": {"verdict": "none", "p_inside": None}, "source": "no band"}
    with mpmath.workdps(40):
        low, high = mpmath.mpf("-inf"), mpmath.mpf("inf")
        low = low if lower is None else mpmath.mpf(lower)
        high = high if upper is None else mpmath.mpf(upper)
        if u:
            p = mpmath.ncdf((high - value) / mpmath.mpf(u)) - mpmath.ncdf((low - value) / mpmath.mpf(u))
        else:
            p = mpmath.mpf(low <= value <= high)
        expected = {"verdict": verdict(p), "p_inside": float(p)}
    return {"id": name, "inputs": inputs, "expected": expected, "source": "JCGM 106:2012, clause 7; mpmath.ncdf"}


def pair_case(name, low, high, lower, upper):
    inputs = {"low": low, "high": high, "lower": lower, "upper": upper}
    source = "share of a rectangle, JCGM 100:2008, 4.3.7"
    if lower is None and upper is None:
        return {"id": name, "inputs": inputs, "expected": {"verdict": "none", "p_inside": None}, "source": source}
    # A grid of midpoints instead of the closed form; the bounds above lie on its cells' edges.
    cells = 1000
    places = [low + (high - low) * (n + 0.5) / cells for n in range(cells)]
    p = sum((lower is None or x >= lower) and (upper is None or x <= upper) for x in places) / cells
    return {"id": name, "inputs": inputs, "expected": {"verdict": verdict(p), "p_inside": p}, "source": source}


def cases():
    return [value_case(*row) for row in BANDS] + [pair_case(*row) for row in PAIRS]
