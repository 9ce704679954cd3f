"""The cause table's score on simulated comebacks, beside that of one who knows the simulated world.

Run as `./ops/comebacks`. First place and first three are shares of the cases; calibration error is the expected one
over ten bins of the first place's probability (Guo et al. 2017, Proceedings of ICML, section 2).
"""

from dataclasses import dataclass
from math import sqrt

import numpy as np

from service import catalogue
from service import causes as table
from service.domain.bike import applies
from service.domain.causes import NONE_OF_THESE, Levels, Observation, start_priors, weigh
from service.domain.evidence import likelihoods
from tests.domain import comeback_model as model
from tests.domain import comeback_world as world

BY_HAND = {"hanger_vertical": .42, "hanger_residual": .21, "needed:rear_trim": .5, "needed:cable_tension_turns": .125}
TURN = .25  # one unit of the world's cable setting


@dataclass(frozen=True)
class Score:
    """Shares of the cases; `stated` is the mean probability of the first place."""

    first: float
    three: float
    stated: float
    calibration_error: float


def observations(case: model.Case, levels: Levels) -> list[Observation]:
    """A simulated case as the review would see it."""
    seen = [Observation(s, "symptom", s, True) for s in sorted(case.symptoms)]
    if case.events is not None:
        seen += [Observation(e, "event", e, e in case.events) for e in world.EVENTS]
    return seen + [observation(name, value, levels) for name, value in case.seen.items()]


def observation(name: str, value, levels: Levels) -> Observation:
    quantities = catalogue.load().items["quantities"]
    if name in model.NUMERIC or name in world.SETTINGS:
        row = {"u": BY_HAND[name]} if name in BY_HAND else quantities[name]
        size = TURN if name == "cable_tension_turns" else 1
        once = name.startswith("needed:")
        return Observation(name, "change", name, value * size, row["u"] * (1 if once else sqrt(2)),
                           table.usual(row, levels))
    if name == "noise_period":
        return Observation(name, "period", name, {value: 1.0})
    if name == "coasting":
        return Observation(name, "coasting", name, value)
    noun = "check:" if name in world.CHECKS else "fastener:"
    return Observation(noun + name, "finding", name, value)


def causes_for(bike: dict) -> list:
    rows = catalogue.load().items["causes"].values()
    return table.from_rows(r for r in rows if applies(r.get("applies", {}), bike))


def table_posterior(case: model.Case, levels: Levels, shares: dict | None = None) -> dict[str, float]:
    causes = causes_for(case.bike)
    prior = start_priors(causes, levels)
    if shares:
        prior = np.array([shares.get(c.id, 0) for c in causes] + [shares[NONE_OF_THESE]])
        prior = prior / prior.sum()
    rows = [likelihoods(o, [*causes, None], levels) for o in observations(case, levels)]
    posterior = weigh(prior, np.log(rows).sum(axis=0) if rows else np.zeros(len(prior)))
    return dict(zip([*(c.id for c in causes), NONE_OF_THESE], posterior.tolist(), strict=True))


def score(cases: list[model.Case], posteriors: list[dict[str, float]]) -> Score:
    ranks = [sorted(p, key=p.get, reverse=True) for p in posteriors]
    right = np.array([r[0] == c.answer for r, c in zip(ranks, cases, strict=True)])
    stated = np.array([p[r[0]] for p, r in zip(posteriors, ranks, strict=True)])
    three = np.mean([c.answer in r[:3] for r, c in zip(ranks, cases, strict=True)])
    return Score(float(right.mean()), float(three), float(stated.mean()), calibration_error(stated, right))


def calibration_error(stated: np.ndarray, right: np.ndarray, bins: int = 10) -> float:
    which = np.minimum((stated * bins).astype(int), bins - 1)
    return float(sum(abs(stated[which == b].mean() - right[which == b].mean()) * (which == b).mean()
                     for b in range(bins) if (which == b).any()))
