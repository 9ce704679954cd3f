"""How likely an observation is under each cause of the table, and what it says for or against one, in words."""

from collections.abc import Sequence

import numpy as np
from scipy.special import ndtr

from service.domain.causes import Cause, Levels, Observation, Usual

PARTS = ("crank", "wheel", "chain", "pulley")  # what a noise may turn with
NO_PERIOD = "none"
REAL_FROM = 1.96


def likelihoods(seen: Observation, causes: Sequence[Cause | None], levels: Levels, symptoms: int = 15) -> np.ndarray:
    """Likelihood of one observation under each cause (None: none of these), up to a factor common to all."""
    return np.array([float(likelihood(seen, c, levels, symptoms)) for c in causes])


def likelihood(seen: Observation, cause: Cause | None, levels: Levels, symptoms: int = 15):
    """Likelihood of one observation; `symptoms`: how many words riders have. An array gives an array."""
    if seen.kind == "symptom":
        return word_share(seen.of, cause, levels, symptoms)
    if seen.kind == "change":
        direction = cause.direction(seen.of) if cause else None
        if seen.u == 0:
            return setting_density(seen.value, direction, levels)
        return change_density(seen.value, seen.u, seen.usual, direction, levels)
    if seen.kind == "period":
        return sum(p * period_share(part, cause, levels) for part, p in seen.value.items())
    yes = chance(seen, cause, levels)
    return np.where(seen.value, yes, 1 - yes)


def word_share(symptom: str, cause: Cause | None, levels: Levels, symptoms: int) -> float:
    """Share of this word among a cause's complaints; each complaint is one draw. None of these: all words alike."""
    if cause is None:
        return 1 / symptoms
    listed = dict.fromkeys(cause.rarely, levels.rarely) | dict.fromkeys(cause.sometimes, levels.sometimes)
    listed |= dict.fromkeys(cause.likely, levels.likely) | {s: levels.likely / len(cause.either) for s in cause.either}
    total = sum(listed.values()) + levels.unlisted * (symptoms - len(listed))
    return listed.get(symptom, levels.unlisted) / total


def change_density(delta, u: float, usual: Usual, direction: str | None, levels: Levels):
    """Density of a change under a direction of the table.

    Ordinary: normal about the usual mean, variance u2 + spread2. A fault adds half a normal distribution of scale
    `usual.fault` on the side named (sum of a normal and a half-normal: skew normal, Azzalini 1985, Scandinavian
    Journal of Statistics 12:171), or a whole one where it differs either way.
    """
    d, variance = np.asarray(delta, dtype=float) - usual.mean, u**2 + usual.spread**2
    wide = variance + usual.fault**2
    ordinary, either_way = normal(d, variance), normal(d, wide)
    if direction in ("up", "down"):
        side = 1 if direction == "up" else -1
        moved = 2 * either_way * ndtr(side * d * usual.fault / np.sqrt(variance * wide))
        return levels.change_shown * moved + (1 - levels.change_shown) * ordinary
    shown = {"differs": levels.change_shown, "same": levels.change_where_same}.get(direction, levels.change_elsewhere)
    return shown * either_way + (1 - shown) * ordinary


def normal(d, variance: float):
    """Density of a normal distribution about zero."""
    return np.exp(-(d**2) / (2 * variance)) / np.sqrt(2 * np.pi * variance)


def setting_density(delta, direction: str | None, levels: Levels):
    """Chance that a setting reads the same, or that it was changed to one side."""
    delta = np.asarray(delta, dtype=float)
    if direction in ("up", "down"):
        side = 1 if direction == "up" else -1
        moved = np.where(side * delta > 0, levels.setting_shown, levels.setting_elsewhere / 2)
        return np.where(delta == 0, 1 - levels.setting_shown - levels.setting_elsewhere / 2, moved)
    shown = {"differs": levels.setting_shown, "same": levels.change_where_same}.get(direction, levels.setting_elsewhere)
    return np.where(delta == 0, 1 - shown, shown / 2)


def period_share(part: str, cause: Cause | None, levels: Levels) -> float:
    """Chance that the period found is that of a part (or none)."""
    base = {NO_PERIOD: levels.period_none} | dict.fromkeys(PARTS, (1 - levels.period_none) / len(PARTS))
    if cause is None or cause.noise_period is None:
        return base.get(part, 0.0)
    if part == cause.noise_period:
        return levels.period_right
    return (1 - levels.period_right) * base.get(part, 0.0) / (1 - base[cause.noise_period])


def chance(seen: Observation, cause: Cause | None, levels: Levels) -> float:
    """Chance of yes: a finding, an event, a noise that goes on while coasting."""
    if seen.kind == "event":
        return levels.event_shown if cause and seen.of in cause.events else levels.event_elsewhere
    if seen.kind == "coasting":
        if cause is None or cause.while_coasting:
            return levels.coasting_shown
        return levels.coasting_wheel if cause.noise_period == "wheel" else levels.coasting_elsewhere
    named = cause is not None and cause.direction(seen.of) in ("down", "failed")
    return levels.finding_shown if named else levels.finding_elsewhere


def names(seen: Observation, cause: Cause | None) -> bool:
    """Whether the table says anything of this observation under the cause."""
    if cause is None:
        return False
    if seen.kind == "symptom":
        return seen.of in (*cause.likely, *cause.either, *cause.sometimes, *cause.rarely)
    if seen.kind == "event":
        return seen.of in cause.events
    if seen.kind == "period":
        return cause.noise_period is not None
    if seen.kind == "coasting":
        return cause.while_coasting or cause.noise_period == "wheel"
    return cause.direction(seen.of) is not None


def moved(seen: Observation) -> int:
    """+1 or -1 where a quantity has changed beyond measuring and ordinary riding, else 0."""
    if seen.u == 0:
        return int(np.sign(seen.value))
    d, sigma = seen.value - seen.usual.mean, np.hypot(seen.u, seen.usual.spread)
    return int(np.sign(d)) if abs(d) > REAL_FROM * sigma else 0
