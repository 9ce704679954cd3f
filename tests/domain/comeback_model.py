"""Comebacks drawn from the invented world, and the exact posterior of one who knows that world.

Frozen together with `comeback_world.py`. A fault's severity and side are the only hidden numbers; the severity takes
one of twelve equally likely quantiles, so the likelihood of a case is a plain sum and the Bayes-optimal score is exact.
"""

from dataclasses import dataclass
from functools import cache
from itertools import combinations
from math import pi, sqrt

import numpy as np
from scipy import stats

from tests.domain import comeback_world as world
from tests.domain.comeback_world import CAUSES, NUMERIC, OUTSIDE, PERIODS, SYMPTOMS, Cause

SEEDS = {"all": 1101, "most": 1102, "words": 1103, "learning": 1104, "outside": 1105, "second": 1106, "shop": 1107}
CASES = 2000  # in each of the three situations: all measured, 70 % of it, symptoms only
QUANTILES = (np.arange(12) + .5) / 12
NONE = "none_of_these"
EVERY = CAUSES | OUTSIDE


@dataclass(frozen=True)
class Case:
    """What the workshop sees. `seen`: numeric change, or the setting's sign, True for loose or failed, or a period."""

    bike: dict
    cause: str
    second: str | None
    symptoms: frozenset
    events: frozenset | None
    seen: dict

    @property
    def answer(self) -> str:
        """The cause as a table can name it."""
        return self.cause if self.cause in CAUSES else NONE


def voiced() -> np.ndarray:
    """Share of each word (column) that a true symptom (row) is given."""
    table = np.zeros((len(SYMPTOMS), len(SYMPTOMS)))
    for row, symptom in enumerate(SYMPTOMS):
        for word, share in world.MISTAKEN[symptom].items():
            table[row, SYMPTOMS.index(word)] = share
        table[row] *= 1 - world.ANY_WORD
        table[row] += world.ANY_WORD / len(SYMPTOMS)
        table[row, row] += 1 - table[row].sum()
    return table


VOICED = voiced()


@cache
def hidden_by(median: float, sigma: float, signed: bool) -> list[tuple[float, float, int]]:
    severities = median * np.exp(sigma * stats.norm.ppf(QUANTILES))
    return [(q, s, side) for q, s in zip(QUANTILES, severities, strict=True) for side in ((1, -1) if signed else (1,))]


def hidden(cause: Cause) -> list[tuple[float, float, int]]:
    """All (quantile, severity, side) of a fault, equally likely."""
    return hidden_by(*cause.severity, cause.signed)


def words(cause: Cause, quantile: float, side: int) -> np.ndarray:
    """Distribution of one complaint's word."""
    true = np.zeros(len(SYMPTOMS))
    for share, profile in ((1 - quantile, cause.mild), (quantile, cause.severe)):
        for symptom, weight in profile.items():
            name = symptom if side > 0 else world.OPPOSITE.get(symptom, symptom)
            true[SYMPTOMS.index(name)] += share * weight
    return (true / true.sum()) @ VOICED


def applies(cause: Cause, bike: dict) -> bool:
    return all(bike[key] == value for key, value in cause.applies.items())


def observables(bike: dict) -> list[str]:
    """Everything that can be measured or found on a bike."""
    away = set()
    if bike["shifting"] == "electronic":
        away |= {"needed:cable_tension_turns", "cable_tension_turns"}
    else:
        away |= {"needed:rear_trim", "rear_trim", "battery_rear", "connectors_home"}
    if bike["rear_mount"] != "hanger":
        away |= {"hanger_vertical", "hanger_residual", "guide_pulley_gap"}
        away |= {"rear_low_limit_turns", "rear_high_limit_turns"}
    if not bike["front_derailleur"]:
        away |= {q for q in NUMERIC if q.startswith("cage_")}
    if bike["brakes"] != "disc":
        away.add("rotor_runout")
    every = (*NUMERIC, *world.SETTINGS, *world.FASTENERS, *world.CHECKS, "noise_period", "coasting")
    return [name for name in every if name not in away]


def any_bike(rng: np.random.Generator) -> dict:
    electronic, front = rng.random() < .6, rng.random() < .6
    return {"shifting": "electronic" if electronic else "cable", "front_derailleur": bool(front),
            "ring_count": 2 if front else 1, "brakes": "disc" if rng.random() < .9 else "rim",
            "rear_mount": "axle" if electronic and rng.random() < .2 else "hanger"}


def possible(bike: dict, frequencies: dict[str, float] | None = None) -> dict[str, float]:
    """Share of each fault among comebacks of a bike."""
    shares = {id: (frequencies or {}).get(id, c.prior) for id, c in EVERY.items() if applies(c, bike)}
    return {id: share / sum(shares.values()) for id, share in shares.items()}


def chance(name: str, cause: Cause) -> dict:
    """Distribution of a thing that is not a number, given the fault (a setting's side comes apart)."""
    if name in world.SETTINGS:
        return {True: cause.moved.get(name, world.SETTINGS[name])}
    if name in world.FASTENERS:
        return {True: cause.loose.get(name, world.FASTENER_ANYWAY)}
    if name in world.CHECKS:
        return {True: cause.failed.get(name, world.CHECKS[name])}
    return {True: cause.coasting} if name == "coasting" else cause.period


