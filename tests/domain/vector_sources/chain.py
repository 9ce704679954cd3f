"""Chain sizes from tangent points found numerically, and elongations in whole fractions."""

import math
from fractions import Fraction

from scipy.optimize import brentq

ABOUT = "Exact length over outer ring and largest cog, links to cut, capacity, elongation; null where not known."
SOURCE = "tangents by scipy.optimize.brentq; pitch and pitch circle by ISO 606; the rule of two links: common practice"

WIDE = [10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 36]


def radius(teeth):
    return 12.7 / (2 * math.sin(math.pi / teeth))


def links(ring, cog, centre):
    """Lay the chain round in coordinates: the upper tangent touches both circles under the same angle."""
    r1, r2 = radius(ring), radius(cog)
    angle = brentq(lambda t: centre * math.cos(t) - (r1 - r2), 0, math.pi, xtol=1e-15)
    ring_point = (r1 * math.cos(angle), r1 * math.sin(angle))
    cog_point = (centre + r2 * math.cos(angle), r2 * math.sin(angle))
    span = math.dist(ring_point, cog_point)
    return 2 * span / 12.7 + ring * (math.pi - angle) / math.pi + cog * angle / math.pi


def size_case(name, rings, cogs, chainstay_mm, source="tangent geometry; ISO 606", **more):
    exact = links(max(rings), max(cogs), chainstay_mm + more.get("growth_mm", 0))
    even = next(n for n in range(0, 1000, 2) if n >= exact - 1e-9)
    capacity = max(rings) - min(rings) + max(cogs) - min(cogs)
    rated, largest = more.get("rear_capacity"), more.get("rear_max_cog")
    return {
        "id": name,
        "inputs": {"rings": rings, "cogs": cogs, "chainstay_mm": chainstay_mm, **more},
        "expected": {
            "exact_links": exact,
            "links_to_cut": even + more.get("allowance_links", 2),
            "capacity_needed": capacity,
            "capacity_ok": None if rated is None else capacity <= rated,
            "max_cog_ok": None if largest is None else max(cogs) <= largest,
        },
        "source": source,
    }


def elongation_case(name, count, length_mm, source="L / (n x 12.7) - 1 in whole fractions; ISO 9633"):
    percent = (Fraction(str(length_mm)) / (count * Fraction("12.7")) - 1) * 100
    inputs = {"measured": {"links": count, "length_mm": length_mm}}
    return {"id": name, "inputs": inputs, "expected": {"elongation_percent": float(percent)}, "source": source}


def cases():
    return [
        size_case("double", [46, 33], WIDE, 415, rear_capacity=39, rear_max_cog=36),
        size_case("double-capacity-short", [50, 34], WIDE, 410, rear_capacity=37, rear_max_cog=34),
        size_case("single", [40], WIDE, 430, allowance_links=2),
        size_case("single-small-ring", [32], [10, 12, 14, 16, 18, 21, 24, 28, 32, 36, 42, 52], 435, allowance_links=4),
        size_case("suspension", [32], [10, 52], 435, growth_mm=18, allowance_links=2),
        size_case("triple", [44, 32, 22], [11, 34], 425, allowance_links=2),
        size_case("equal-sprockets", [20, 20], [20], 381),
        elongation_case("new", 12, 152.4),
        elongation_case("half-percent", 24, 306.324),
        elongation_case("sixteenth-inch", 24, 306.3875, "1/16 in over 12 in: 0.52 %, identity from ISO 606"),
        elongation_case("short", 20, 253.9),
        {
            "id": "miscounted",
            "inputs": {"measured": {"links": 12, "length_mm": 165.1}},
            "expected": {"error": True},
            "source": "13 links measured, 12 given: 8.3 % apart",
        },
        {
            "id": "too-short-chainstay",
            "inputs": {"rings": [46, 33], "cogs": WIDE, "chainstay_mm": 150},
            "expected": {"error": True},
            "source": "pitch radii of 46 and 36 teeth add up to 166 mm",
        },
    ]
