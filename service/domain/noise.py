"""Which part makes a noise: how often it comes for one turn of the crank, against how often each part turns.

The chance of each part follows from how far, in standard errors, its rotation ratio lies from the one observed (Bayes'
rule with equal priors). Beside the parts stands "other", as likely as a part four standard errors away, so that a
noise that fits no part is not pinned on the nearest.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from service.domain.errors import CannotCompute
from service.domain.gears import rotations
from service.domain.noise_tapping import SHORTEST_PERIOD_MS, Tapping, tapped_period
from service.domain.noise_words import advice

TOLD_FROM = 0.9
STILL_OPEN_FROM = 0.05
OTHER_AT = 4.0
U_REFERENCE = 0.03  # cadence or speed is known to no better than 3 %; from memory
TURNS = 10
U_COUNT = 0.5  # a noise more or less at the ends of the ten turns; from memory
U_COUNT_SHARE = 0.03  # noises missed or counted twice; from memory
PERIOD = ("period_ms", "u_period_ms", "period_interval_ms")
_Z = 1.959963984540054
STOPS_WHEN_COASTING = ("crank", "pedal_strokes", "chain_loop", "pulley")


@dataclass(frozen=True)
class Sounding:
    """What is known beside the noise itself. `coasting`: True if it goes on while coasting, False if it stops."""

    ring: int
    cog: int
    chain_links: int | None = None
    pulley_teeth: int | None = None
    circumference_mm: float | None = None
    cadence_rpm: float | None = None
    speed_kmh: float | None = None
    coasting: bool | None = None


@dataclass(frozen=True)
class Candidate:
    """A part, the period (ms) and the count in ten turns that it would have, and its probability."""

    part: str
    expected_period_ms: float | None
    expected_count: float | None
    probability: float


@dataclass(frozen=True)
class Noise:
    """The noise's period (ms) and ratio (noises a crank turn), the parts ranked, and whether one is told apart."""

    ratio_to_crank: float | None
    u_ratio_to_crank: float | None
    candidates: tuple[Candidate, ...]
    told_apart: bool
    not_told_apart: tuple[str, ...]
    advice: str
    period_ms: float | None = None
    u_period_ms: float | None = None
    period_interval_ms: tuple[float, float] | None = None
    why_not: dict[str, str] = field(default_factory=dict)


def candidates_by_count(count_in_ten_turns: float, known: Sounding) -> Noise:
    """Rank the parts by the noises counted in ten turns of the crank.

    A part is expected 10 x its rotation ratio times, with standard uncertainty root(0.25 + (0.03 count)2).
    Raises CannotCompute for no noise at all, or what is no count.
    """
    if not (math.isfinite(count_in_ten_turns) and 1 <= count_in_ten_turns <= 1000):
        raise CannotCompute("Count at least one noise in ten turns of the crank.")
    turns = _turns(known)
    crank_ms = _crank_period(known)
    weights = {}
    for part, ratio in turns.items():
        u = math.hypot(U_COUNT, U_COUNT_SHARE * TURNS * ratio)
        weights[part] = math.exp(-(((count_in_ten_turns - TURNS * ratio) / u) ** 2) / 2) / u
    u_count = math.hypot(U_COUNT, U_COUNT_SHARE * count_in_ten_turns)
    other = math.exp(-(OTHER_AT**2) / 2) / u_count
    ratio, u_ratio = count_in_ten_turns / TURNS, u_count / TURNS
    period_ms = None if crank_ms is None else crank_ms / ratio
    measured = dict.fromkeys(PERIOD)
    if period_ms is not None:
        u = period_ms * math.hypot(u_ratio / ratio, U_REFERENCE)
        measured = dict(zip(PERIOD, (period_ms, u, (max(0.0, period_ms - _Z * u), period_ms + _Z * u)), strict=True))
    shares = _shared_out(weights, other, known)
    return _ranked(shares, turns, known, crank_ms, ratio=ratio, u_ratio=u_ratio, fast=(), **measured)


def candidates_by_taps(
    taps_ms: Sequence[float], known: Sounding, crank_taps_ms: Sequence[float] | None = None
) -> Noise:
    """Rank the parts by the period tapped, against a crank tapped at the same time, or cadence or speed within 3 %.

    Distances are taken between logarithms of the ratios, with Student's t of the tapping's degrees of freedom
    (combined by Welch and Satterthwaite, JCGM 100:2008, G.4). Parts with a period under 250 ms are left out, since
    nobody taps along with them. Without crank taps, cadence or speed the period stands alone.
    Raises CannotCompute where the taps give no period.
    """
    tapping = tapped_period(taps_ms)
    turns = _turns(known)
    measured = dict(zip(PERIOD, (tapping.period_ms, tapping.u_period_ms, tapping.interval_ms), strict=True))
    crank_ms, relative, freedom = _reference(tapping, known, crank_taps_ms)
    if crank_ms is None:
        reason = "Tap the crank too, or give cadence or speed, to compare the period with the parts."
        why_not = dict.fromkeys(("ratio_to_crank", "u_ratio_to_crank"), reason)
        return Noise(None, None, (), False, (), reason, why_not=why_not, **measured)
    ratio = crank_ms / tapping.period_ms
    fast = tuple(part for part, turn in turns.items() if crank_ms / turn < SHORTEST_PERIOD_MS)
    weights = {
        part: _kernel(math.log(ratio / turn) / relative, freedom) for part, turn in turns.items() if part not in fast
    }
    shares = _shared_out(weights, _kernel(OTHER_AT, freedom), known)
    return _ranked(shares, turns, known, crank_ms, ratio=ratio, u_ratio=ratio * relative, fast=fast, **measured)


