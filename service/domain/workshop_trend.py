"""One quantity over all jobs of a shop: control charts of first bench values, capability of handed-over ones.

The first bench value of a job is charted, since what is handed over has been cut off by adjusting and could never show
that something has moved.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from service.domain.capability import Capability, capability
from service.domain.conformity import Band
from service.domain.control_chart import (
    EwmaChart,
    IndividualsChart,
    ZoneAlarm,
    ewma_chart,
    individuals_chart,
    zone_alarms,
)
from service.domain.errors import CannotCompute


@dataclass(frozen=True)
class BenchValue:
    """A bench reading: its job, its place in the order of all readings (a time or a number), its value."""

    job: str
    order: float
    value: float


@dataclass(frozen=True)
class WorkshopTrend:
    """Charts of the values of `first`, in the order of the jobs; what is None has its reason in `why_not`."""

    first: tuple[BenchValue, ...]
    individuals: IndividualsChart | None = None
    weighted: EwmaChart | None = None
    zones: tuple[ZoneAlarm, ...] | None = None
    capability: Capability | None = None
    why_not: dict[str, str] = field(default_factory=dict)


def first_values(readings: Iterable[BenchValue]) -> tuple[BenchValue, ...]:
    """The first reading of each job, jobs in the order of it; of two at one moment the one given first."""
    first: dict[str, BenchValue] = {}
    for reading in sorted(readings, key=lambda r: r.order):
        first.setdefault(reading.job, reading)
    return tuple(first.values())


def read_workshop_trend(
    readings: Iterable[BenchValue], handed_over: Sequence[float], band: Band | None, zones: bool = False
) -> WorkshopTrend:
    """Charts of one quantity of bikes alike, all in its unit; `zones` asks for the zone rules besides.

    Never raises for want of data: what cannot be computed is None with words.
    """
    first = first_values(readings)
    values = [reading.value for reading in first]
    why_not: dict[str, str] = {}
    individuals = weighted = alarms = fit = None
    try:
        individuals = individuals_chart(values)
        weighted = ewma_chart(values, individuals.centre, individuals.sigma)
        alarms = zone_alarms(values, individuals.centre, individuals.sigma) if zones else None
    except CannotCompute as error:
        asked = ("individuals", "weighted", *(["zones"] if zones else []))
        why_not |= dict.fromkeys(asked, error.reason)
    if not zones:
        why_not["zones"] = "The zone rules were not asked for."
    try:
        fit = capability(handed_over, band)
    except CannotCompute as error:
        why_not["capability"] = error.reason
    return WorkshopTrend(first, individuals, weighted, alarms, fit, why_not)
