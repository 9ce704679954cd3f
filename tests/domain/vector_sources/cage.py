"""Cage rotations as the phase of a complex number, their uncertainty as a difference quotient in many digits."""

import cmath
import math

from mpmath import atan, mp, mpf

ABOUT = "Rotation of the front cage from its two gaps, positive where the front stands out; the alignment with its u."
SOURCE = "cmath.phase; mpmath difference quotient for JCGM 100:2008, 5.1.2"


def case(name, front, tail, length, u):
    mp.dps = 40
    step = mpf("1e-15")
    ends = [atan((mpf(front) - mpf(tail) + sign * step) / mpf(length)) for sign in (1, -1)]
    expected = {
        "rotation_deg": math.degrees(cmath.phase(complex(length, front - tail))),
        "u_rotation_deg": math.degrees(float((ends[0] - ends[1]) / (2 * step))) * u,
        "alignment_mm": front - tail,
        "u_alignment_mm": u,
    }
    inputs = {"front_gap_mm": front, "tail_gap_mm": tail, "cage_length_mm": length, "u_alignment_mm": u}
    return {"id": name, "inputs": inputs, "expected": expected, "source": "cmath.phase; mpmath"}


def refused(name, source, **inputs):
    given = {"front_gap_mm": 1.5, "tail_gap_mm": 1.0, "cage_length_mm": 60, "u_alignment_mm": 0.15, **inputs}
    return {"id": name, "inputs": given, "expected": {"error": True}, "source": source}


def cases():
    return [
        case("parallel", 1.5, 1.5, 60, 0.15),
        case("front-out", 2.0, 1.0, 60, 0.15),
        case("tail-out", 1.0, 1.75, 55, 0.15),
        case("one-degree", 2.0, 1.0, 57.28996163, 0.15),
        case("far-out", 40, 0, 40, 0.5),
        case("exact-gaps", 1.6, 1.4, 62, 0),
        refused("no-length", "an angle needs a base", cage_length_mm=0),
        refused("negative-uncertainty", "no such thing", u_alignment_mm=-0.1),
        refused("absurd-gap", "metres, not millimetres", front_gap_mm=1500),
    ]
