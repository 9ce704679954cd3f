"""The whisker of a hanger's deviation: from where to where it may be, so that its ends turn with its verdict."""

from service.domain import vector_length
from service.domain.hanger import HangerFit

SHARE = 0.95


def whisker(fit: HangerFit) -> tuple[float, float] | None:
    """Both one-sided 95 % bounds of the true deviation, mm; None where there is no deviation or nothing left open.

    A band's limit beyond the upper bound is a verdict of inside, one below the lower bound a verdict of outside
    (JCGM 106:2012, clause 7), by the distribution that `judge_deviation` uses. Never below zero, so not symmetric.
    """
    if fit.deviation_mm is None or fit.covariance is None:
        return None
    (p, q), (_, r) = fit.covariance
    # Standard uncertainty in the least certain direction: root of the larger eigenvalue of a 2 by 2 matrix.
    error = 2 * max(0.0, (p + r) / 2 + (((p - r) / 2) ** 2 + q**2) ** 0.5) ** 0.5
    if error == 0:
        return None
    return _bound(fit.deviation_mm, error, 1 - SHARE), _bound(fit.deviation_mm, error, SHARE)


def _bound(deviation: float, error: float, share: float) -> float:
    """The length that the true one stays below with this confidence, by halving; zero where even that is too long."""
    low, high = 0.0, deviation + 8 * error
    if vector_length.chance_shorter(deviation, 0.0, error) >= share:
        return 0.0
    for _ in range(60):
        middle = (low + high) / 2
        if vector_length.chance_shorter(deviation, middle, error) > share:
            high = middle
        else:
            low = middle
    return high
