"""Ten minutes left: which open check, by the shop's own history, prevents most expected comebacks on this bike."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.domain.causes import Cause, Levels

PRIOR_JOBS = 20.0  # handovers that the start value of the comeback rate is worth
PRIOR_RATE = 0.05  # one in twenty comes back; from memory, the shop's own count takes over
PRIOR_FAMILY = 20.0  # handovers that the whole shop is worth against one family


@dataclass(frozen=True)
class History:
    """Handovers and closed comebacks, of the whole shop and of the bike's family, by cause."""

    jobs: int
    comebacks: int
    family_jobs: int = 0
    family_comebacks: int = 0
    family_by_cause: Mapping[str, int] | None = None


@dataclass(frozen=True)
class OpenCheck:
    """Something that could still be measured, torqued or checked; `shows`: what of the cause table it tells."""

    id: str
    label: str
    shows: tuple[str, ...]


@dataclass(frozen=True)
class Advice:
    """`prevented`: comebacks expected to be prevented by this check, of one bike like this; `causes`: their parts."""

    id: str
    label: str
    prevented: float
    causes: tuple[tuple[str, float], ...]
    words: str


def comeback_rate(history: History) -> float:
    """Share of handovers of this family that come back: added counts, the family's shrunk towards the shop's.

    shop = (1 + comebacks) / (20 + jobs); family = (20 x shop + its comebacks) / (20 + its jobs): means of beta
    distributions (Gelman et al., Bayesian Data Analysis, 3rd ed., section 2.4). A comeback of a bike that was set up
    before the book began counts as a job of its own.
    """
    jobs, family_jobs = max(history.jobs, history.comebacks), max(history.family_jobs, history.family_comebacks)
    shop = (PRIOR_RATE * PRIOR_JOBS + history.comebacks) / (PRIOR_JOBS + jobs)
    return (PRIOR_FAMILY * shop + history.family_comebacks) / (PRIOR_FAMILY + family_jobs)


def cause_rates(causes: Sequence[Cause], shares: Mapping[str, float], history: History, levels: Levels):
    """Expected comebacks of one handover of this family, by cause; `shares`: the shop's learned priors."""
    total = sum(shares.get(c.id, 0.0) for c in causes)
    rate, n0 = comeback_rate(history), levels.learning
    counts = history.family_by_cause or {}
    known = sum(counts.get(c.id, 0) for c in causes)
    if not total > 0:
        return dict.fromkeys((c.id for c in causes), 0.0)
    return {
        c.id: rate * (n0 * shares.get(c.id, 0.0) / total + counts.get(c.id, 0)) / (n0 + known) for c in causes
    }


def ten_minutes(
    causes: Sequence[Cause], shares: Mapping[str, float], history: History, checks: Sequence[OpenCheck], levels: Levels
) -> tuple[Advice, ...]:
    """Open checks by the comebacks each would prevent, the most first; those that prevent none are left out.

    A check prevents a cause's comebacks with the chance that the cause shows in it (`levels.change_shown` for a
    quantity, `levels.finding_shown` for a fastener or a check). Causes are taken as found independently of each other.
    """
    rates, labels = cause_rates(causes, shares, history, levels), {c.id: c.label for c in causes}
    found = []
    for check in checks:
        parts = [(c.id, rates[c.id] * _shown(c, check, levels)) for c in causes]
        parts = sorted((p for p in parts if p[1] > 0), key=lambda p: -p[1])
        if parts:
            prevented = sum(p for _, p in parts)
            words = _words(check, prevented, parts, labels)
            found.append(Advice(check.id, check.label, prevented, tuple(parts), words))
    return tuple(sorted(found, key=lambda a: -a.prevented))


def _shown(cause: Cause, check: OpenCheck, levels: Levels) -> float:
    """Chance that a cause shows in a check: of several things it tells, the one that tells most."""
    told = [of for of in check.shows if _names(cause, of)]
    return max((levels.finding_shown if ":" in of else levels.change_shown for of in told), default=0.0)


def _names(cause: Cause, of: str) -> bool:
    return any(c.of == of and c.direction != "same" for c in cause.changes)


def _words(check: OpenCheck, prevented: float, parts: list[tuple[str, float]], labels: Mapping[str, str]) -> str:
    most = ", ".join(labels[id].lower() for id, _ in parts[:2])
    return f"{check.label}: would prevent about {1000 * prevented:.0f} comebacks in 1,000 bikes like this ({most})."
