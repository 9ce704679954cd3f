"""Slope, forecast and step of one series: the seam between stored readings and the computing room."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from service.domain.bike_trend import Trend, read_trend
from service.domain.conformity import Band
from service.domain.trend_axis import Axis
from service.period import DAY_MS

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def line_of(readings: Sequence[Mapping[str, Any]], band: Mapping[str, Any] | None) -> tuple[dict, dict[str, str]]:
    """`slope`, `forecast`, `step` and `note` as the contract shows them, and for each None of the first three why.

    `readings` have moment_ms, odometer_km and value; `band` is the one in force now.
    """
    days = [line["moment_ms"] / DAY_MS for line in readings]
    kilometres = [line["odometer_km"] for line in readings]
    limits = Band(band["lower"], band["upper"]) if band else None
    trend = read_trend(days, kilometres, [line["value"] for line in readings], limits)
    computed = {"slope": _slope(trend), "forecast": _forecast(trend), "step": _step(trend), "note": trend.note}
    return computed, dict(trend.why_not)


def _slope(trend: Trend) -> dict[str, Any] | None:
    slope, axis = trend.slope, trend.axis
    if slope is None or axis is None:
        return None
    numbers = {name: getattr(slope, name) * axis.scale for name in ("value", "low", "high")}
    return {"per": axis.per, **numbers, "confidence": slope.confidence, "p": slope.p}


def _forecast(trend: Trend) -> dict[str, Any] | None:
    forecast, axis = trend.forecast, trend.axis
    if forecast is None or axis is None:
        return None
    return {name: _place(getattr(forecast, name), axis) for name in ("leaves_at", "low", "high")}


def _step(trend: Trend) -> dict[str, Any] | None:
    jump, axis = trend.jump, trend.axis
    if jump is None or axis is None:
        return None
    places = {"at": jump.at, "low": jump.before, "high": jump.after}
    return {**{name: _place(place, axis) for name, place in places.items()}, "size": jump.size}


def _place(position: float | None, axis: Axis) -> float | str | None:
    """A place on the axis: an odometer's km, or a moment."""
    if position is None or axis.unit == "km":
        return position
    return (EPOCH + timedelta(days=position)).isoformat(timespec="seconds")
