"""The gear table: ratio, development, chain angle and how often each part turns."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from service.domain.errors import CannotCompute


@dataclass(frozen=True)
class Lines:
    """Where rings and cogs lie, in mm from the bike's middle plane; chainline is the middle of the rings."""

    chainline_mm: float | None = None
    ring_spacing_mm: float | None = None
    cassette_line_mm: float | None = None
    cog_pitch_mm: float | None = None
    chainstay_mm: float | None = None


@dataclass(frozen=True)
class Gear:
    """One line of the table. Development in metres a crank turn; the angle is None where a line is not known."""

    ring: int
    cog: int
    ratio: float
    development_m: float
    chain_angle_deg: float | None
    rotations: dict[str, float]


def rotations(ring: int, cog: int, chain_links: int | None = None, pulley_teeth: int | None = None) -> dict[str, float]:
    """Turns of each part for one crank turn, as chain and teeth force them; parts of unknown size are left out.

    Crank 1, pedal strokes 2, wheel ring/cog, chain loop ring/links, pulley ring/teeth (kinematics).
    Raises CannotCompute for a count that is not above zero.
    """
    if any(count is not None and count < 1 for count in (ring, cog, chain_links, pulley_teeth)):
        raise CannotCompute("Teeth and links are counted from one up.")
    turns = {"crank": 1.0, "pedal_strokes": 2.0, "wheel": ring / cog}
    if chain_links is not None:
        turns["chain_loop"] = ring / chain_links
    if pulley_teeth is not None:
        turns["pulley"] = ring / pulley_teeth
    return turns


def gear_table(
    rings: Sequence[int],
    cogs: Sequence[int],
    circumference_mm: float,
    lines: Lines | None = None,
    chain_links: int | None = None,
    pulley_teeth: int | None = None,
) -> list[Gear]:
    """Every ring with every cog, largest ring and largest cog first.

    Ratio = ring / cog; development = ratio x rolling circumference / 1000. Raises CannotCompute without rings or
    cogs, or for a circumference that is not between 0 and 10 m.
    """
    if not rings or not cogs:
        raise CannotCompute("Rings and cogs are needed for a gear table.")
    if not (math.isfinite(circumference_mm) and 0 < circumference_mm <= 10_000):
        raise CannotCompute("The rolling circumference must be a length in millimetres.")
    return [
        Gear(
            ring=ring,
            cog=cog,
            ratio=ring / cog,
            development_m=ring / cog * circumference_mm / 1000,
            chain_angle_deg=chain_angle(rings, cogs, ring, cog, lines or Lines()),
            rotations=rotations(ring, cog, chain_links, pulley_teeth),
        )
        for ring in sorted(set(rings), reverse=True)
        for cog in sorted(set(cogs), reverse=True)
    ]


def missing_lines(rings: Sequence[int], lines: Lines) -> str | None:
    """Why there is no chain angle, in words; None where everything it needs is known."""
    needed = {
        "chainline": lines.chainline_mm,
        "cassette centre line": lines.cassette_line_mm,
        "cog pitch": lines.cog_pitch_mm,
        "chainstay": lines.chainstay_mm,
    }
    if len(set(rings)) > 1:
        needed["ring spacing"] = lines.ring_spacing_mm
    missing = [name for name, length in needed.items() if length is None or not 0 < length <= 10_000]
    return f"For the chain angle this is missing: {', '.join(missing)}." if missing else None


def chain_angle(rings: Sequence[int], cogs: Sequence[int], ring: int, cog: int, lines: Lines) -> float | None:
    """Sideways angle of the chain in degrees: atan((cog line - ring line) / chainstay), positive outboard to the rear.

    Larger rings and smaller cogs lie farther outboard, at equal spacing about their middle (geometry). None where a
    line is not known.
    """
    if missing_lines(rings, lines):
        return None
    ring_line = lines.chainline_mm + _place(sorted(set(rings)), ring) * (lines.ring_spacing_mm or 0.0)
    cog_line = lines.cassette_line_mm + _place(sorted(set(cogs), reverse=True), cog) * lines.cog_pitch_mm
    return math.degrees(math.atan((cog_line - ring_line) / lines.chainstay_mm))


def _place(from_inboard: Sequence[int], teeth: int) -> float:
    """Places outboard of the middle."""
    return from_inboard.index(teeth) - (len(from_inboard) - 1) / 2
