"""What all jobs of a shop say together: the same answers as the computing room gives, reached through the book."""

from __future__ import annotations

import numpy as np
import pytest

from service.store import job as jobs
from tests.conftest import BIKE
from tests.other_shop import other_owner
from tests.routes.shop_of_jobs import BIG, CABLE, Shop

# NIST/SEMATECH e-Handbook 6.3.2.2, flowrate, less 46 so that they are plausible gaps: limits 9.8041 and -0.1841.
FLOWRATE = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
GAPS = [round(v - 46, 1) for v in FLOWRATE]


@pytest.fixture
def many(owner) -> Shop:
    return Shop(owner)


def trend(phone, **query):
    answer = phone.get("/workshop/trend", query_string={"quantity": "guide_pulley_gap", **query})
    assert answer.status_code == 200, answer.json
    return answer.json


def test_chart_of_first_bench_values(many):
    """What is measured after the first time, on arrival or on the road does not enter."""
    for gap in GAPS:
        job_id = many.job()
        many.read(job_id, 3.3, stage="found")
        many.read(job_id, gap, 5.0, 5.1)
    answer = trend(many.phone)
    assert [v["value"] for v in answer["values"]] == GAPS
    chart = answer["individuals"]
    assert (chart["lower"], chart["upper"]) == (pytest.approx(-0.1841, abs=5e-5), pytest.approx(9.8041, abs=5e-5))
    assert chart["provisional"] and chart["beyond"] == []
    assert len(answer["weighted"]["means"]) == 10
    assert answer["gear"] == BIG and answer["unit"] == "mm"
    assert answer["zones"] is None and "not asked for" in answer["why_not"]["zones"]
    assert trend(many.phone, zones="yes")["zones"] == []


def test_a_replaced_first_value_gives_way_to_its_correction(many):
    for gap in [5.0, 5.2, 4.9, 5.1, 5.0]:
        many.read(many.job(), gap)
    wrong = many.read(many.job(), 9.0)[0]
    right = many.phone.reading(wrong["job_id"], "guide_pulley_gap", 5.1, gear=BIG, replaces=wrong["id"])
    many.send([{**right, "taken_at": wrong["taken_at"]}])
    assert [v["value"] for v in trend(many.phone)["values"]][-1] == 5.1


def test_narrowed_by_family_days_and_gear(many):
    for n, gap in enumerate([5.0, 5.2, 4.9, 5.1, 5.0, 5.3]):
        many.read(many.job(), gap)
        many.read(many.job(CABLE), 6.0 + n / 10, gear={"ring": 42, "cog": 32})
    both = trend(many.phone)
    # Gears are never mixed: of two in as many jobs one is charted, and the answer says so.
    assert len(both["values"]) == 6 and "1 other gear" in both["note"]
    electronic = trend(many.phone, family="electronic-12x2-10-36-46-33")
    assert [v["value"] for v in electronic["values"]] == [5.0, 5.2, 4.9, 5.1, 5.0, 5.3]
    assert electronic["note"] is None
    assert len(trend(many.phone, cog=32)["values"]) == 6
    assert trend(many.phone, ring=33, cog=32)["values"] == []
    assert trend(many.phone, cog=50)["gear"] is None
    day = electronic["values"][2]["taken_at"][:10]
    assert len(trend(many.phone, cog=36, **{"from": day})["values"]) == 4
    assert len(trend(many.phone, cog=36, to=day)["values"]) == 3
    assert len(trend(many.phone, cog=36, to=day, **{"from": day})["values"]) == 1


def test_capability_of_handed_over_values(many):
    """Of what was handed over, against numpy: the first values would say something else."""
    handed = [5.0, 5.1, 4.9, 5.2, 5.0, 5.1, 4.8, 5.0, 5.1, 5.0]
    for gap in handed:
        job_id = many.job()
        many.read(job_id, gap - 1.5, gap)
        many.read(job_id, 9.0, gear={"ring": 46, "cog": 36})
        many.hand_over(job_id)
    answer = trend(many.phone, ring=33)
    fit = answer["capability"]
    assert (fit["n"], fit["after_adjusting"]) == (10, True)
    sd, band = np.std(handed, ddof=1), answer["band"]
    nearer = min(band["upper"] - np.mean(handed), np.mean(handed) - band["lower"])
    assert fit["cpk"]["value"] == pytest.approx(nearer / (3 * sd))


