"""Chain and sprockets: pitch radius, length, cut, capacity, elongation. Lengths in mm unless said otherwise."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from service.domain.errors import CannotCompute

PITCH_MM = 12.7  # ISO 606, ISO 9633
ALLOWANCE_LINKS = 2  # one outer and one inner link, for a double; common practice
DOUBLE_RULE = "Two links more is the rule for a double: look up what this drivetrain's maker asks for."
CHECK_ON_BIKE = "Never cut by numbers alone: lay the chain over the outer ring and largest cog first."
_SPREAD_PERCENT = 5.0


@dataclass(frozen=True)
class ChainSize:
    """Links over outer ring and largest cog, links to cut (connecting link counted), derailleur capacity in teeth."""

    exact_links: float
    links_to_cut: int
    allowance_links: int
    capacity_needed: int
    capacity_ok: bool | None
    max_cog_ok: bool | None
    advice: str
    why_not: dict[str, str] = field(default_factory=dict)


def pitch_radius(teeth: int) -> float:
    """Radius in mm of the circle through the chain's pins on a sprocket: p / (2 sin(pi / z)), ISO 606.

    Raises CannotCompute for fewer than 5 teeth.
    """
    if teeth < 5:
        raise CannotCompute("A sprocket has five teeth at least.")
    return PITCH_MM / (2 * math.sin(math.pi / teeth))


def links_over(ring: int, cog: int, centre_mm: float) -> float:
    """Length, in links, of a chain tight over two sprockets whose centres are centre_mm apart.

    2 S / p + z1 (pi + 2 beta) / 2 pi + z2 (pi - 2 beta) / 2 pi, S = root(C2 - (r1 - r2)2), beta = asin((r1 - r2) / C):
    two tangents and the wraps around the pitch circles (geometry). The handbook form 2C/p + (z1 + z2)/2 +
    ((z1 - z2)/2 pi)2 p/C (Shigley's Mechanical Engineering Design, ch. 17) is its first approximation.
    Raises CannotCompute where the sprockets would touch.
    """
    r1, r2 = pitch_radius(ring), pitch_radius(cog)
    if not (math.isfinite(centre_mm) and r1 + r2 < centre_mm <= 10_000):
        raise CannotCompute("The chainstay is too short for these sprockets, or no length at all.")
    span = math.sqrt(centre_mm**2 - (r1 - r2) ** 2)
    beta = math.asin((r1 - r2) / centre_mm)
    wrap = ring * (math.pi + 2 * beta) + cog * (math.pi - 2 * beta)
    return 2 * span / PITCH_MM + wrap / (2 * math.pi)


def size_chain(
    rings: Sequence[int],
    cogs: Sequence[int],
    chainstay_mm: float,
    growth_mm: float = 0.0,
    allowance_links: int | None = None,
    rear_capacity: int | None = None,
    rear_max_cog: int | None = None,
) -> ChainSize:
    """Size a chain over the outer ring and largest cog (common practice), and check the rear derailleur's ratings.

    growth_mm is what rear suspension adds to the chainstay at its longest. The exact length goes up to the next even
    number of links, plus the allowance: two on a double, others as the maker says. Capacity needed = (largest -
    smallest ring) + (largest - smallest cog), in teeth. A rating that is not given leaves its answer None.
    Raises CannotCompute without rings or cogs, or for lengths that cannot be.
    """
    if not rings or not cogs:
        raise CannotCompute("Rings and cogs are needed to size a chain.")
    if not (math.isfinite(growth_mm) and growth_mm >= 0):
        raise CannotCompute("What the suspension adds to the chainstay cannot be below zero.")
    allowance = ALLOWANCE_LINKS if allowance_links is None else allowance_links
    if allowance < 0 or allowance % 2:
        raise CannotCompute("A chain closes with an even number of links only: the allowance must be even.")
    exact = links_over(max(rings), max(cogs), chainstay_mm + growth_mm)
    capacity = max(rings) - min(rings) + max(cogs) - min(cogs)
    why_not = {}
    if rear_capacity is None:
        why_not["capacity_ok"] = "The rear derailleur's rated capacity is not given."
    if rear_max_cog is None:
        why_not["max_cog_ok"] = "The rear derailleur's largest cog is not given."
    unsure = allowance_links is None and len(set(rings)) != 2
    return ChainSize(
        exact_links=exact,
        # A hair of rounding must not cost two links.
        links_to_cut=2 * math.ceil(exact / 2 - 1e-9) + allowance,
        allowance_links=allowance,
        capacity_needed=capacity,
        capacity_ok=None if rear_capacity is None else capacity <= rear_capacity,
        max_cog_ok=None if rear_max_cog is None else max(cogs) <= rear_max_cog,
        advice=f"{CHECK_ON_BIKE} {DOUBLE_RULE}" if unsure else CHECK_ON_BIKE,
        why_not=why_not,
    )


def elongation(links: int, length_mm: float) -> float:
    """How much longer than new a stretch of chain is, in percent: (L / (n p) - 1) 100, pitch by ISO 9633.

    Raises CannotCompute where length and count cannot belong together: more than 5 % apart.
    """
    if links < 1 or not math.isfinite(length_mm):
        raise CannotCompute("A length over one link or more is needed.")
    percent = (length_mm / (links * PITCH_MM) - 1) * 100
    if not abs(percent) <= _SPREAD_PERCENT:
        raise CannotCompute(f"That is not the length of {links} links: count and measure again.")
    return percent