def _turns(known: Sounding) -> dict[str, float]:
    return rotations(known.ring, known.cog, known.chain_links, known.pulley_teeth)


def _crank_period(known: Sounding) -> float | None:
    """One turn of the crank in ms from cadence, else from speed through wheel and gear; None if neither is known."""
    if known.cadence_rpm is not None:
        if not 1 <= known.cadence_rpm <= 300:
            raise CannotCompute("The cadence must be a number of turns a minute.")
        return 60_000 / known.cadence_rpm
    if known.speed_kmh is None or known.circumference_mm is None:
        return None
    if not (0.1 <= known.speed_kmh <= 200 and 100 <= known.circumference_mm <= 10_000):
        raise CannotCompute("Speed and rolling circumference must be ordinary numbers.")
    wheel_ms = known.circumference_mm / (known.speed_kmh / 3.6)
    return wheel_ms * known.ring / known.cog


def _reference(
    tapping: Tapping, known: Sounding, crank_taps_ms: Sequence[float] | None
) -> tuple[float | None, float, float]:
    """Crank period, relative standard uncertainty of the ratio, and its degrees of freedom."""
    own = tapping.u_period_ms / tapping.period_ms
    if crank_taps_ms is None:
        other, crank_ms, freedom = U_REFERENCE, _crank_period(known), math.inf
    else:
        crank = tapped_period(crank_taps_ms)
        other, crank_ms, freedom = crank.u_period_ms / crank.period_ms, crank.period_ms, crank.freedom
        if not _together(tapping, crank):
            # Tapped one after the other: the cadence may have changed in between.
            other, freedom = math.hypot(other, U_REFERENCE), math.inf
    relative = math.hypot(own, other)
    return crank_ms, relative, relative**4 / (own**4 / tapping.freedom + other**4 / freedom)


def _together(one: Tapping, other: Tapping) -> bool:
    """Whether two tappings overlap for at least half of the shorter one."""
    overlap = min(one.end_ms, other.end_ms) - max(one.start_ms, other.start_ms)
    return overlap >= min(one.end_ms - one.start_ms, other.end_ms - other.start_ms) / 2


def _kernel(distance: float, freedom: float) -> float:
    """Student's t density without its constant, which all candidates share."""
    if math.isinf(freedom) or freedom > 1e6:
        return math.exp(-(distance**2) / 2)
    return math.exp(-(freedom + 1) / 2 * math.log1p(distance**2 / freedom))


def _shared_out(weights: dict[str, float], other: float, known: Sounding) -> dict[str, float]:
    """Probabilities from weights; what turns with the crank cannot sound while coasting."""
    if known.coasting:
        weights = {part: weight for part, weight in weights.items() if part not in STOPS_WHEN_COASTING}
    weights = weights | {"other": other}
    total = sum(weights.values())
    return {part: weight / total for part, weight in weights.items()}


def _ranked(
    shares: dict[str, float],
    turns: dict[str, float],
    known: Sounding,
    crank_ms: float | None,
    ratio: float,
    u_ratio: float,
    fast: Sequence[str],
    **measured: float | tuple[float, float] | None,
) -> Noise:
    candidates = [
        Candidate(
            part,
            crank_ms / turns[part] if crank_ms is not None and part in turns else None,
            TURNS * turns[part] if part in turns else None,
            share,
        )
        for part, share in sorted(shares.items(), key=lambda item: -item[1])
    ]
    best = candidates[0]
    told = best.probability >= TOLD_FROM and best.part != "other"
    still_open = tuple(c.part for c in candidates if c.probability >= STILL_OPEN_FROM)
    if told or still_open == ("other",):
        still_open = ()
    why_not = {}
    if measured["period_ms"] is None:
        why_not = dict.fromkeys(PERIOD, "Give cadence, or speed and circumference, for the noise's period.")
    return Noise(
        ratio_to_crank=ratio,
        u_ratio_to_crank=u_ratio,
        candidates=tuple(candidates),
        told_apart=told,
        not_told_apart=still_open,
        advice=advice(best.part, told, still_open, fast, known.coasting),
        why_not=why_not,
        **measured,
    )
