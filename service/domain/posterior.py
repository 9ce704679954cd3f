"""The causes of a comeback ranked by probability, each with what speaks for and against it."""

from collections.abc import Mapping, Sequence

import numpy as np

from service.domain.causes import (
    NONE_OF_THESE,
    TELLS_FROM,
    Candidate,
    Cause,
    Levels,
    Observation,
    Reason,
    likelihood_ratio,
    start_priors,
    weigh,
)
from service.domain.evidence import likelihoods
from service.domain.reason_words import id_of, label_of, reason

SMALLEST = 1e-300  # so that what no cause explains is no evidence, instead of no number


def prior_of(causes: Sequence[Cause], levels: Levels, shares: Mapping[str, float] | None = None) -> np.ndarray:
    """Priors of the causes and, last, of none of these: the shop's learned shares, else the table's. Sum to one."""
    if shares is None:
        return start_priors(causes, levels)
    known = np.array([max(shares.get(id, 0.0), 0.0) for id in (*(c.id for c in causes), NONE_OF_THESE)])
    return known / known.sum() if known.sum() > 0 else start_priors(causes, levels)


def table_of(
    causes: Sequence[Cause], observations: Sequence[Observation], levels: Levels, symptoms: int = 15
) -> np.ndarray:
    """Likelihoods, one row an observation, one column a cause, the last column for none of these."""
    rows = [likelihoods(seen, [*causes, None], levels, symptoms) for seen in observations]
    return np.maximum(np.array(rows).reshape(len(rows), len(causes) + 1), SMALLEST)


def candidates(
    causes: Sequence[Cause], observations: Sequence[Observation], levels: Levels,
    shares: Mapping[str, float] | None = None, symptoms: int = 15,
) -> tuple[Candidate, ...]:
    """All causes that can apply and none of these, the most probable first; their probabilities sum to one.

    With nothing seen they are the priors. Every observation counts once, in any order.
    """
    prior = prior_of(causes, levels, shares)
    table = table_of(causes, observations, levels, symptoms)
    probability = weigh(prior, np.log(table).sum(axis=0))
    ratios = np.array([likelihood_ratio(prior, row) for row in table]).reshape(table.shape)
    found = [
        Candidate(id_of(c), label_of(c), float(p0), float(p), *_reasons(c, observations, ratio))
        for c, p0, p, ratio in zip((*causes, None), prior, probability, ratios.T, strict=True)
    ]
    return tuple(sorted(found, key=lambda c: -c.probability))


def _reasons(cause: Cause | None, observations: Sequence[Observation], ratios: np.ndarray):
    told = [Reason(o.of, reason(o, cause), float(r)) for o, r in zip(observations, ratios, strict=True)]
    speaks_for = sorted((r for r in told if r.ratio >= TELLS_FROM), key=lambda r: -r.ratio)
    against = sorted((r for r in told if r.ratio <= 1 / TELLS_FROM), key=lambda r: r.ratio)
    return tuple(speaks_for), tuple(against)
