"""Prints the cause table's score on the simulated comebacks, next to the best that can be. Seeds are the world's."""

from __future__ import annotations

import argparse
from collections import Counter

import numpy as np

from service import catalogue
from service import causes as table
from service.domain.causes import NONE_OF_THESE, Levels, learned_priors, start_priors
from service.domain.second_cause import second_cause
from tests.domain import comeback_model as model
from tests.domain.comeback_score import Score, causes_for, observations, score, table_posterior

SITUATIONS = {"all": ("all measured", 1.0, True), "most": ("70 % of it measured", .7, True),
              "words": ("symptoms only", 0.0, False)}
CLOSED = 200  # comebacks a shop has closed before its priors are asked
SURE = .8


def drawn(seed: str, count: int, **kwargs) -> list[model.Case]:
    rng = np.random.default_rng(model.SEEDS[seed])
    return [model.draw(rng, **kwargs) for _ in range(count)]


def situation(name: str, count: int, levels: Levels) -> tuple[Score, Score]:
    """Scores of the table and of one who knows the world, on the same cases."""
    _, measured, told = SITUATIONS[name]
    cases = drawn(name, count, measured=measured, told=told)
    return score(cases, [table_posterior(c, levels) for c in cases]), score(cases, [*map(model.best_posterior, cases)])


def other_shop() -> dict[str, float]:
    """A shop with other frequencies: the world's own, dealt out anew among the faults."""
    rng = np.random.default_rng(model.SEEDS["shop"])
    shares = np.array([fault.prior for fault in model.EVERY.values()])
    return dict(zip(model.EVERY, rng.permutation(shares).tolist(), strict=True))


def taught(levels: Levels, closed: list[model.Case]) -> dict[str, float]:
    """Priors learned from closed comebacks, each closed with its true cause."""
    every = table.from_rows(catalogue.load().items["causes"].values())
    start = dict(zip([*(c.id for c in every), NONE_OF_THESE], start_priors(every, levels).tolist(), strict=True))
    could = Counter(NONE_OF_THESE for _ in closed)
    for case in closed:
        could.update(c.id for c in causes_for(case.bike))
    return learned_priors(start, Counter(c.answer for c in closed), could, levels)


def learning(count: int, levels: Levels, measured: float = 0.0) -> tuple[Score, Score, float, float]:
    """Scores with the start values and with priors learned from 200 comebacks; mean log-probability of the truth."""
    frequencies = other_shop()
    cases = drawn("learning", CLOSED + count, measured=measured, frequencies=frequencies)
    shares, later = taught(levels, cases[:CLOSED]), cases[CLOSED:]
    start, learned = ([table_posterior(c, levels, s) for c in later] for s in (None, shares))
    logs = [float(np.mean([np.log(p[c.answer]) for p, c in zip(ps, later, strict=True)])) for ps in (start, learned)]
    return score(later, start), score(later, learned), *logs


def outside(count: int, levels: Levels) -> dict[str, float]:
    """Comebacks whose cause is not in the table, all measured, beside ones whose cause is."""
    rng = np.random.default_rng(model.SEEDS["outside"])
    names = list(model.OUTSIDE)
    strange = [model.draw(rng, cause=names[n % len(names)]) for n in range(count)]
    usual = [c for c in drawn("second", count) if c.cause in model.CAUSES]
    posteriors = [table_posterior(c, levels) for c in strange]
    best = [model.best_posterior(c) for c in strange]
    return {
        "none of these, mean": mean_none(posteriors),
        "mean when the cause is in the table": mean_none([table_posterior(c, levels) for c in usual]),
        "first": none_first(posteriors), "best possible first": none_first(best),
        "sure of a wrong cause": sure_and_wrong(posteriors), "best possible": sure_and_wrong(best),
    }


def mean_none(posteriors: list[dict[str, float]]) -> float:
    return float(np.mean([p[NONE_OF_THESE] for p in posteriors]))


def none_first(posteriors: list[dict[str, float]]) -> float:
    return float(np.mean([max(p, key=p.get) == NONE_OF_THESE for p in posteriors]))


def sure_and_wrong(posteriors: list[dict[str, float]]) -> float:
    """Share in which a cause of the table is named with 0.8 or more, though it is none of them."""
    return float(np.mean([max(x for id, x in p.items() if id != NONE_OF_THESE) >= SURE for p in posteriors]))


def second(count: int, levels: Levels) -> dict[str, float]:
    """Two causes at once, all measured: is a second one noticed, and are both named?"""
    rng = np.random.default_rng(model.SEEDS["second"])
    two, named, lone = [], [], []
    for _ in range(count):
        bike = model.any_bike(rng)
        shares = {id: p for id, p in model.possible(bike).items() if id in model.CAUSES}
        p = np.array(list(shares.values())) / sum(shares.values())
        one, other = (str(x) for x in rng.choice(list(shares), 2, replace=False, p=p))
        for case in (model.draw(rng, bike=bike, cause=one, second=other), model.draw(rng, bike=bike, cause=one)):
            found = second_cause(causes_for(bike), observations(case, levels), levels)
            if case.second:
                two.append(found.two)
                named.append({found.first, found.second} == {one, other})
            else:
                lone.append(found.two)
    found = {"a second one, mean": two, "mean when there is one": lone, "both named": named}
    return {name: float(np.mean(values)) for name, values in found.items()}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=model.CASES, help="simulated comebacks in each situation")
    count, levels = parser.parse_args().cases, table.levels(catalogue.load())
    print(f"{count:,} simulated comebacks in each situation; in brackets the share of the best possible score\n")
    print(f"{'':22}{'first place':>16}{'first three':>16}{'calibration error':>20}")
    for name, (label, *_) in SITUATIONS.items():
        mine, best = situation(name, count, levels)
        print(f"{label:22}{mine.first:8.3f} ({mine.first / best.first:.3f}){mine.three:8.3f} "
              f"({mine.three / best.three:.3f}){mine.calibration_error:20.3f}")
        print(f"{'  best possible':22}{best.first:8.3f}{best.three:16.3f}{best.calibration_error:28.3f}")
    for measured, label in ((0.0, "symptoms and events"), (1.0, "all measured")):
        start, learned, *logs = learning(count // 2, levels, measured)
        print(f"\na shop with other frequencies, {label}: first place {start.first:.3f} with the start values, "
              f"{learned.first:.3f} after {CLOSED} closed comebacks;\n"
              f"log-probability of the truth {logs[0]:.3f} and {logs[1]:.3f}")
    for title, numbers in (("cause not in the table", outside(count // 2, levels)),
                           ("two causes at once", second(count // 4, levels))):
        print(f"\n{title}: " + ", ".join(f"{name} {value:.3f}" for name, value in numbers.items()))


if __name__ == "__main__":
    main()
