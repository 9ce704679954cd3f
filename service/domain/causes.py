"""Causes of a comeback: what the table says of each, what was seen, and the posterior with its reasons.

Bayes' theorem with observations taken as independent given the cause (Gelman et al., Bayesian Data Analysis, 3rd ed.,
section 1.3; for one finding it is the textbook's likelihood ratio: post-test odds = pre-test odds times ratio). How
likely each observation is under a cause is in `evidence.py`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

NONE_OF_THESE = "none_of_these"
TELLS_FROM = 1.5  # a reason is named from this likelihood ratio on


@dataclass(frozen=True)
class Change:
    """What a cause does to one thing: `direction` is up, down, same, differs; for a check failed."""

    of: str
    direction: str


@dataclass(frozen=True)
class Cause:
    """One row of the table. `prior` is a share among comebacks, in any scale; symptoms and events are ids."""

    id: str
    label: str
    prior: float
    likely: tuple[str, ...] = ()
    either: tuple[str, ...] = ()
    sometimes: tuple[str, ...] = ()
    rarely: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()
    noise_period: str | None = None
    while_coasting: bool = False
    all_same: bool = False
    events: tuple[str, ...] = ()

    def direction(self, of: str) -> str | None:
        """Direction the cause moves a thing in; None where the table says nothing."""
        return next((c.direction for c in self.changes if c.of == of), "same" if self.all_same else None)


@dataclass(frozen=True)
class Levels:
    """The table's words as numbers; what each means is written beside its value in the catalogue."""

    likely: float  # weights of a complaint's word; either counts as likely, shared among its words
    sometimes: float
    rarely: float
    unlisted: float
    change_shown: float  # chances: a quantity has changed beyond the ordinary
    change_elsewhere: float
    change_where_same: float
    setting_shown: float  # a setting that is read out has changed
    setting_elsewhere: float
    finding_shown: float  # a fastener turns below its torque, a check fails
    finding_elsewhere: float
    period_right: float  # of a noise
    period_none: float
    coasting_shown: float
    coasting_wheel: float
    coasting_elsewhere: float
    event_shown: float
    event_elsewhere: float
    ordinary_in_u: float  # sizes of changes, in standard uncertainties of a reading
    fault_in_u: float
    outside: float  # shares of comebacks
    second: float
    learning: float  # comebacks that the start values of the priors are worth


@dataclass(frozen=True)
class Usual:
    """What ordinary riding does to a quantity between two visits: mean and spread of the change; size of a fault."""

    mean: float
    spread: float
    fault: float


@dataclass(frozen=True)
class Observation:
    """One thing seen. `kind` decides what `value` is:

    symptom, event: whether it was said (an event that was asked for and not named counts against);
    change: now minus then in the quantity's unit, with standard uncertainty `u` (0: a setting that is read out);
    finding: whether a fastener was found turning, a check failed; coasting: whether the noise goes on while coasting;
    period: the parts whose turning it may follow, each with its probability.
    """

    of: str
    kind: str
    label: str
    value: float | bool | Mapping[str, float]
    u: float = 0.0
    usual: Usual | None = None
    unit: str = ""


@dataclass(frozen=True)
class Reason:
    """One observation's say: `ratio` is its likelihood under the cause over that under all others together."""

    of: str
    words: str
    ratio: float


@dataclass(frozen=True)
class Candidate:
    """A cause with its probability after what was seen. `prior` is normalised among the causes that can apply."""

    id: str
    label: str
    prior: float
    probability: float
    reasons_for: tuple[Reason, ...] = field(default=())
    reasons_against: tuple[Reason, ...] = field(default=())


def start_priors(causes: Sequence[Cause], levels: Levels) -> np.ndarray:
    """Shares of the causes and, last, of none of these; they sum to one. Without any prior all causes weigh alike."""
    shares = np.array([max(c.prior, 0.0) for c in causes], dtype=float)
    if not shares.sum() > 0:
        shares = np.ones(len(causes))
    inside = (1 - levels.outside) * shares / shares.sum() if len(causes) else shares
    return np.append(inside, 1 - inside.sum())


def learned_priors(
    start: Mapping[str, float], counts: Mapping[str, int], could_be: Mapping[str, int], levels: Levels
) -> dict[str, float]:
    """Shares learned from closed comebacks: added counts (a Dirichlet prior's mean, Gelman et al., section 3.4).

    share = (n0 x start + count) / (n0 + comebacks in which the cause could apply), n0 = `levels.learning`. Counting
    only bikes that can have the cause keeps a cable's causes from looking rare in a shop full of electronic bikes.
    """
    n0 = levels.learning
    return {id: (n0 * share + counts.get(id, 0)) / (n0 + could_be.get(id, 0)) for id, share in start.items()}


def weigh(prior: np.ndarray, log_likelihoods: np.ndarray) -> np.ndarray:
    """Posterior from priors and the summed log-likelihoods, safe for very small numbers. Sums to one."""
    with np.errstate(divide="ignore"):
        logs = np.log(prior) + log_likelihoods
    weights = np.exp(logs - logs.max())
    return weights / weights.sum()


def likelihood_ratio(prior: np.ndarray, likelihood: np.ndarray) -> np.ndarray:
    """Each cause's likelihood over that of all the others together, weighed by their priors."""
    others = prior @ likelihood - prior * likelihood
    share = 1 - prior
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = likelihood * share / others
    return np.where(np.isfinite(ratio), ratio, 1.0)
