"""How many bikes come back, how soon, and whether two groups differ in it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import chdtrc

from service.domain.errors import CannotCompute
from service.domain.rank_distributions import normal_quantile

CONFIDENCE = 0.95


@dataclass(frozen=True)
class Share:
    """count of n as a share, with its interval; all between 0 and 1."""

    count: int
    n: int
    share: float
    low: float
    high: float


@dataclass(frozen=True)
class StayingOut:
    """Share not yet back just after each of `days`, with standard error and interval; at_risk is just before.

    `median_days` is None while more than half have not come back.
    """

    days: np.ndarray
    at_risk: np.ndarray
    came_back: np.ndarray
    share: np.ndarray
    se: np.ndarray
    low: np.ndarray
    high: np.ndarray
    median_days: float | None


@dataclass(frozen=True)
class LogRank:
    """Comebacks observed and expected in each of two groups if they did not differ, chi-squared (1 df) and its p."""

    observed: tuple[int, int]
    expected: tuple[float, float]
    chi2: float
    p: float


def wilson(count: int, n: int, confidence: float = CONFIDENCE) -> Share:
    """Share with Wilson's score interval, without continuity correction (Wilson 1927; Newcombe 1998, method 3).

    Raises CannotCompute for no jobs and for a count outside 0 to n.
    """
    if n < 1:
        raise CannotCompute("There are no jobs yet.")
    if not 0 <= count <= n:
        raise CannotCompute("There cannot be more comebacks than jobs, or fewer than none.")
    z, p = normal_quantile((1 + confidence) / 2), count / n
    middle = (p + z**2 / (2 * n)) / (1 + z**2 / n)
    half = z / (1 + z**2 / n) * np.sqrt(p * (1 - p) / n + z**2 / (4 * n**2))
    # The limits meet 0 and 1 exactly there; rounding would leave dust.
    low = 0.0 if count == 0 else float(middle - half)
    high = 1.0 if count == n else float(middle + half)
    return Share(count, n, p, low, high)


def staying_out(days: Sequence[float], back: Sequence[bool], confidence: float = CONFIDENCE) -> StayingOut:
    """Kaplan–Meier estimate of the share not yet back, those not back counted until their last day known.

    `days` since the handover: until the first comeback where `back`, else until now. Greenwood's standard error,
    interval on the log-log scale (Kalbfleisch and Prentice). Where the last one known came back, the share is 0 and
    the interval's upper limit the one before. One who came back on a day counts before those censored on it.
    Raises CannotCompute without a comeback, without jobs and for a negative time.
    """
    t, event = _checked(days, back)
    if not event.any():
        raise CannotCompute("No bike has come back yet.")
    when = np.unique(t[event])
    at_risk = (t[None, :] >= when[:, None]).sum(axis=1)
    came = ((t[None, :] == when[:, None]) & event[None, :]).sum(axis=1)
    share = np.cumprod(1 - came / at_risk)
    share[came == at_risk] = 0.0
    left = np.maximum(at_risk - came, 1)
    variance = np.cumsum(np.where(at_risk > came, came / (at_risk * left), 0.0))
    se = share * np.sqrt(variance)
    low, high = _log_log(share, variance, normal_quantile((1 + confidence) / 2))
    half = np.flatnonzero(share <= 0.5 + 1e-12)
    return StayingOut(when, at_risk, came, share, se, low, high, float(when[half[0]]) if half.size else None)


def log_rank(
    days_a: Sequence[float], back_a: Sequence[bool], days_b: Sequence[float], back_b: Sequence[bool]
) -> LogRank:
    """Log-rank test of two groups (Mantel 1966), with the hypergeometric variance.

    (O − E)² / V, which is not the approximate sum of (O − E)² / E. Raises CannotCompute for a group without jobs, and
    if no bike came back while both groups had some out.
    """
    (ta, ea), (tb, eb) = _checked(days_a, back_a), _checked(days_b, back_b)
    t, event = np.concatenate([ta, tb]), np.concatenate([ea, eb])
    when = np.unique(t[event])[:, None]
    in_a, in_all = (ta >= when).sum(axis=1), (t >= when).sum(axis=1)
    came = ((t == when) & event).sum(axis=1)
    expected = float(np.sum(came * in_a / in_all))
    share = in_a / in_all
    spread = came * share * (1 - share) * (in_all - came) / np.maximum(in_all - 1, 1)
    variance = float(spread.sum())
    if variance <= 0:
        raise CannotCompute("No bike came back while both groups had some out: they cannot be compared.")
    observed, total = int(ea.sum()), int(event.sum())
    chi2 = (observed - expected) ** 2 / variance
    return LogRank((observed, total - observed), (expected, total - expected), chi2, float(chdtrc(1, chi2)))


def _log_log(share: np.ndarray, variance: np.ndarray, z: float) -> tuple[np.ndarray, np.ndarray]:
    low, high, upper = np.zeros(share.size), np.zeros(share.size), 1.0
    for i, s in enumerate(share):
        if s > 0:
            spread = z * np.sqrt(variance[i]) / np.log(s)
            low[i], upper = s ** np.exp(-spread), s ** np.exp(spread)
        high[i] = upper
    return low, high


def _checked(days: Sequence[float], back: Sequence[bool]) -> tuple[np.ndarray, np.ndarray]:
    t, event = np.asarray(days, dtype=float), np.asarray(back, dtype=bool)
    if t.size == 0:
        raise CannotCompute("There are no jobs to count.")
    if t.ndim != 1 or t.shape != event.shape:
        raise CannotCompute("Every job needs its days and whether the bike came back.")
    if not np.all(np.isfinite(t)):
        raise CannotCompute("A job's days are missing.")
    if np.any(t < 0):
        raise CannotCompute("A bike came back before it was handed over: its dates contradict each other.")
    return t, event