def draw(rng: np.random.Generator, measured: float = 1.0, frequencies: dict | None = None, bike: dict | None = None,
         cause: str | None = None, second: str | None = None, told: bool = True) -> Case:
    """One comeback. `measured`: share of what can be measured that was. `told`: the rider says what happened since."""
    bike = bike or any_bike(rng)
    shares = possible(bike, frequencies)
    cause = cause or str(rng.choice(list(shares), p=list(shares.values())))
    faults = [EVERY[id] for id in (cause, second) if id]
    states = [options[rng.integers(len(options))] for options in map(hidden, faults)]
    said = set()
    for fault, (quantile, _, side) in zip(faults, states, strict=True):
        count = rng.choice(list(world.HOW_MANY), p=list(world.HOW_MANY.values()))
        said |= {SYMPTOMS[n] for n in rng.choice(len(SYMPTOMS), count, p=words(fault, quantile, side))}
    events = frozenset(event for event, base in world.EVENTS.items()
                       if rng.random() < max(fault.events.get(event, base) for fault in faults))
    seen = {name: look(rng, name, faults, states) for name in observables(bike) if rng.random() < measured}
    return Case(bike, cause, second, frozenset(said), events if told else None, seen)


def look(rng: np.random.Generator, name: str, faults: list[Cause], states: list):
    if name in NUMERIC:
        n = NUMERIC[name]
        times = world.UNRELATED_TIMES if rng.random() < world.UNRELATED else 1
        moved = sum(f.effects.get(name, 0) * s * side for f, (_, s, side) in zip(faults, states, strict=True))
        return float(moved + rng.normal(n.drift, n.spread * times) + rng.normal(0, n.u * sqrt(2)))
    if name == "noise_period":
        noisy = next((f for f in faults if f.period is not world.NO_NOISE), faults[0])
        return str(rng.choice(PERIODS, p=[noisy.period[p] for p in PERIODS]))
    yes = bool(rng.random() < max(chance(name, f)[True] for f in faults))
    if name not in world.SETTINGS:
        return yes
    # A fine position turned inboard wants a correction outboard: the setting lies against the fault's side.
    known = [-side for f, (_, _, side) in zip(faults, states, strict=True) if name in f.moved and f.signed]
    side = known[0] if known else int(rng.choice([-1, 1]))
    return side * int(1 + rng.poisson(1)) if yes else 0


def log_likelihood(case: Case, cause: Cause) -> float:
    """Exact log-probability (density) of all that was seen, up to a constant that no fault changes."""
    total = np.log([likelihood_of_words(case.symptoms, words(cause, q, side)) for q, _, side in hidden(cause)])
    for name, value in case.seen.items():
        if name in NUMERIC:
            n, noise = NUMERIC[name], 2 * NUMERIC[name].u ** 2
            means = np.array([n.drift + cause.effects.get(name, 0) * s * side for _, s, side in hidden(cause)])
            usual, wild = normal(value, means, noise + n.spread ** 2), normal(
                value, means, noise + (n.spread * world.UNRELATED_TIMES) ** 2)
            total += np.log((1 - world.UNRELATED) * usual + world.UNRELATED * wild)
        elif name in world.SETTINGS:
            yes = chance(name, cause)[True]
            known = cause.signed and name in cause.moved
            sides = np.array([side for _, _, side in hidden(cause)])
            total += np.log(1 - yes if value == 0 else np.where(sides * value < 0, yes, 1e-12) if known else yes / 2)
        elif name == "noise_period":
            total += np.log(cause.period[value])
        else:
            yes = chance(name, cause)[True]
            total += np.log(yes if value else 1 - yes)
    for event, base in world.EVENTS.items() if case.events is not None else ():
        yes = cause.events.get(event, base)
        total += np.log(yes if event in case.events else 1 - yes)
    return float(np.logaddexp.reduce(total) - np.log(len(total)))


def normal(x: float, means: np.ndarray, variance: float) -> np.ndarray:
    return np.exp(-(x - means) ** 2 / (2 * variance)) / sqrt(2 * pi * variance)


def likelihood_of_words(said: frozenset, share: np.ndarray) -> float:
    """P(the set of words said): inclusion and exclusion over the sets that some number of draws stays within."""
    where = [SYMPTOMS.index(s) for s in said]
    total = 0.0
    for size in range(1, len(where) + 1):
        for subset in combinations(where, size):
            inside = float(share[list(subset)].sum())
            total += (-1) ** (len(where) - size) * sum(p * inside ** k for k, p in world.HOW_MANY.items())
    return max(total, 1e-300)


def best_posterior(case: Case, frequencies: dict | None = None) -> dict[str, float]:
    """The posterior of one who knows the world; the outside faults are one answer."""
    shares = possible(case.bike, frequencies)
    logs = np.array([np.log(share) + log_likelihood(case, EVERY[id]) for id, share in shares.items()])
    weights = np.exp(logs - logs.max())
    posterior = dict.fromkeys([*(id for id in shares if id in CAUSES), NONE], 0.0)
    for id, weight in zip(shares, weights / weights.sum(), strict=True):
        posterior[id if id in CAUSES else NONE] += float(weight)
    return posterior
