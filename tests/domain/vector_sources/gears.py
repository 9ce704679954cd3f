"""Gears in whole fractions, chain angles between two vectors laid out in the plane of the bike seen from above."""

import math
from fractions import Fraction

import numpy as np

ABOUT = "One gear of the table: ratio, development, chain angle (positive outboard to the rear) and turns of each part."
SOURCE = "whole fractions; cross product of vectors by numpy; rotation ratios by counting teeth"

WIDE = [10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 36]
LINES = {
    "chainline_mm": 45, "ring_spacing_mm": 8, "cassette_line_mm": 44, "cog_pitch_mm": 3.95, "chainstay_mm": 415,
}  # fmt: skip


def outboard(of, middle, spacing, from_inboard):
    """Distance from the bike's middle plane of one of several sprockets, their middle being known."""
    lines = np.arange(len(from_inboard)) * spacing
    return float((lines - lines.mean() + middle)[from_inboard.index(of)])


def angle(rings, cogs, ring, cog, lines):
    """Between straight back and the line from ring to cog, in a plane with x to the rear and y outboard."""
    there = outboard(cog, lines["cassette_line_mm"], lines["cog_pitch_mm"], sorted(cogs, reverse=True))
    here = outboard(ring, lines["chainline_mm"], lines.get("ring_spacing_mm", 0), sorted(rings))
    back, chain = np.array([1.0, 0.0]), np.array([lines["chainstay_mm"], there - here])
    across = back[0] * chain[1] - back[1] * chain[0]
    return math.degrees(math.asin(across / np.linalg.norm(chain)))


def case(name, rings, cogs, gear, circumference_mm, lines=None, links=None, pulley=None):
    ring, cog = gear
    turns = {"crank": 1.0, "pedal_strokes": 2.0, "wheel": float(Fraction(ring, cog))}
    if links:
        turns["chain_loop"] = float(Fraction(ring, links))
    if pulley:
        turns["pulley"] = float(Fraction(ring, pulley))
    expected = {
        "ratio": float(Fraction(ring, cog)),
        "development_m": float(Fraction(ring, cog) * Fraction(str(circumference_mm)) / 1000),
        "chain_angle_deg": None if lines is None else angle(rings, cogs, ring, cog, lines),
        "rotations": turns,
    }
    inputs = {"rings": rings, "cogs": cogs, "circumference_mm": circumference_mm, "ring": ring, "cog": cog}
    more = {"chain_links": links, "pulley_teeth": pulley, **(lines or {})}
    inputs |= {key: value for key, value in more.items() if value is not None}
    return {"id": name, "inputs": inputs, "expected": expected, "source": "whole fractions; vectors"}


def refused(name, source, **inputs):
    given = {"rings": [46, 33], "cogs": WIDE, "circumference_mm": 2100, **inputs}
    return {"id": name, "inputs": given, "expected": {"error": True}, "source": source}


def cases():
    single = {key: value for key, value in LINES.items() if key != "ring_spacing_mm"}
    return [
        case("outer-large", [46, 33], WIDE, (46, 36), 2105, LINES, 110, 12),
        case("inner-small", [46, 33], WIDE, (33, 10), 2105, LINES, 110, 12),
        case("straight-chain", [40], [11, 23, 36], (40, 23), 2200, {**single, "chainline_mm": 44}),
        case("single", [40], WIDE, (40, 14), 2340.5, single, 116),
        case("triple", [44, 32, 22], [11, 13, 15, 17, 20, 23, 26, 30, 34], (32, 20), 2070, LINES, 108, 10),
        case("lines-not-known", [50, 34], WIDE, (50, 17), 2096),
        refused("no-rings", "nothing to turn", rings=[]),
        refused("no-cogs", "nothing to drive", cogs=[]),
        refused("no-wheel", "no length", circumference_mm=0),
        refused("no-links", "a chain has links", chain_links=0),
    ]
