"""Which handed-over job came back first when, and which has not come back so far."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class HandedOver:
    """A job that was handed over: `day` counts from any fixed moment, `groups` are what it may be counted under."""

    job: str
    bike: str
    day: float
    groups: tuple[str, ...] = ()


@dataclass(frozen=True)
class CameBack:
    """A comeback: the day it was opened, the job whose set-up came back where that was named, the cause if found."""

    bike: str
    day: float
    of: str | None = None
    cause: str | None = None


@dataclass(frozen=True)
class Outcome:
    """A job, the days it stayed out (until it came back, else until today) and the cause of its first comeback."""

    handed_over: HandedOver
    days: float
    back: bool
    cause: str | None = None


@dataclass(frozen=True)
class History:
    """Outcomes in the order of the jobs given; `left_out` comebacks belong to none of them or came before it."""

    outcomes: tuple[Outcome, ...]
    left_out: int


def history(handed_over: Iterable[HandedOver], comebacks: Iterable[CameBack], today: float) -> History:
    """Match each comeback with its job, and keep the first of each job.

    A comeback belongs to the job it names, else to the newest job of its bike that was handed over before. One that
    was opened before the handover contradicts it and is left out. Today is never before the handover.
    """
    jobs = {job.job: job for job in handed_over}
    first: dict[str, CameBack] = {}
    left_out = 0
    for comeback in sorted(comebacks, key=lambda c: c.day):
        job = jobs.get(comeback.of) if comeback.of else _newest_before(jobs.values(), comeback)
        if job is None or comeback.day < job.day:
            left_out += 1
        else:
            first.setdefault(job.job, comeback)
    return History(tuple(_outcome(job, first.get(job.job), today) for job in jobs.values()), left_out)


def _newest_before(jobs: Iterable[HandedOver], comeback: CameBack) -> HandedOver | None:
    earlier = [job for job in jobs if job.bike == comeback.bike and job.day <= comeback.day]
    return max(earlier, key=lambda job: job.day, default=None)


def _outcome(job: HandedOver, comeback: CameBack | None, today: float) -> Outcome:
    if comeback is None:
        return Outcome(job, max(0.0, today - job.day), back=False)
    return Outcome(job, comeback.day - job.day, True, comeback.cause)
