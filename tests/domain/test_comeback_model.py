"""The frozen world is the one that was frozen, and its exact posterior agrees with its own draws."""

from collections import Counter
from hashlib import sha256
from pathlib import Path

import numpy as np
import pytest

from tests.domain import comeback_model as model

# Taken when the model was written, before any likelihood of the catalogue was tuned. A new value here is a new world.
FROZEN = {
    "comeback_world.py": "a5bf95a0ffda5be4151acc1dc3a264e16c6391a698f254be4999a9766d8cf593",
    "comeback_model.py": "9b273949de5ca36d7e24e5f7448fecaa708f84e7d0cc6d7c44b827cf8436ed68",
}


@pytest.mark.parametrize("name", FROZEN)
def test_frozen(name):
    assert sha256((Path(__file__).parent / name).read_bytes()).hexdigest() == FROZEN[name]


def test_every_profile_is_a_distribution():
    for fault in model.EVERY.values():
        for profile in (fault.mild, fault.severe, fault.period):
            assert sum(profile.values()) == pytest.approx(1)
    assert model.VOICED.sum(axis=1) == pytest.approx(np.ones(len(model.SYMPTOMS)))
    assert (model.VOICED >= 0).all()


def test_likelihood_of_the_words_is_their_frequency():
    """Against 40,000 draws of sets of words: within four standard errors of the binomial for each common set."""
    rng = np.random.default_rng(21)
    share = model.words(model.CAUSES["hanger_bent_inward"], .7, 1)
    draws = 40_000
    sets = Counter(frozenset(rng.choice(len(share), count, p=share).tolist())
                   for count in rng.choice([1, 2, 3], draws, p=[.55, .33, .12]))
    for words, count in sets.most_common(12):
        p = model.likelihood_of_words(frozenset(model.SYMPTOMS[n] for n in words), share)
        assert abs(count / draws - p) < 4 * np.sqrt(p * (1 - p) / draws)


def test_exact_posterior_is_calibrated():
    """Who knows the world is right as often as he says: stated and true shares agree within four standard errors."""
    rng = np.random.default_rng(22)
    for measured in (1.0, .5):
        stated, right = [], []
        for _ in range(300):
            case = model.draw(rng, measured)
            posterior = model.best_posterior(case)
            assert sum(posterior.values()) == pytest.approx(1)
            first = max(posterior, key=posterior.get)
            stated.append(posterior[first])
            right.append(first == case.answer)
        error = np.sqrt(np.mean(np.array(stated) * (1 - np.array(stated))) / 300)
        assert abs(np.mean(stated) - np.mean(right)) < 4 * error
