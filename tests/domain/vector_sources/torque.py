"""Torques with pint's units, lever arms written out, and the overlap of intervals counted on a grid."""

import math

import pint
from scipy.stats import norm

ABOUT = (
    "Setting with an adapter, torque at the fastener, verdict. `applied` is what the wrench showed; lower and upper "
    "are in `unit`, and where they are not given the target's band is 10 % to either side."
)
SOURCE = (
    "lever arms (US Army TM 9-254); pint; ISO 6789:2003 type II class A; JCGM 100:2008, 4.3.7; "
    "JCGM 106:2012, clause 7, by scipy.stats.norm"
)

PINT = {"N·m": "N*m", "lbf·in": "force_pound*inch", "lbf·ft": "force_pound*foot", "kgf·m": "force_kilogram*m"}
FACTORS = {
    "N·m": "1",
    "lbf·in": "4.4482216152605*0.0254",
    "lbf·ft": "4.4482216152605*0.3048",
    "kgf·m": "9.80665",
}


def share(low, high, lower, upper):
    cells = 200_000
    width = (high - low) / cells
    inside = sum(lower <= low + width * (n + 0.5) <= upper for n in range(cells))
    return inside / cells


def clear_of(applied, lower, upper):
    """Whether a torque misses its band even if the wrench erred by half of it."""
    return applied * 1.5 < lower or applied * 0.5 > upper


def chance(applied, gain, lower, upper, largest, wrench):
    """A tolerance is a rectangle; a certificate's standard uncertainty is a normal distribution (scipy's)."""
    if "wrench_u_nm" in wrench and "tolerance_percent" not in wrench:
        spread = norm(applied, wrench["wrench_u_nm"] * gain)
        return float(spread.cdf(upper) - spread.cdf(lower))
    half = applied * wrench.get("tolerance_percent", 4 if largest > 10 else 6) / 100
    return share(applied - half, applied + half, lower, upper) if half else float(lower <= applied <= upper)


LEVERS = "lever arms; pint"
NORMAL = f"{LEVERS}; scipy.stats.norm"
RANGE = f"{LEVERS}; the range of the wrench's certificate"
BY_HALF = f"{LEVERS}; worked by hand: half and one and a half times the torque against the band (the half from memory)"


def case(name, target, unit="N·m", source=LEVERS, **more):
    to_nm = pint.UnitRegistry().Quantity(1.0, PINT[unit]).to("N*m").magnitude
    gain = 1.0
    if "adapter_mm" in more:
        arm = more["wrench_mm"] + more["adapter_mm"] * math.cos(math.radians(more.get("angle_deg", 0)))
        gain = arm / more["wrench_mm"]
    expected = {
        "set_to": target / gain,
        "target_nm": target * to_nm,
        "applied_nm": None,
        "verdict": None,
        "p_inside": None,
    }
    shown = more.get("applied")
    if shown is not None:
        shown_nm = shown * to_nm
        applied = expected["applied_nm"] = shown_nm * gain
        largest, least = more.get("wrench_max_nm"), more.get("wrench_min_nm")
        lower = more.get("lower", 0.9 * target) * to_nm
        upper = more.get("upper", 1.1 * target) * to_nm
        if least is None and largest is not None:
            least = 0.2 * largest
        p = None
        if (least or 0) <= shown_nm <= (math.inf if largest is None else largest):
            p = chance(applied, gain, lower, upper, shown_nm if largest is None else largest, more)
        elif clear_of(applied, lower, upper):
            p = 0.0
        if p is not None:
            expected["verdict"] = "inside" if p >= 0.95 else "outside" if p <= 0.05 else "borderline"
            expected["p_inside"] = p
    inputs = {"target": target, "unit": unit, "factor_nm": FACTORS[unit], **more}
    return {"id": name, "inputs": inputs, "expected": expected, "tolerance": 2e-5, "source": source}


def refused(name, source, **inputs):
    return {"id": name, "inputs": inputs, "expected": {"error": True}, "source": source}


def cases():
    army = {"wrench_mm": 304.8, "adapter_mm": 50.8}
    return [
        case("straight", 10, applied=10),
        case("army-extension", 70, "lbf·ft", "US Army TM 9-254: 60 shown over 12 + 2 in is 70", applied=60, **army),
        case("adapter-square", 40, wrench_mm=300, adapter_mm=60, angle_deg=90, applied=40),
        case("adapter-45", 40, wrench_mm=300, adapter_mm=60, angle_deg=45, applied=35),
        case("adapter-back", 12, wrench_mm=250, adapter_mm=30, angle_deg=180, applied=13.6),
        case("pound-inches", 50, "lbf·in", applied=48),
        case("kilogram-metres", 4, "kgf·m", applied=4.1),
        case("range-inside", 6, lower=5, upper=7, applied=6),
        case("range-borderline", 6, lower=5, upper=7, applied=5),
        case("range-outside", 6, lower=5, upper=7, applied=4.5),
        case("too-tight", 5, applied=6),
        case("good-wrench", 5, applied=5.4, tolerance_percent=1),
        case("perfect-wrench", 5, applied=5.4, tolerance_percent=0),
        case("large-wrench-of-small-torque", 12, applied=12, wrench_max_nm=50),
        case("below-range", 5, applied=5, wrench_max_nm=60),
        case("above-range", 54, applied=54, wrench_max_nm=50),
        case("above-range-by-far", 5, source=BY_HALF, applied=50, wrench_min_nm=2, wrench_max_nm=14),
        case("below-range-by-far", 40, source=BY_HALF, applied=4, wrench_max_nm=60),
        case("out-of-range-and-it-may-be-right", 5, source=BY_HALF, applied=7, wrench_max_nm=60),
        case("certified-wrench", 5, source=NORMAL, applied=5.4, wrench_u_nm=0.1),
        case(
            "certified-wrench-with-adapter",
            40,
            source=NORMAL,
            wrench_mm=300,
            adapter_mm=60,
            applied=35,
            wrench_u_nm=0.8,
        ),
        case("certified-and-with-tolerance", 5, applied=5.4, wrench_u_nm=0.1, tolerance_percent=1),
        case("certified-from-lower", 5, source=RANGE, applied=5, wrench_max_nm=60, wrench_min_nm=4),
        case("certified-from-higher", 5, source=RANGE, applied=5, wrench_max_nm=20, wrench_min_nm=6),
        case("certified-from-alone", 5, source=RANGE, applied=5, wrench_min_nm=6),
        case("certified-from-alone-and-above", 5, source=RANGE, applied=5, wrench_min_nm=4),
        case("not-yet-tightened", 40),
        refused("adapter-without-length", "the arm is not known", target=40, unit="N·m", factor_nm="1", adapter_mm=60),
        refused(
            "adapter-cancels",
            "the arm vanishes",
            target=40,
            unit="N·m",
            factor_nm="1",
            wrench_mm=100,
            adapter_mm=100,
            angle_deg=180,
        ),
    ]
