"""A second cause beside the first: pairs of causes weighed against single ones."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from service.domain.causes import Cause, Levels, Observation
from service.domain.evidence import names
from service.domain.posterior import prior_of, table_of


@dataclass(frozen=True)
class SecondCause:
    """`two`: probability that two causes of the table are at work; of the most probable pair, `first` and `second`."""

    two: float
    first: str
    second: str
    pair: float


def second_cause(
    causes: Sequence[Cause], observations: Sequence[Observation], levels: Levels,
    shares: Mapping[str, float] | None = None, symptoms: int = 15,
) -> SecondCause | None:
    """The most probable pair, or None with fewer than two causes.

    Prior of a pair: `levels.second` shared by the product of its causes' priors; of a single cause: the rest. An
    observation that one of the two names has that one's likelihood; one that both or neither name, their mean. So a
    pair explains the bent hanger with the one and the worn chain with the other, and pays for it by its prior.
    """
    if len(causes) < 2:
        return None
    prior = prior_of(causes, levels, shares)
    table = table_of(causes, observations, levels, symptoms)
    named = np.array([[names(seen, c) for c in causes] for seen in observations], dtype=bool).reshape(-1, len(causes))
    one, other = np.triu_indices(len(causes), k=1)
    left, right = table[:, one], table[:, other]
    only_left, only_right = named[:, one] & ~named[:, other], named[:, other] & ~named[:, one]
    pairs = np.where(only_left, left, np.where(only_right, right, (left + right) / 2))
    weight = prior[one] * prior[other]
    if not weight.sum() > 0:
        return None
    with np.errstate(divide="ignore"):
        logs = np.concatenate([
            np.log(prior * (1 - levels.second)) + np.log(table).sum(axis=0),
            np.log(weight / weight.sum() * levels.second) + np.log(pairs).sum(axis=0),
        ])
    share = np.exp(logs - logs.max())
    share /= share.sum()
    of_pairs = share[len(causes) + 1 :]
    best = int(of_pairs.argmax())
    first, second = sorted((one[best], other[best]), key=lambda n: -share[n])
    return SecondCause(float(of_pairs.sum()), causes[first].id, causes[second].id, float(of_pairs[best]))
