"""Torque wrenches: what to set with an adapter, what reaches the fastener, and whether that is in its range.

Any unit of torque will do as long as it is one; `_nm` names are newton metres.
"""

import math
from dataclasses import dataclass

from service.domain.conformity import GUARD, NO_JUDGEMENT, Band, Judgement, judge, judge_interval
from service.domain.errors import CannotCompute

# ISO 6789:2003, type II class A: permissible deviation by the tool's maximum, over 20 to 100 % of its range.
TOLERANCE_ABOVE_10_NM = 4.0
TOLERANCE_TO_10_NM = 6.0
RANGE_FROM = 0.2
SINGLE_FIGURE_PERCENT = 10.0  # band around a target given as one figure; from memory
BEYOND_DOUBT_PERCENT = 50.0  # no wrench errs by more, even out of its range; from memory


@dataclass(frozen=True)
class Wrench:
    """A torque wrench; None: not known.

    Length from square to the middle of the grip, largest torque, tolerance; smallest torque and the standard
    uncertainty of what it shows, where its own certificate gives them.
    """

    length_mm: float | None = None
    max_nm: float | None = None
    tolerance_percent: float | None = None
    min_nm: float | None = None
    u_nm: float | None = None


@dataclass(frozen=True)
class Adapter:
    """A crowfoot or extension: square to fastener, and its angle to the wrench (0 straight on, 90 square)."""

    length_mm: float
    angle_deg: float = 0.0


def gain(wrench: Wrench, adapter: Adapter | None) -> float:
    """Torque at the fastener over torque shown: (L + E cos(alpha)) / L (lever arms; US Army TM 9-254).

    Raises CannotCompute where an adapter is used and the wrench's length is not known, or the arm would vanish.
    """
    if adapter is None or adapter.length_mm == 0:
        return 1.0
    if not (math.isfinite(adapter.length_mm) and 0 < adapter.length_mm <= 2000 and math.isfinite(adapter.angle_deg)):
        raise CannotCompute("The adapter's length and angle must be ordinary numbers.")
    if wrench.length_mm is None or not 10 <= wrench.length_mm <= 5000:
        raise CannotCompute("With an adapter the wrench's length, square to the middle of the grip, is needed.")
    arm = 1 + adapter.length_mm * math.cos(math.radians(adapter.angle_deg)) / wrench.length_mm
    if arm < 0.1:
        raise CannotCompute("With the adapter turned back this far, no torque reaches the fastener.")
    return arm


def set_to(target: float, wrench: Wrench, adapter: Adapter | None = None) -> float:
    """What to set on the wrench for a target at the fastener: target L / (L + E cos(alpha)), in the target's unit."""
    return _torque(target) / gain(wrench, adapter)


def at_fastener(shown: float, wrench: Wrench, adapter: Adapter | None = None) -> float:
    """What reaches the fastener when the wrench shows `shown`, in the same unit."""
    return _torque(shown) * gain(wrench, adapter)


def tolerance_percent(wrench: Wrench, shown_nm: float) -> float:
    """The wrench's own tolerance, else ISO 6789:2003 by its maximum; of an unknown wrench the wider that may apply."""
    if wrench.tolerance_percent is not None:
        if not 0 <= wrench.tolerance_percent <= 50:
            raise CannotCompute("A wrench's tolerance lies between 0 and 50 %.")
        return wrench.tolerance_percent
    largest = shown_nm if wrench.max_nm is None else wrench.max_nm
    return TOLERANCE_ABOVE_10_NM if largest > 10 else TOLERANCE_TO_10_NM


def refusal(wrench: Wrench, shown_nm: float) -> str | None:
    """Why the wrench cannot be trusted at this torque, or None: outside its range.

    The range begins where the wrench's certificate says, else at 20 % of its largest torque (ISO 6789:2003); it ends
    at the largest. A limit that is not known refuses nothing.
    """
    low, high = wrench.min_nm, wrench.max_nm
    if low is None and high is not None:
        low = RANGE_FROM * high
    if (low is None or low <= shown_nm) and (high is None or shown_nm <= high):
        return None
    ends = [f"{word} {limit:g}" for word, limit in (("from", low), ("to", high)) if limit is not None]
    return f"This wrench is good {' '.join(ends)} N·m only: take another one."


def band_around(target_nm: float) -> Band:
    """The band of a target given as a single figure: 10 % to either side (from memory)."""
    return Band(target_nm * (1 - SINGLE_FIGURE_PERCENT / 100), target_nm * (1 + SINGLE_FIGURE_PERCENT / 100), target_nm)


def judge_torque(
    applied_nm: float,
    lower_nm: float | None,
    upper_nm: float | None,
    wrench: Wrench | None = None,
    shown_nm: float | None = None,
) -> Judgement:
    """Judge the torque at the fastener; the wrench's tolerance is a rectangle around it (JCGM 100:2008, 4.3.7).

    A wrench without a tolerance but with the standard uncertainty of its certificate is judged by that, as any value.
    Outside its range (see refusal) a wrench vouches for nothing: what would miss the band even if it erred by half is
    outside, all else is not judged.
    Equal limits are a target given as a single figure, and are widened to its band; see band_around.
    shown_nm is what the wrench showed, where an adapter makes it differ. Raises CannotCompute for what is no torque.
    """
    wrench = wrench or Wrench()
    shown_nm = _torque(applied_nm) if shown_nm is None else _torque(shown_nm)
    single = lower_nm is not None and lower_nm == upper_nm
    band = band_around(lower_nm) if single else Band(lower_nm, upper_nm)
    if refusal(wrench, shown_nm):
        judged = judge_interval(*_within(applied_nm, BEYOND_DOUBT_PERCENT), band)
        return judged if judged.p_inside == 0 else NO_JUDGEMENT
    if _by_certificate(wrench, shown_nm):
        # What the adapter does to the torque it does to its uncertainty.
        return judge(applied_nm, wrench.u_nm * applied_nm / shown_nm, band)
    return judge_interval(*_within(applied_nm, tolerance_percent(wrench, shown_nm)), band)


def spread(applied_nm: float, wrench: Wrench, shown_nm: float) -> tuple[float, float] | None:
    """Between what and what the torque at the fastener lies; None outside the wrench's range.

    By the wrench's tolerance, or 1.645 standard uncertainties of its certificate to either side (95 % one-sided).
    """
    if refusal(wrench, shown_nm):
        return None
    if _by_certificate(wrench, shown_nm):
        half = GUARD * wrench.u_nm * applied_nm / shown_nm
        return applied_nm - half, applied_nm + half
    return _within(applied_nm, tolerance_percent(wrench, shown_nm))


def _by_certificate(wrench: Wrench, shown_nm: float) -> bool:
    return wrench.tolerance_percent is None and wrench.u_nm is not None and shown_nm > 0


def _within(nm: float, percent: float) -> tuple[float, float]:
    return nm * (1 - percent / 100), nm * (1 + percent / 100)


def _torque(value: float) -> float:
    if not (math.isfinite(value) and 0 <= value <= 1e6):
        raise CannotCompute("A torque is a number from zero up.")
    return value
