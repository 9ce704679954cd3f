"""One bike of the scenario: what is built into it, how it is ridden and how fast it wears."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from service.domain.bike import facts


@dataclass(frozen=True)
class DemoBike:
    """One bike. Rates are a 1000 km; pressures in kPa.

    `usual` overrides what a fresh bike's quantities are; `when_first_seen` and `km_before` hold for a bike that the
    shop did not build.
    """

    key: str
    label: str
    rings: tuple[int, ...]
    cogs: tuple[int, ...]
    shifting: str
    km_a_day: float
    frame_number: str
    customer: str | None = None
    rear_mount: str = "hanger"
    suspension: bool = False
    brakes: str = "disc"
    tyres: str = "tubeless"
    bead_seat_mm: int = 622
    circumference_mm: int = 2225
    chainstay_mm: int = 425
    trim_step_mm: float | None = None
    actuation_ratio: float | None = None
    cog_pitch_mm: float = 3.6
    chainline_mm: float = 45.0
    ring_spacing_mm: float | None = None
    pulley_depth_mm: float = 50.0
    pressures: tuple[int, int] = (240, 260)
    chain_rate: float = 0.10
    pad_rate: float = 0.30
    has_odometer: bool = True
    serials: tuple[str, ...] = ()
    usual: Mapping[str, float] = field(default_factory=dict)
    when_first_seen: Mapping[str, float] = field(default_factory=dict)
    km_before: int = 0

    def body(self) -> dict[str, Any]:
        """The body of its PUT, without `base_seq` and `customer_id`."""
        train = {
            "rings": list(self.rings), "cogs": list(self.cogs), "shifting": self.shifting,
            "rear_mount": self.rear_mount, "front_derailleur": len(self.rings) > 1, "suspension": self.suspension,
            "chainstay_mm": self.chainstay_mm, "rear_max_cog": self.cogs[-1],
            "rear_capacity": self.cogs[-1] - self.cogs[0] + self.rings[0] - self.rings[-1],
            "cog_pitch_mm": self.cog_pitch_mm, "chainline_mm": self.chainline_mm,
        }  # fmt: skip
        extras = {name: getattr(self, name) for name in ("trim_step_mm", "actuation_ratio", "ring_spacing_mm")}
        train |= {name: value for name, value in extras.items() if value is not None}
        wheel = {"bead_seat_mm": self.bead_seat_mm, "circumference_mm": self.circumference_mm}
        body = {"label": self.label, "frame_number": self.frame_number, "drivetrain": train, "wheel": wheel,
                "brakes": self.brakes, "tyres": self.tyres}  # fmt: skip
        return body | ({"serials": list(self.serials)} if self.serials else {})

    @cached_property
    def facts(self) -> dict[str, Any]:
        return facts(self.body())

    @property
    def radius_mm(self) -> float:
        return self.bead_seat_mm / 2

    @property
    def fine_mm(self) -> float:
        """How far the guide pulley moves for one fine step, or for a quarter turn of the barrel (0.8 mm thread)."""
        return self.trim_step_mm or 0.25 * 0.8 * (self.actuation_ratio or 1.0)

    @property
    def chain_links(self) -> int:
        """Largest ring and largest cog, up to the next even number, and two links more (common practice)."""
        z1, z2, stay = self.rings[0], self.cogs[-1], self.chainstay_mm / 12.7
        exact = 2 * stay + (z1 + z2) / 2 + ((z1 - z2) / (2 * math.pi)) ** 2 / stay
        return 2 * math.ceil(exact / 2) + 2

    @property
    def is_electronic(self) -> bool:
        return self.shifting == "electronic"
