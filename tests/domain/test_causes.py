"""Posteriors of causes: published cases of Bayes' theorem, and rules that hold for whatever was seen."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from service.domain.causes import (
    NONE_OF_THESE,
    Cause,
    Change,
    Observation,
    Usual,
    learned_priors,
    likelihood_ratio,
    start_priors,
    weigh,
)
from service.domain.evidence import (
    NO_PERIOD,
    PARTS,
    change_density,
    likelihood,
    period_share,
    setting_density,
    word_share,
)
from service.domain.posterior import candidates
from service.domain.reason_words import amount
from service.domain.second_cause import second_cause
from tests.domain.likelihoods import LEVELS

USUAL = Usual(0.0, 0.3, 3.0)
BENT = Cause("bent", "Hanger bent", .3, likely=("ticks",), changes=(Change("hanger", "up"),), events=("fall",))
WORN = Cause("worn", "Chain worn", .5, likely=("skips",), changes=(Change("growth", "up"),))
LOOSE = Cause("loose", "Axle loose", .2, likely=("creaks",), sometimes=("ticks",), noise_period="wheel",
              changes=(Change("fastener:axle", "down"), Change("hanger", "differs")))
NORMAL = Cause("normal", "Normal", .1, likely=("rubs",), all_same=True)
TABLE = (BENT, WORN, LOOSE, NORMAL)


def test_mammography(published):
    """Eddy 1982, as in Gigerenzer and Hoffrage 1995: prior 1 %, sensitivity 80 %, false positives 9.6 %."""
    case = published("by-mammography")
    prior, sens, fpr = (case.inputs[k] for k in ("prior", "sens", "fpr"))
    posterior = weigh(np.array([prior, 1 - prior]), np.log([sens, fpr]))
    case.check("post", posterior[0])


def test_post_test_probability(published):
    """Likelihood ratios of the evidence-based medicine pages: 50 % with LR 6 is 86 %, and so on."""
    case = published("by-posttest")
    case.check("post", [weigh(np.array([p, 1 - p]), np.log([ratio, 1]))[0] for p, ratio in case.inputs["cases"]])


def test_ferritin(published):
    """Serum ferritin (Sackett et al.): the ratio from the fourfold table, and the predictive values it gives."""
    case = published("by-ferritin-2x2")
    a, b, c, d = (case.inputs[k] for k in "abcd")
    prior = np.array([(a + c) / (a + b + c + d), (b + d) / (a + b + c + d)])
    positive, negative = np.array([a / (a + c), b / (b + d)]), np.array([c / (a + c), d / (b + d)])
    case.check("LRpos", likelihood_ratio(prior, positive)[0])
    case.check("LRneg", likelihood_ratio(prior, negative)[0])
    case.check("PPV", weigh(prior, np.log(positive))[0])
    case.check("NPV", weigh(prior, np.log(negative))[1])


@pytest.mark.parametrize("direction", ["up", "down", "differs", "same", None])
def test_change_density_is_the_sum_of_its_parts(direction):
    """Against scipy: normal plus half-normal by numerical convolution, mixed with the ordinary; integrates to 1."""
    u, usual = .4, Usual(.1, .3, 2.0)
    sigma = np.hypot(u, usual.spread)
    shown = {"up": LEVELS.change_shown, "down": LEVELS.change_shown, "differs": LEVELS.change_shown,
             "same": LEVELS.change_where_same, None: LEVELS.change_elsewhere}[direction]

    def size(m):
        return {"up": stats.halfnorm.pdf(m, scale=2), "down": stats.halfnorm.pdf(-m, scale=2)}.get(
            direction, stats.norm.pdf(m, scale=2))

    for delta in (-3.0, -.5, 0.1, .8, 4.0):
        def product(m, delta=delta):
            return size(m) * stats.norm.pdf(delta - .1 - m, scale=sigma)

        fault = sum(integrate.quad(product, *ends, points=[min(max(delta, ends[0]), ends[1])])[0]
                    for ends in ((-20, 0), (0, 20)))
        expected = shown * fault + (1 - shown) * stats.norm.pdf(delta, .1, sigma)
        assert change_density(delta, u, usual, direction, LEVELS) == pytest.approx(expected, rel=1e-6)
    assert integrate.quad(lambda d: change_density(d, u, usual, direction, LEVELS), -30, 30,
                          points=[0.1])[0] == pytest.approx(1, abs=1e-6)


@pytest.mark.parametrize("cause", [*TABLE, None])
def test_every_other_likelihood_is_a_distribution(cause):
    words = ["ticks", "skips", "creaks", "rubs", *(f"other {n}" for n in range(11))]
    assert sum(word_share(w, cause, LEVELS, len(words)) for w in words) == pytest.approx(1)
    assert sum(period_share(p, cause, LEVELS) for p in (NO_PERIOD, *PARTS)) == pytest.approx(1)
    for of, kind in (("fastener:axle", "finding"), ("fall", "event"), ("coasting", "coasting")):
        both = [float(likelihood(Observation(of, kind, of, yes), cause, LEVELS)) for yes in (True, False)]
        assert sum(both) == pytest.approx(1)


@pytest.mark.parametrize("direction", ["up", "down", "differs", "same", None])
def test_settings_are_a_distribution_over_less_same_and_more(direction):
    assert setting_density(np.array([-2.0, 0.0, 1.0]), direction, LEVELS).sum() == pytest.approx(1)


def test_the_posterior_by_hand():
    """Two causes of equal prior and one check that the first shows in 1 of 2, the other and none in 1 of 20."""
    levels = replace(LEVELS, finding_shown=.5, finding_elsewhere=.05, outside=.1)
    one, other = Cause("a", "A", .45, changes=(Change("check:x", "failed"),)), Cause("b", "B", .45)
    found = {c.id: c for c in candidates((one, other), [Observation("check:x", "finding", "x", True)], levels)}
    total = .45 * .5 + .45 * .05 + .1 * .05
    assert found["a"].probability == pytest.approx(.45 * .5 / total)
    assert found[NONE_OF_THESE].probability == pytest.approx(.1 * .05 / total)
    assert found["a"].reasons_for[0].ratio == pytest.approx(10)
    assert found["b"].reasons_against[0].of == "check:x"


def test_added_counts_by_hand():
    """Start 0.2 worth 40, 12 of 60 more where it could be: (8 + 12) / 100; one that could not be stays as it was."""
    levels = replace(LEVELS, learning=40)
    assert learned_priors({"a": .2, "b": .1}, {"a": 12}, {"a": 60}, levels) == pytest.approx({"a": .2, "b": .1})
    assert learned_priors({"a": .2}, {"a": 60}, {"a": 60}, levels)["a"] == pytest.approx(.68)


def test_without_priors_all_weigh_alike():
    zero = [replace(c, prior=0.0) for c in TABLE]
    prior = start_priors(zero, LEVELS)
    assert prior[:-1] == pytest.approx(np.full(4, (1 - LEVELS.outside) / 4))
    assert start_priors([], LEVELS) == pytest.approx([1.0])


def test_what_no_cause_explains_is_no_evidence_and_no_crash():
    far = Observation("hanger", "change", "Hanger", 1e6, .1, USUAL)
    found = candidates(TABLE, [far], LEVELS)
    assert sum(c.probability for c in found) == pytest.approx(1)


def test_reasons_are_plain():
    hanger = Observation("hanger", "change", "Hanger", 3.4, .4, USUAL, "mm")
    seen = [hanger, Observation("ticks", "symptom", "ticks", True)]
    found = {c.id: c for c in candidates(TABLE, seen, LEVELS)}
    assert "Hanger +3.4 mm, as with this cause" in [r.words for r in found["bent"].reasons_for]
    assert "Hanger +3.4 mm, which this cause does not explain" in [r.words for r in found["worn"].reasons_against]
    assert "“ticks” is likely with this cause" in [r.words for r in found["bent"].reasons_for]
    assert amount(-0.25, "turn") == "−0.25 turn" and amount(0.0) == "0" and amount(1234.0, "kPa") == "+1234 kPa"


def test_a_second_cause_beside_the_first():
    """Bent and worn at once: neither alone explains both changes; a lone bend asks for no second cause."""
    bent = Observation("hanger", "change", "Hanger", 4.0, .4, USUAL)
    worn = Observation("growth", "change", "Growth", 5.0, .4, USUAL)
    same = Observation("growth", "change", "Growth", .1, .4, USUAL)
    words = [Observation(s, "symptom", s, True) for s in ("ticks", "skips")]
    both = second_cause(TABLE, [bent, worn, *words], LEVELS)
    assert both.two > .5 and {both.first, both.second} == {"bent", "worn"}
    assert second_cause(TABLE, [bent, same, words[0]], LEVELS).two < .2
    assert second_cause(TABLE[:1], [bent], LEVELS) is None


yes_or_no = st.sampled_from([("fastener:axle", "finding"), ("fall", "event"), ("coasting", "coasting")])
def test_a_pair_by_hand():
    """Two findings, each named by one of two causes: the pair's likelihood takes each from the one that names it."""
    levels = replace(LEVELS, finding_shown=.5, finding_elsewhere=.05, outside=.1, second=.2)
    table = (Cause("a", "A", .6, changes=(Change("check:x", "failed"),)),
             Cause("b", "B", .3, changes=(Change("check:y", "failed"),)))
    seen = [Observation(of, "finding", of, True) for of in ("check:x", "check:y")]
    a, b, none, pair = .6 * .8 * .5 * .05, .3 * .8 * .05 * .5, .1 * .8 * .05 * .05, .2 * .5 * .5
    found = second_cause(table, seen, levels)
    assert found.two == found.pair == pytest.approx(pair / (a + b + none + pair))
    assert (found.first, found.second) == ("a", "b")


