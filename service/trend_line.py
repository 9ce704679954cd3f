"""Slope, forecast and step of one series: the seam between stored readings and the computing room."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any


def line_of(readings: Sequence[Mapping[str, Any]], band: Mapping[str, Any] | None) -> tuple[dict, dict[str, str]]:
    """`slope`, `forecast` and `step` as the contract shows them, and for each that is None its reason.

    `readings` have moment_ms, odometer_km, value and u; `band` is the one in force now.
    """
    reason = "Not computed yet."
    return dict.fromkeys(("slope", "forecast", "step")), dict.fromkeys(("slope", "forecast", "step"), reason)