def test_an_amended_record_speaks_for_its_job(many, clock):
    """Nine jobs and a tenth that was amended: the value of its newest record counts, once."""
    for gap in [5.0, 5.2] * 5:
        job_id = many.job()
        many.read(job_id, gap)
        many.hand_over(job_id)
    many.read(job_id, 5.7)
    many.hand_over(job_id)
    fit = trend(many.phone)["capability"]
    assert (fit["n"], fit["mean"]) == (10, pytest.approx((5 * 5.0 + 4 * 5.2 + 5.7) / 10))


def test_bands_that_differ_are_not_mixed(many):
    """Eleven cogs may bend a hanger further than twelve."""
    for bike in (BIKE, CABLE):
        many.read(many.job(bike), 1.0, quantity="rim_lateral_runout", gear=None)
    answer = many.phone.get("/workshop/trend?quantity=hanger_deviation").json
    assert answer["band"] is None
    assert "choose a family" in answer["why_not"]["band"] and "choose a family" in answer["why_not"]["capability"]


def test_an_empty_book_answers_in_words(owner):
    answer = trend(owner)
    for part in ("individuals", "weighted", "zones", "capability", "band"):
        assert answer[part] is None and answer["why_not"][part]
    assert owner.get("/workshop/stand-offsets").json == {"offsets": []}
    comebacks = owner.get("/workshop/comebacks").json
    assert comebacks["comebacks"] is None and comebacks["staying_out"] is None and comebacks["comparison"] is None
    assert set(comebacks["why_not"]) == {"comebacks", "staying_out", "comparison"}


def test_what_does_not_fit(owner):
    unknown = owner.get("/workshop/trend?quantity=no_such_quantity")
    assert (unknown.status_code, unknown.json["errors"][0]["pointer"]) == (409, "/quantity")
    for query in ("", "quantity=guide_pulley_gap&other=1", "quantity=guide_pulley_gap&from=yesterday"):
        assert owner.get(f"/workshop/trend?{query}").status_code == 422
    assert owner.get("/workshop/stand-offsets?family=anything").status_code == 422


def offsets(phone, **query):
    answer = phone.get("/workshop/stand-offsets", query_string=query)
    assert answer.status_code == 200, answer.json
    return {(o["adjuster"], o["family"]): o for o in answer.json["offsets"]}


def ridden(many: Shop, bike: dict, **turned: float) -> None:
    """A job whose ride is over: its bike is handed over."""
    job_id = many.job(bike)
    many.ride(job_id, **turned)
    many.hand_over(job_id)


def test_a_ride_that_may_not_be_over_does_not_count(many):
    """Six rides that needed one step, and a seventh in a job that is still open: six count until it is handed over."""
    for _ in range(6):
        ridden(many, BIKE, rear_trim=1)
    job_id = many.job()
    many.ride(job_id, rear_trim=-3)
    (rear,) = offsets(many.phone).values()
    assert (rear["n"], rear["value"]) == (6, 1)
    many.ride(job_id, rear_trim=2)
    many.hand_over(job_id)
    (rear,) = offsets(many.phone).values()
    assert (rear["n"], rear["value"]) == (7, 1)


def test_stand_offsets_count_rides_that_needed_nothing(many):
    """Net amount a job: [1 1 1 2 0 1 1 0] has a Hodges-Lehmann estimate of 1, by hand and below by every pair."""
    net = [1, 1, 1, 2, 0, 1, 1, 0]
    for amount in net:
        ridden(many, BIKE, **({"rear_trim": amount} if amount else {}))
    found = offsets(many.phone)
    rear = found["rear_trim", "electronic-12x2-10-36-46-33"]
    pairs = [(a + b) / 2 for n, a in enumerate(net) for b in net[n:]]
    assert rear["value"] == np.median(pairs) == 1
    assert (rear["n"], rear["certain"], rear["rides_needed"]) == (8, True, 0)
    assert rear["advice"] == "On the stand, start 1 step inboard."
    # Nobody ever turned the front one: nothing is said of it; one family needs no row for all.
    assert len(found) == 1


def test_rides_that_needed_nothing_bring_the_offset_down(many):
    """[1 1 1 0 0 0 0 0]: of 36 averages 15 are 0, 15 one half, 6 one; the middle is one half, and zero is held."""
    for amount in [1, 1, 1, 0, 0, 0, 0, 0]:
        job_id = many.job()
        # What is turned in the stand is no correction of the stand.
        many.send([many.phone.entry(job_id, "adjustment", {"adjuster": "rear_trim", "amount": 3, "unit": "step"})])
        many.ride(job_id, **({"rear_trim": 1} if amount else {}))
        many.hand_over(job_id)
    (rear,) = offsets(many.phone).values()
    assert (rear["value"], rear["certain"]) == (0.5, False)
    assert rear["low"] < 0 < rear["high"] and "more rides will show it" in rear["advice"]


