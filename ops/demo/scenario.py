"""The scenario: bodies of requests, in the order a shop would have sent them, with the truth beside."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from ops.demo.bikes import BIKES
from ops.demo.shop import CUSTOMERS, GAUGES, PEOPLE
from ops.demo.truth import Truth
from ops.demo.visit import Visit


@dataclass(frozen=True)
class DemoJob:
    """One job with its entries. `late_entries` are sent after the handover; ids are None where nothing ends."""

    id: str
    visit: Visit
    body: dict[str, Any]
    entries: list[dict[str, Any]]
    late_entries: list[dict[str, Any]]
    by: str
    ended_at: str
    record_id: str | None
    close_id: str | None


@dataclass(frozen=True)
class Scenario:
    """Everything the loader sends. `people`, `customers`, `gauges` and `bikes` are ids by key."""

    reference: date
    people: dict[str, str]
    customers: dict[str, str]
    gauges: dict[str, str]
    bikes: dict[str, str]
    jobs: list[DemoJob]
    truth: Truth

    @property
    def entries(self) -> list[dict[str, Any]]:
        """All entries in the order of the device's count."""
        return sorted((e for job in self.jobs for e in job.entries + job.late_entries), key=lambda e: e["device_seq"])

    def people_bodies(self) -> list[dict[str, Any]]:
        return [{"id": self.people[p.key], "name": p.name, "role": p.role, "active": p.active} for p in PEOPLE]

    def bike_bodies(self) -> dict[str, dict[str, Any]]:
        """Bodies of the bikes' PUTs by id, each a new bike."""
        bodies = {}
        for bike in BIKES:
            owner = {"customer_id": self.customers[bike.customer]} if bike.customer else {}
            bodies[self.bikes[bike.key]] = {"base_seq": None, **bike.body(), **owner}
        return bodies

    def customer_bodies(self) -> list[dict[str, Any]]:
        return [{"id": self.customers[c.key], "name": c.name, "contact": c.contact} for c in CUSTOMERS]

    def gauge_bodies(self) -> list[dict[str, Any]]:
        return [{"id": self.gauges[g.key], **g.body(self.reference)} for g in GAUGES]