observations = st.lists(max_size=8, elements=st.one_of(
    st.sampled_from(["ticks", "skips", "creaks", "rubs", "hums"]).map(lambda s: Observation(s, "symptom", s, True)),
    st.builds(lambda of, delta, u: Observation(of, "change", of, delta, u, USUAL),
              st.sampled_from(["hanger", "growth", "gap"]), st.floats(-50, 50), st.sampled_from([0.0, .1, .4])),
    st.builds(lambda of, yes: Observation(of[0], of[1], of[0], yes), yes_or_no, st.booleans()),
    st.floats(0, 1).map(lambda p: Observation("noise_period", "period", "period", {"wheel": p, "crank": 1 - p})),
))


@given(observations, st.randoms(use_true_random=False))
def test_probabilities_sum_to_one_and_order_does_not_matter(seen, random):
    found = candidates(TABLE, seen, LEVELS)
    assert sum(c.probability for c in found) == pytest.approx(1)
    assert sum(c.prior for c in found) == pytest.approx(1)
    assert all(0 <= c.probability <= 1 for c in found)
    assert [c.probability for c in found] == sorted((c.probability for c in found), reverse=True)
    shuffled = {c.id: c.probability for c in candidates(TABLE, random.sample(seen, len(seen)), LEVELS)}
    assert shuffled == pytest.approx({c.id: c.probability for c in found})


@given(observations)
def test_one_after_the_other_is_all_at_once(seen):
    """Bayes' rule in two sittings: yesterday's posterior is today's prior."""
    half = len(seen) // 2
    first = {c.id: c.probability for c in candidates(TABLE, seen[:half], LEVELS)}
    then = {c.id: c.probability for c in candidates(TABLE, seen[half:], LEVELS, first)}
    assert then == pytest.approx({c.id: c.probability for c in candidates(TABLE, seen, LEVELS)}, abs=1e-9)


@given(observations)
def test_pairs_are_probabilities(seen):
    pair = second_cause(TABLE, seen, LEVELS)
    assert 0 <= pair.pair <= pair.two <= 1 + 1e-12
    assert pair.first != pair.second


def test_more_of_the_named_change_never_speaks_less_for_the_cause():
    """The ratio for a cause that raises the hanger grows with the change, once beyond the ordinary."""
    p = [next(c.probability for c in candidates(TABLE[:2], [Observation("hanger", "change", "h", d, .4, USUAL)], LEVELS)
              if c.id == "bent") for d in np.linspace(.5, 4, 15)]
    assert p == sorted(p)
