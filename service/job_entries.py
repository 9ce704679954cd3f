"""Stored entries as the computing room takes them."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from service.domain.handed_over import Entry


def as_computed(found: Iterable[dict[str, Any]]) -> list[Entry]:
    """Entries of one job, in the catalogue's units; times in seconds with the clock's offset added."""
    return [
        Entry(
            id=line["id"],
            kind=line["kind"],
            stage=line["stage"],
            taken_at=line["moment_ms"] / 1000,
            device_seq=line["device_seq"],
            seq=line["seq"],
            replaces=line["replaces"],
            quantity=line["quantity"],
            value=line["value"],
            u=line["u"] or 0.0,
            low=line["low"],
            high=line["high"],
            gear=None if line["cog"] is None else (line["ring"], line["cog"]),
            adjuster=line["adjuster"],
            amount=line["amount"],
            fastener=line["fastener"],
            holds=line["fastener"] is None or _holds(json.loads(line["derived"])),
            check=line["check_id"],
            outcome=line["outcome"],
            by=line["by_person"],
        )
        for line in found
    ]


def _holds(torque: dict[str, Any]) -> bool:
    """Whether a torque has tightened its fastener, as far as its wrench can tell."""
    return torque["verdict"] != "outside" and "why_not" not in torque
