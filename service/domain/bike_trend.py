"""One quantity of one bike, read as a whole: slope, forecast and step, or the reason in words why not."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from service.domain.conformity import Band
from service.domain.errors import CannotCompute
from service.domain.grain import grain_of
from service.domain.jump import Jump, find_jump
from service.domain.ordered_readings import OrderedReadings, in_order
from service.domain.trend import FEWEST_POSITIONS, Forecast, Slope, forecast_of, slope_of
from service.domain.trend_axis import Axis, choose_axis

# Looking for a jump first costs the slope's interval up to 0.3 points of coverage, by simulation: asked for beforehand,
# so that the answer as a whole covers 95 %.
CONFIDENCE = 0.955


@dataclass(frozen=True)
class Trend:
    """Slope, forecast and jump in the axis' unit (km or day); what is None has its reason in `why_not`.

    After a jump slope and forecast are those of the readings that follow it, and `note` says so.
    """

    axis: Axis | None
    slope: Slope | None = None
    forecast: Forecast | None = None
    jump: Jump | None = None
    note: str | None = None
    why_not: dict[str, str] = field(default_factory=dict)


def read_trend(
    days: Sequence[float], kilometres: Sequence[float | None], values: Sequence[float | None], band: Band | None
) -> Trend:
    """Trend of the readings of one quantity, one gear, one stage and one unit, those replaced left out.

    `days` from any fixed moment, `kilometres` by odometer or None, `values` and `band` in the quantity's unit.
    Never raises for want of data: everything that cannot be computed is None with words.
    """
    try:
        axis = choose_axis(days, kilometres)
        readings = in_order(axis.positions, values)
    except CannotCompute as error:
        return Trend(None, why_not=dict.fromkeys(("slope", "forecast", "step"), error.reason))
    jump, no_jump, readings = _last_jump(readings)
    why_not = {} if jump else {"step": no_jump}
    slope = forecast = None
    try:
        slope = slope_of(readings, CONFIDENCE, step=grain_of(readings.values))
        forecast = forecast_of(slope, readings, band)
    except CannotCompute as error:
        reason = _after(jump, readings, error.reason)
        why_not |= {"forecast": reason} if slope else {"slope": reason, "forecast": reason}
    notes = [axis.note, "Slope and forecast are those of the readings after the jump." if jump and slope else None]
    return Trend(axis, slope, forecast, jump, " ".join(filter(None, notes)) or None, why_not)


def _last_jump(readings: OrderedReadings) -> tuple[Jump | None, str, OrderedReadings]:
    """The newest jump, or None and why there is none, and the readings that follow it."""
    jump, reason = None, ""
    while True:
        try:
            found = find_jump(readings)
        except CannotCompute as error:
            return jump, reason or error.reason, readings
        jump, readings = found, readings.since(found.index)


def _after(jump: Jump | None, readings: OrderedReadings, reason: str) -> str:
    if jump is None:
        return reason
    if readings.distinct < FEWEST_POSITIONS:
        have, need = readings.distinct, FEWEST_POSITIONS
        places = "position" if have == 1 else "different positions"
        return f"After the jump there are readings at only {have} {places}; a slope needs {need}."
    return f"After the jump: {reason[0].lower()}{reason[1:]}"
