"""Gauge study: how much of what is measured comes from the gauge and the hands, and how much from the parts?

Every person measures every part equally often (crossed). Analysis of variance as in AIAG, Measurement Systems Analysis,
4th ed. 2010: the interaction of person and part is pooled with the repeats only where it is not significant
(p > 0.25); the number of distinct categories is 1.41 · part / gauge, truncated, not rounded.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from scipy.special import fdtrc

from service.domain.errors import CannotCompute

POOL_ABOVE = 0.25
CATEGORIES_FACTOR = 1.41


@dataclass(frozen=True)
class Row:
    """A line of the analysis of variance; ms, f and p are None where the line has none."""

    source: str
    df: int
    ss: float
    ms: float | None = None
    f: float | None = None
    p: float | None = None


@dataclass(frozen=True)
class Variances:
    """Components of variance, in the unit squared; gauge = repeatability + reproducibility + interaction."""

    repeatability: float
    reproducibility: float
    interaction: float
    part: float
    gauge: float


@dataclass(frozen=True)
class GaugeStudy:
    """The answer; `u` (the standard uncertainty of one reading) is √ of the gauge's variance, in the unit.

    `share_of_study_variation` is the gauge's standard deviation against that of everything, 0 to 1.
    `distinct_categories` is None where the gauge shows no spread at all.
    """

    anova: tuple[Row, ...]
    interaction_p: float | None
    pooled: bool
    variance: Variances
    share_of_study_variation: float
    distinct_categories: int | None
    u: float


def arrange(readings: Iterable[tuple[str, str, float]]) -> np.ndarray:
    """Put (part, person, value) into an array of parts × persons × repeats.

    Raises CannotCompute unless two or more persons measured two or more parts, each equally often and at least twice.
    """
    cells: dict[tuple[str, str], list[float]] = defaultdict(list)
    for part, person, value in readings:
        cells[part, person].append(value)
    parts, persons = (list(dict.fromkeys(key[side] for key in cells)) for side in (0, 1))
    if len(parts) < 2 or len(persons) < 2:
        raise CannotCompute("A gauge study needs at least two parts and two persons.")
    counts = {len(cells.get((part, person), ())) for part in parts for person in persons}
    if len(counts) != 1:
        raise CannotCompute("Every person must measure every part equally often.")
    if counts.pop() < 2:
        raise CannotCompute("Every person must measure every part at least twice.")
    return np.array([[cells[part, person] for person in persons] for part in parts], dtype=float)


def gauge_study(measured: np.ndarray) -> GaugeStudy:
    """Crossed study of an array of parts × persons × repeats, in one unit.

    Components that come out negative are set to zero (AIAG). Parts and persons are tested against the interaction,
    or against the pooled repeats. Raises CannotCompute if the array is too small, holds numbers that are not finite,
    or shows no spread at all (then the gauge's steps are too coarse for such parts).
    """
    x = np.asarray(measured, dtype=float)
    if x.ndim != 3 or min(x.shape) < 2:
        raise CannotCompute("A gauge study needs two parts, two persons and two repeats at least.")
    if not np.all(np.abs(x) < 1e100):
        raise CannotCompute("A reading is missing or is not an ordinary number.")
    if np.ptp(x) == 0:
        raise CannotCompute("All readings are the same: the gauge's steps are too coarse to study it with these parts.")
    parts, persons, repeats = x.shape
    ss = _sums_of_squares(x)
    df = {
        "part": parts - 1,
        "person": persons - 1,
        "interaction": (parts - 1) * (persons - 1),
        "repeatability": parts * persons * (repeats - 1),
    }
    _, interaction_p = _f_test(ss["interaction"], df["interaction"], ss["repeatability"], df["repeatability"])
    pooled = interaction_p is None or interaction_p > POOL_ABOVE
    variance = _components(ss, df, x.shape, pooled)
    total = variance.gauge + variance.part
    if total == 0:
        raise CannotCompute("The readings' spread is lost in their last digits.")
    u = float(np.sqrt(variance.gauge))
    categories = int(CATEGORIES_FACTOR * np.sqrt(variance.part / variance.gauge)) if variance.gauge > 0 else None
    share = float(np.sqrt(variance.gauge / total))
    return GaugeStudy(_table(ss, df, pooled), interaction_p, pooled, variance, share, categories, u)


def _sums_of_squares(x: np.ndarray) -> dict[str, float]:
    parts, persons, repeats = x.shape
    # Centred first, or values far from zero would lose their digits; dust far below any reading is none.
    x = x - x.mean()
    cell, part, person = x.mean(axis=2), x.mean(axis=(1, 2)), x.mean(axis=(0, 2))
    mixed = cell - part[:, None] - person[None, :]
    ss = {
        "part": persons * repeats * float(part @ part),
        "person": parts * repeats * float(person @ person),
        "interaction": repeats * float(np.sum(mixed**2)),
        "repeatability": float(np.sum((x - cell[:, :, None]) ** 2)),
    }
    dust = 1e-24 * float(np.sum(x**2))
    return {source: value if value > dust else 0.0 for source, value in ss.items()}


def _components(ss: dict[str, float], df: dict[str, int], shape: tuple[int, ...], pooled: bool) -> Variances:
    parts, persons, repeats = shape
    ms = {source: ss[source] / df[source] for source in ss}
    if pooled:
        repeatability = (ss["interaction"] + ss["repeatability"]) / (df["interaction"] + df["repeatability"])
        interaction, against = 0.0, repeatability
    else:
        repeatability, against = ms["repeatability"], ms["interaction"]
        interaction = max(0.0, (ms["interaction"] - ms["repeatability"]) / repeats)
    reproducibility = max(0.0, (ms["person"] - against) / (parts * repeats))
    part = max(0.0, (ms["part"] - against) / (persons * repeats))
    return Variances(repeatability, reproducibility, interaction, part, repeatability + reproducibility + interaction)


def _table(ss: dict[str, float], df: dict[str, int], pooled: bool) -> tuple[Row, ...]:
    """Parts and persons are tested against the line that is pooled, where there is one, else the interaction."""
    both = ss["interaction"] + ss["repeatability"], df["interaction"] + df["repeatability"]
    against = both if pooled else (ss["interaction"], df["interaction"])
    rows = [_row(source, ss[source], df[source], against) for source in ("part", "person")]
    repeats = ss["repeatability"], df["repeatability"]
    rows.append(_row("interaction", ss["interaction"], df["interaction"], repeats))
    rows.append(Row("repeatability", repeats[1], repeats[0], repeats[0] / repeats[1]))
    if pooled:
        rows.append(Row("pooled", both[1], both[0], both[0] / both[1]))
    return (*rows, Row("total", sum(df.values()), sum(ss.values())))


def _row(source: str, ss: float, df: int, against: tuple[float, int]) -> Row:
    return Row(source, df, ss, ss / df, *_f_test(ss, df, *against))


def _f_test(ss: float, df: int, ss_against: float, df_against: int) -> tuple[float | None, float | None]:
    """F and its p; against no spread at all F is None, and p is 0, or None where there is nothing to compare."""
    if ss_against == 0:
        return None, 0.0 if ss > 0 else None
    f = (ss / df) / (ss_against / df_against)
    return f, float(fdtrc(df, df_against, f))
