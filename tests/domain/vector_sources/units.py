"""Conversions worked by pint, whose own definitions of the units are the outside check of the factors."""

import pint

ABOUT = "A value converted by exact factors (texts of decimals joined by * and /), rounded once."
SOURCE = "pint's default registry; factors of NIST Special Publication 811 (2008), Appendix B"

FACTORS = {
    "N*m": "1",
    "lbf*in": "4.4482216152605*0.0254",
    "lbf*ft": "4.4482216152605*0.3048",
    "kgf*m": "9.80665",
    "kPa": "1000",
    "bar": "100000",
    "psi": "4.4482216152605/0.00064516",
    "mm": "0.001",
    "cm": "0.01",
    "inch": "0.0254",
    "km": "1000",
    "mile": "1609.344",
    "turn": "1",
    "minute": "60",
    "hour": "3600",
}
CASES = [
    ("lbf*in", "N*m", 1),
    ("lbf*ft", "N*m", 1),
    ("lbf*ft", "N*m", 29.5),
    ("kgf*m", "N*m", 1),
    ("N*m", "lbf*in", 5.5),
    ("N*m", "kgf*m", 40),
    ("psi", "kPa", 1),
    ("psi", "kPa", 72.5),
    ("bar", "kPa", 5.2),
    ("kPa", "psi", 500),
    ("inch", "mm", 0.5),
    ("mm", "inch", 311),
    ("cm", "mm", 1.2),
    ("mile", "km", 1234.5),
    ("hour", "minute", 1.25),
    ("psi", "kPa", 0),
    ("inch", "mm", -0.02),
]


def spelt(unit):
    """The unit as pint names it."""
    return unit.replace("lbf", "force_pound").replace("kgf", "force_kilogram")


def cases():
    registry = pint.UnitRegistry()
    made = []
    for old, new, value in CASES:
        expected = float(registry.Quantity(float(value), spelt(old)).to(spelt(new)).magnitude)
        inputs = {"value": value, "from_factor": FACTORS[old], "to_factor": FACTORS[new]}
        made.append(
            {
                "id": f"{value} {old} in {new}",
                "inputs": inputs,
                "expected": {"value": expected},
                "tolerance": abs(expected) * 1e-11 + 1e-12,
                "source": "pint; NIST SP 811, Appendix B.8",
            }
        )
    return made