def test_several_turns_of_one_ride_are_one_number(many):
    job_id = many.job()
    many.ride(job_id, rear_trim=2)
    many.ride(job_id, rear_trim=-1)
    many.hand_over(job_id)
    for _ in range(5):
        ridden(many, BIKE, rear_trim=1)
    (rear,) = offsets(many.phone).values()
    assert (rear["value"], rear["low"], rear["high"]) == pytest.approx((1, 0.55, 1.45))


def test_offsets_by_family(many):
    for _ in range(6):
        ridden(many, CABLE, barrel=0.25)
    for _ in range(4):
        ridden(many, BIKE, rear_trim=1, front_trim=-1)
    found = offsets(many.phone)
    barrel = found["barrel", "cable-11x1-11-32-42"]
    assert barrel["advice"] == "On the stand, start 0.25 turn inboard."
    few = found["front_trim", "electronic-12x2-10-36-46-33"]
    assert few["value"] is None and few["advice"] == "4 rides so far, 2 more are needed."
    assert (few["n"], few["rides_needed"]) == (4, 2)
    assert set(offsets(many.phone, family="cable-11x1-11-32-42")) == {("barrel", "cable-11x1-11-32-42")}


def come_back(many: Shop, job_id: str, days: int, bike_id: str, store, cause: str | None = None) -> None:
    many.days += days - 1
    opened = many.job(kind="comeback", bike_id=bike_id, comeback_of=job_id)
    if cause:
        with store.writing() as db:
            shop_id = db.execute("SELECT shop_id FROM jobs WHERE id = ?", (opened,)).fetchone()[0]
            db.execute("UPDATE jobs SET closed = json_object('cause', ?) WHERE id = ?", (cause, opened))
            assert jobs.get(db, shop_id, opened)


def test_comebacks(many, clock, store):
    handed = []
    for bike in [BIKE, BIKE, BIKE, CABLE, CABLE]:
        job_id = many.job(bike)
        many.read(job_id, 5.0, gear={"ring": 33, "cog": 36} if bike is BIKE else {"ring": 42, "cog": 32})
        clock.forward(days=1)
        handed.append((job_id, many.hand_over(job_id)["bike_id"]))
    many.days += 10
    come_back(many, *handed[3][:1], 1, handed[3][1], store, "cable_settled")
    come_back(many, *handed[0][:1], 5, handed[0][1], store)
    come_back(many, *handed[0][:1], 5, handed[0][1], store)
    clock.forward(days=100)
    answer = many.phone.get("/workshop/comebacks").json
    assert (answer["comebacks"]["count"], answer["comebacks"]["n"]) == (2, 5)
    # Wilson's limits of 2 in 5 (statsmodels' proportion_confint): 0.1176 to 0.7693.
    assert (answer["comebacks"]["low"], answer["comebacks"]["high"]) == (
        pytest.approx(0.1176, abs=5e-5),
        pytest.approx(0.7693, abs=5e-5),
    )
    assert [(c["cause"], c["count"]) for c in answer["by_cause"]] == [("cable_settled", 1), (None, 1)]
    assert [(f["count"], f["n"]) for f in answer["by_family"]] == [(1, 2), (1, 3)]
    curve = answer["staying_out"]
    assert curve["share"] == pytest.approx([4 / 5, 3 / 5]) and curve["at_risk"] == [5, 4]
    assert len(curve["not_back_days"]) == 3
    assert [(g["name"], g["n"], g["came_back"]) for g in answer["groups"]] == [("electronic", 3, 1), ("cable", 2, 1)]
    assert 0 < answer["comparison"]["p"] < 1
    assert "by_mechanic" not in answer and many.phone.person_id not in str(answer)
    families = {f["family"] for f in answer["by_family"]}
    one, other = sorted(families)
    narrowed = many.phone.get("/workshop/comebacks", query_string={"family": one, "against": other}).json
    assert [g["name"] for g in narrowed["groups"]] == [one, other]
    assert narrowed["comebacks"]["n"] == 2 and narrowed["left_out"] == 2
    assert narrowed["comparison"] == pytest.approx(answer["comparison"])
    itself = many.phone.get("/workshop/comebacks", query_string={"family": one, "against": one}).json
    assert itself["comparison"] == {"chi2": pytest.approx(0), "p": pytest.approx(1)}


