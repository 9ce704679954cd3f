"""Matching comebacks with the jobs they are of, by hand."""

from hypothesis import given
from hypothesis import strategies as st

from service.domain.comeback_history import CameBack, HandedOver, history

FIRST, SECOND, OTHER = HandedOver("a", "bike", 10), HandedOver("b", "bike", 50), HandedOver("c", "other", 20)


def of(comebacks, today=100.0):
    found = history([FIRST, SECOND, OTHER], comebacks, today)
    return {o.handed_over.job: (o.days, o.back, o.cause) for o in found.outcomes}, found.left_out


def test_named_or_newest_before():
    outcomes, left_out = of([CameBack("bike", 60, "a", "chain_worn"), CameBack("bike", 70), CameBack("other", 20)])
    assert outcomes == {"a": (50, True, "chain_worn"), "b": (20, True, None), "c": (0, True, None)}
    assert left_out == 0


def test_only_the_first_counts():
    outcomes, _ = of([CameBack("bike", 80, "a", "later"), CameBack("bike", 30, "a", "first")])
    assert outcomes["a"] == (20, True, "first")


def test_those_not_back_are_counted_until_today():
    assert of([])[0] == {"a": (90, False, None), "b": (50, False, None), "c": (80, False, None)}
    assert of([], today=30)[0]["b"] == (0, False, None)


def test_contradictions_are_left_out():
    """Opened before its handover, of a job that is not there, of a bike that was never handed over."""
    outcomes, left_out = of([CameBack("bike", 5, "a"), CameBack("bike", 60, "z"), CameBack("third", 60)])
    assert left_out == 3
    assert not any(back for _, back, _ in outcomes.values())


@given(st.lists(st.tuples(st.sampled_from(["bike", "other"]), st.integers(0, 120)), max_size=8), st.randoms())
def test_order_does_not_matter(rows, random):
    comebacks = [CameBack(bike, day) for bike, day in rows]
    shuffled = comebacks[:]
    random.shuffle(shuffled)
    assert of(comebacks) == of(shuffled)
    outcomes, _ = of(comebacks)
    assert all(days >= 0 for days, _, _ in outcomes.values())
