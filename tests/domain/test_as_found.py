"""What the entries of a comeback tell, before anything is mended: worked by hand."""

from math import hypot, sqrt

import pytest

from service.domain import as_found
from service.domain.causes import Usual
from service.domain.handed_over import Entry
from service.domain.hanger import Tip, fit
from service.domain.review import Measured, compare

USUAL = {q: Usual(0, .1, 1) for q in ("gap", "rub", "hanger_vertical", "hanger_residual", "hanger_deviation",
                                      "needed:rear_trim")}
LABELS = {q: (q.title(), "mm") for q in ("gap", "rub", "hanger_deviation")}


@pytest.mark.parametrize(("start", "end", "outcome", "symptom"), [
    ((46, 24), (46, 28), "hesitates", "hesitates_to_larger"), ((46, 28), (46, 24), "hesitates", "hesitates_to_smaller"),
    ((46, 24), (33, 24), "hesitates", "front_slow"), ((46, 24), (46, 28), "clean", None),
    ((46, 24), (46, 28), "drops_inward", "drops_inward"),
])
def test_symptom_of_a_shift(start, end, outcome, symptom):
    assert as_found.symptom_of_shift(start, end, outcome) == symptom


def test_several_gears_count_once_by_their_mean():
    """Changes of +1 and +2, each of u root(2) x 0.3: mean 1.5, u root(2) x 0.3 x root(2) / 2 = 0.3."""
    then = {("rub", (46, 11)): Measured(3.0, .3), ("rub", (46, 36)): Measured(3.0, .3)}
    now = {("rub", (46, 11)): Measured(4.0, .3), ("rub", (46, 36)): Measured(5.0, .3)}
    [seen] = as_found.changes(compare(then, now), LABELS, USUAL)
    assert (seen.value, seen.u) == (pytest.approx(1.5), pytest.approx(.3))


def test_a_hanger_tells_its_vertical_part_and_its_disagreement():
    def measured(*gaps):
        found = fit([Tip(c, g) for c, g in zip((12, 3, 6, 9), gaps, strict=True)], 311, .3)
        return Measured(found.deviation_mm, found.u_deviation_mm, hanger=found)

    key = ("hanger_deviation", None)
    seen = as_found.changes(compare({key: measured(10, 10, 10, 10)}, {key: measured(12, 10.6, 8, 10.6)}), LABELS, USUAL)
    vertical, residual = seen
    assert (vertical.of, vertical.value) == ("hanger_vertical", pytest.approx(4))
    # The tips deviate by +0.3 and -0.3 in turn from the best plane; one reading is left over: root(4 x 0.09 / 1).
    assert (residual.value, residual.u) == (pytest.approx(.6), pytest.approx(hypot(.3, .3) / sqrt(2)))


def test_only_the_first_finding_of_the_arrival_counts():
    def torque(n, stage, fastener, value):
        return Entry(str(n), "torque", stage, n, fastener=fastener, value=value)

    def check(n, stage, name, outcome):
        return Entry(str(n), "check", stage, n, check=name, outcome=outcome)

    entries = [torque(1, "found", "mount", 7.0), torque(2, "bench", "mount", 10.0), torque(3, "found", "pedal", 39.0),
               check(4, "found", "home", "failed"), check(5, "bench", "home", "passed"),
               check(6, "bench", "later", "not_done")]
    seen = as_found.findings(entries, {"mount": 10, "pedal": 40}, {"mount": "Mount", "pedal": "Pedal", "home": "Home"})
    assert {o.of: o.value for o in seen} == {"fastener:mount": True, "check:home": True, "fastener:pedal": False}


def test_needed_steps_end_where_the_hanger_was_bent_back():
    def turn(n, t, adjuster="rear_trim"):
        return Entry(f"t{t}", "adjustment", "bench", t, adjuster=adjuster, amount=n)

    straight = Entry("h", "reading", "bench", 5, quantity="hanger_deviation", value=.5)
    found = Entry("f", "reading", "found", 0, quantity="hanger_deviation", value=4)
    adds = {"rear_trim": ("rear_trim", 1.0)}
    labels = {"rear_trim": "Rear fine position"}
    [seen] = as_found.needed([found, turn(-2, 1), turn(-1, 2), straight, turn(3, 6)], adds, labels, USUAL)
    assert (seen.of, seen.value, seen.u) == ("needed:rear_trim", -3, .5)
    assert as_found.needed([found, straight, turn(3, 6)], adds, labels, USUAL) == []
    [nothing] = as_found.needed([turn(0, 1, "none")], adds, labels, USUAL)
    assert nothing.value == 0


def test_events_and_symptoms():
    labels = {"fall": "a fall", "wash": "a wash", "nothing_known": "nothing known"}
    assert as_found.events([], labels) == []
    assert {o.of: o.value for o in as_found.events(["wash"], labels)} == {"fall": False, "wash": True}
    assert not any(o.value for o in as_found.events(["nothing_known"], labels))
    assert [o.of for o in as_found.symptoms(["ticks", "ticks", "unknown"], {"ticks": "ticks"})] == ["ticks"]


def test_noises():
    pedalling = ("seated", "standing", "under_load")
    [coasting] = as_found.noises([["seated", "coasting"]], {}, pedalling)
    assert coasting.value is True
    stopped, period = as_found.noises([["under_load"]], {"crank": .8, "pedal": .1, "pulley": .1}, pedalling)
    assert stopped.value is False
    assert period.value == {"crank": .8, "pulley": .1}
    assert as_found.noises([["braking"]], {}, pedalling) == []
