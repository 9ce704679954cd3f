"""The review of a comeback: the bike as found beside its last handover, and whether the hanger explains the steps."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import hypot

from service.domain.change import LEVEL, change_since, holm
from service.domain.errors import CannotCompute
from service.domain.handed_over import Key
from service.domain.hanger import HangerFit, same_hanger

NOT_ON_ARRIVAL = "not measured on arrival"
NOT_AT_HANDOVER = "not measured at the handover"


@dataclass(frozen=True)
class Measured:
    """A quantity at one of the two moments. `value` None: the reason is in `why_not`. `hanger`: the fit behind it."""

    value: float | None
    u: float | None = None
    verdict: str = "none"
    p_inside: float | None = None
    entry_id: str | None = None
    taken_at: float | None = None
    hanger: HangerFit | None = None
    why_not: str | None = None


@dataclass(frozen=True)
class Compared:
    """One quantity then and now. `p_together`: Holm's adjusted p over all readings compared; None for a setting."""

    key: Key
    then: Measured | None
    now: Measured | None
    delta: float | None = None
    u: float | None = None
    p: float | None = None
    p_together: float | None = None
    real: bool | None = None
    towards_clock: float | None = None
    vertical: tuple[float, float] | None = None
    why_not: str | None = None


def compare(then: Mapping[Key, Measured], now: Mapping[Key, Measured]) -> tuple[Compared, ...]:
    """Every quantity and gear of either moment, in the order of the handover, then of the arrival.

    Changes of readings are judged together by Holm's step-down method at 5 % for all of them (change.holm): some 25
    tests would find a change that is none. A setting (u = 0) is no test: it has changed if it differs. A hanger is
    compared as a vector, so `p` is that of the bend turned or grown, while `delta` is that of its size.
    """
    found = [_one(key, then.get(key), now.get(key)) for key in dict.fromkeys((*then, *now))]
    tests = [n for n, c in enumerate(found) if c.p is not None and c.u != 0]
    for n, p in zip(tests, holm([found[n].p for n in tests]), strict=True):
        found[n] = replace(found[n], p_together=float(p), real=bool(p <= LEVEL))
    return tuple(found)


def _one(key: Key, then: Measured | None, now: Measured | None) -> Compared:
    if then is None or then.value is None:
        return Compared(key, then, now, why_not=(then and then.why_not) or NOT_AT_HANDOVER)
    if now is None or now.value is None:
        return Compared(key, then, now, why_not=(now and now.why_not) or NOT_ON_ARRIVAL)
    try:
        change = change_since(then.value, then.u or 0.0, now.value, now.u or 0.0)
        plain = Compared(key, then, now, change.delta, change.u, change.p, real=change.real)
        if then.hanger and now.hanger:
            turned = same_hanger(then.hanger, now.hanger)
            vertical = (turned.vertical_change_mm, turned.u_vertical_change_mm)
            as_vector = {"p": turned.p, "real": turned.changed, "towards_clock": turned.towards_clock}
            return replace(plain, **as_vector, vertical=vertical)
    except CannotCompute as why:
        return Compared(key, then, now, why_not=why.reason)
    return plain


@dataclass(frozen=True)
class Consistency:
    """Steps (or turns) that the hanger's change predicts, positive inboard, beside those that were needed."""

    predicted: float
    u_predicted: float
    needed: float
    agrees: bool
    words: str


def consistency(
    vertical_mm: tuple[float, float], steps_per_mm: float, needed: float, u_needed: float, unit: str = "step"
) -> Consistency:
    """Whether the correction that was needed is the one the hanger's change asks for.

    `vertical_mm`: change of the hanger's vertical part (12 minus 6) with its u; `steps_per_mm`: the correction that
    one mm of it asks for (hanger_effect). They agree within 1.96 combined standard uncertainties (JCGM 100:2008,
    5.1.2).
    """
    change, u_change = vertical_mm
    predicted, u_predicted = change * steps_per_mm, abs(u_change * steps_per_mm)
    agrees = abs(predicted - needed) <= 1.96 * hypot(u_predicted, u_needed)
    told = f"The hanger's change asks for {in_words(predicted, unit)}; {in_words(needed, unit)} needed"
    verdict = "they agree" if agrees else "they do not agree: something else has moved, too"
    return Consistency(predicted, u_predicted, needed, agrees, f"{told}: {verdict}.")


def in_words(correction: float, unit: str = "step") -> str:
    """A correction, positive inboard: "1.5 steps outboard"; nothing where it rounds to nothing."""
    size = f"{abs(correction):.1f}".removesuffix(".0")
    if size == "0":
        return "no correction"
    return f"{size} {unit}{'' if size == '1' else 's'} {'inboard' if correction > 0 else 'outboard'}"