def test_a_comeback_is_no_job_of_its_own(many, clock):
    """It is handed over too, but counts with the job it is of; days run from the last entry, not from the record."""
    job_id = many.job()
    many.read(job_id, 5.0)
    many.days += 2
    many.read(job_id, 5.1, stage="road")
    clock.forward(days=40)
    bike_id = many.hand_over(job_id)["bike_id"]
    many.days += 9
    again = many.job(kind="comeback", bike_id=bike_id)
    many.read(again, 5.0)
    many.hand_over(again)
    answer = many.phone.get("/workshop/comebacks").json
    assert (answer["comebacks"]["count"], answer["comebacks"]["n"], answer["left_out"]) == (1, 1, 0)
    assert answer["staying_out"]["days"] == [pytest.approx(10)]


def study(**more):
    """Two parts, two persons, two repeats, without interaction."""
    values = {("a", "x"): (5.0, 5.2), ("a", "y"): (5.1, 5.3), ("b", "x"): (7.0, 7.2), ("b", "y"): (7.1, 7.3)}
    readings = [{"part": p, "person": w, "value": v} for (p, w), both in values.items() for v in both]
    return {"quantity": "guide_pulley_gap", "readings": readings, **more}


def test_a_gauge_study(owner):
    """Repeats 0.1 either side of their mean: 4 df, SS 8 · 0.1², pooled with an interaction of nothing, by hand."""
    answer = owner.post("/workshop/gauge-study", study()).json
    assert answer["interaction"]["pooled"] and not answer["adopted"]
    assert answer["variance"]["repeatability"] == pytest.approx(0.08 / 5)
    assert answer["u"] == pytest.approx(answer["variance"]["gauge"] ** 0.5)
    assert answer["why_not"] == {"adopted": "It was not asked for."}


def test_an_adopted_study_is_the_uncertainty_of_the_next_reading(owner, many):
    adopted = owner.post("/workshop/gauge-study", study(adopt=True)).json
    assert adopted["adopted"] is True and adopted["why_not"] == {}
    job_id = many.job()
    many.read(job_id, 5.0)
    (entry,) = owner.get(f"/jobs/{job_id}/entries").json["entries"]
    assert entry["derived"]["u"] == pytest.approx(adopted["u"])


def test_a_mechanic_studies_but_does_not_adopt(mechanic):
    assert mechanic.post("/workshop/gauge-study", study()).status_code == 200
    assert mechanic.post("/workshop/gauge-study", study(adopt=True)).status_code == 403


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"readings": []}, "two parts"),
        ({"readings": study()["readings"][:-1]}, "equally often"),
        ({"readings": [{"part": p, "person": w, "value": 5} for p in "ab" for w in "xy"] * 2}, "the same"),
    ],
)
def test_a_study_that_cannot_be_computed_says_why(owner, change, words):
    answer = owner.post("/workshop/gauge-study", study(adopt=True) | change)
    assert answer.status_code == 200
    assert answer.json["u"] is None and answer.json["adopted"] is False
    assert words in answer.json["why_not"]["u"]


def test_what_is_not_adopted(owner):
    flat = [{"part": p, "person": w, "value": v} for p, v in (("a", 1), ("b", 2)) for w in "xy"] * 2
    coarse = owner.post("/workshop/gauge-study", study(adopt=True) | {"readings": flat}).json
    assert coarse["u"] == 0 and not coarse["adopted"] and "too coarse" in coarse["why_not"]["adopted"]
    assert coarse["distinct_categories"] is None and coarse["why_not"]["distinct_categories"]
    setting = owner.post("/workshop/gauge-study", study(adopt=True) | {"quantity": "rear_trim"}).json
    assert not setting["adopted"] and "read out" in setting["why_not"]["adopted"]
    unknown = owner.post("/workshop/gauge-study", study() | {"quantity": "no_such_quantity"})
    assert (unknown.status_code, unknown.json["errors"][0]["pointer"]) == (409, "/quantity")


def test_nothing_shows_outside_its_shop(app, store, clock, many):
    for gap in GAPS:
        job_id = many.job()
        many.read(job_id, gap)
        many.ride(job_id, rear_trim=1)
        many.hand_over(job_id)
    stranger = other_owner(app, store, clock)
    assert trend(stranger)["values"] == []
    assert stranger.get("/workshop/stand-offsets").json == {"offsets": []}
    assert stranger.get("/workshop/comebacks").json["comebacks"] is None
    many.phone.post("/workshop/gauge-study", study(adopt=True))
    theirs = Shop(stranger)
    job_id = theirs.job()
    theirs.read(job_id, 5.0)
    (entry,) = stranger.get(f"/jobs/{job_id}/entries").json["entries"]
    assert entry["derived"]["u"] == 0.2
