"""Verdicts: is a value inside its tolerance band, given what its measuring leaves open?

Sources: JCGM 106:2012, clause 7 (conformance probability); ILAC-G8:09/2019 and ISO 14253-1:2017 (guard band of
1.645 u for a one-sided band, which a probability of 0.95 amounts to).
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from service.domain.errors import CannotCompute

INSIDE_FROM = 0.95
OUTSIDE_TO = 0.05
GUARD = 1.645  # standard uncertainties from a limit to a value at 0.95


@dataclass(frozen=True)
class Band:
    """A tolerance band in the unit of its quantity; a limit that is None is open."""

    lower: float | None = None
    upper: float | None = None
    target: float | None = None

    def __post_init__(self) -> None:
        for limit in (self.lower, self.upper, self.target):
            if limit is not None and not math.isfinite(limit):
                raise CannotCompute("A band's limits must be ordinary numbers.")
        if self.lower is not None and self.upper is not None and self.lower > self.upper:
            raise CannotCompute("The band's lower limit is above its upper one.")

    @property
    def is_open(self) -> bool:
        """True when neither side has a limit, so that there is nothing to judge by."""
        return self.lower is None and self.upper is None


@dataclass(frozen=True)
class Judgement:
    """A verdict (inside, borderline, outside, none) and the probability that the true value lies in the band."""

    verdict: str
    p_inside: float | None


NO_JUDGEMENT = Judgement("none", None)


def verdict_of(p_inside: float) -> Judgement:
    """The judgement for a conformance probability between 0 and 1."""
    p = min(1.0, max(0.0, p_inside))
    if p >= INSIDE_FROM:
        return Judgement("inside", p)
    return Judgement("outside" if p <= OUTSIDE_TO else "borderline", p)


def judge(value: float, u: float, band: Band | None) -> Judgement:
    """Judge a value with standard uncertainty u, both in the band's unit.

    p = Phi((upper - y)/u) - Phi((lower - y)/u), JCGM 106:2012, clause 7. With u = 0 (a setting that is read out) p is
    1 or 0, a value on the limit being inside. Without a band, or with one open on both sides, the verdict is none.
    Raises CannotCompute if the value or u is not a finite number, or u is negative.
    """
    _check(value, u)
    if band is None or band.is_open:
        return NO_JUDGEMENT
    return verdict_of(_probability(value, u, band))


def judge_interval(low: float, high: float, band: Band | None) -> Judgement:
    """Judge a go / no-go pair: the value lies anywhere from low to high, each place as likely as the other.

    p is the share of the interval that lies in the band (a rectangular distribution, JCGM 100:2008, 4.3.7). An
    interval without width is a value with u = 0. Raises CannotCompute if a bound is not finite or low is above high.
    """
    _check(low, 0.0)
    _check(high, 0.0)
    if low > high:
        raise CannotCompute("The lower bound is above the upper one.")
    if band is None or band.is_open:
        return NO_JUDGEMENT
    if low == high:
        return judge(low, 0.0, band)
    lower = low if band.lower is None else max(low, band.lower)
    upper = high if band.upper is None else min(high, band.upper)
    # Whole fractions, so that neither the largest nor the smallest floats spoil the share.
    return verdict_of(float(max(Fraction(0), (Fraction(upper) - Fraction(lower)) / (Fraction(high) - Fraction(low)))))


def _check(value: float, u: float) -> None:
    if not (math.isfinite(value) and math.isfinite(u)):
        raise CannotCompute("A value and its uncertainty must be ordinary numbers.")
    if u < 0:
        raise CannotCompute("An uncertainty cannot be negative.")


def _probability(value: float, u: float, band: Band) -> float:
    lower = -math.inf if band.lower is None else band.lower
    upper = math.inf if band.upper is None else band.upper
    if u == 0:
        return 1.0 if lower <= value <= upper else 0.0
    z_low, z_high = (lower - value) / u, (upper - value) / u
    # In the upper tail the difference of two numbers near 1 would lose its digits: mirror it to the lower one.
    if z_low > 0:
        z_low, z_high = -z_high, -z_low
    return _phi(z_high) - _phi(z_low)


def _phi(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))
