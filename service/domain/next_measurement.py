"""What to measure next: the reading with the largest expected information gain between the causes still open.

Gain of a reading = mutual information between cause and outcome = H(outcome) - sum over causes of p x H(outcome given
the cause), in bits (Cover and Thomas, Elements of Information Theory, 2nd ed., section 2.4).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from service.domain.causes import Cause, Levels, Observation
from service.domain.evidence import NO_PERIOD, PARTS, likelihood

CELLS = 121  # of the grid on which the outcome of a reading is cut


@dataclass(frozen=True)
class Gain:
    """Expected gain of one reading, in bits, and what remains open before it."""

    of: str
    label: str
    bits: float
    open_bits: float


def next_measurements(
    causes: Sequence[Cause], probability: Sequence[float], options: Sequence[Observation], levels: Levels
) -> tuple[Gain, ...]:
    """Gains of what has not been measured, the largest first; `probability` of the causes and, last, none of these.

    Each option is an observation whose value is not looked at; a change needs its `u` and `usual`.
    """
    p = np.asarray(probability, dtype=float)
    p = p / p.sum()
    uncertain = entropy(p)
    gains = [Gain(o.of, o.label, information(p, outcomes(o, causes, levels)), uncertain) for o in options]
    return tuple(sorted(gains, key=lambda g: -g.bits))


def outcomes(option: Observation, causes: Sequence[Cause], levels: Levels) -> np.ndarray:
    """Distribution of the outcome under each cause: one row a cause, one column an outcome."""
    every = (*causes, None)
    if option.kind == "change":
        rows = [likelihood(replace(option, value=_values(option)), cause, levels) for cause in every]
    else:
        each = [replace(option, value=value) for value in _choices(option)]
        rows = [[float(likelihood(one, cause, levels)) for one in each] for cause in every]
    table = np.array(rows)
    return table / table.sum(axis=1, keepdims=True)


def _values(option: Observation) -> np.ndarray:
    if option.u == 0:
        return np.array([-1.0, 0.0, 1.0])
    reach = 4 * np.sqrt(option.u**2 + option.usual.spread**2 + option.usual.fault**2)
    return np.linspace(option.usual.mean - reach, option.usual.mean + reach, CELLS)


def _choices(option: Observation) -> list:
    return [{part: 1.0} for part in (NO_PERIOD, *PARTS)] if option.kind == "period" else [True, False]


def information(p: np.ndarray, table: np.ndarray) -> float:
    """Mutual information in bits of a cause (probabilities p) and an outcome (its distribution under each cause)."""
    return max(entropy(p @ table) - float(p @ [entropy(row) for row in table]), 0.0)


def entropy(p: np.ndarray) -> float:
    """Shannon entropy in bits; nothing for what cannot be."""
    p = p[p > 0]
    return float(-(p * np.log2(p)).sum())
