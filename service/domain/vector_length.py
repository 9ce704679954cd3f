"""The true length of a vector in a plane, seen through normal error of the same size in every direction.

The observed length is never negative and so is biased upward near zero. Its square, over the error's variance, follows
the noncentral chi-square distribution with two degrees of freedom and noncentrality (true length / error)**2
(Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions, vol. 2, ch. 29).
"""

import math

from scipy.special import chndtr, chndtrinc

# Beyond this ratio of length to error the bias is under a ten-thousandth of the error: plain normal error will do.
_NORMAL_FROM = 1e4
_Z = {0.95: 1.6448536269514722, 0.975: 1.959963984540054, 0.025: -1.959963984540054}


def chance_shorter(observed: float, limit: float, error: float) -> float:
    """Confidence, from 0 to 1, that the true length is at most `limit`; all three in one unit, error above zero.

    It is the chance of observing more than `observed` if the true length were `limit`, so that "surely below the
    limit" is wrong no more often than it claims, also for a true length of zero.
    """
    if limit < 0:
        return 0.0
    seen, true = observed / error, limit / error
    if max(seen, true) > _NORMAL_FROM:
        return 0.5 * math.erfc((seen - true) / math.sqrt(2))
    return float(1.0 - chndtr(seen * seen, 2, true * true))


def interval(observed: float, error: float) -> tuple[float, float]:
    """The 95 % interval of the true length, in the unit of `observed` and `error` (standard, above zero).

    It inverts a test that errs in exactly 5 % at every true length: up to 1.645 errors, where a length cannot be told
    from none, all of it lies in the upper tail; beyond, half in each tail. So the interval covers at zero too, where
    equal tails would cover 97.5 %.
    """
    turn = _Z[0.95] * error
    lower = _length_at(0.95, observed, error)
    if lower > turn:
        lower = max(turn, _length_at(0.975, observed, error))
    return lower, max(turn, _length_at(0.025, observed, error))


def _length_at(p: float, observed: float, error: float) -> float:
    """The true length under which a length up to `observed` has probability p; zero where even that is too long."""
    seen = observed / error
    if seen > _NORMAL_FROM:
        return max(0.0, observed - _Z[p] * error)
    if chndtr(seen * seen, 2, 0.0) <= p:
        return 0.0
    return math.sqrt(chndtrinc(seen * seen, 2, p)) * error
