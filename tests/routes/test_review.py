"""The review of a comeback whose cause is known."""

from __future__ import annotations

import pytest

from schemas.review import ReviewSchema
from service.ids import new_id
from tests.came_back import bent_inward, bike_with_steps, comeback, log, tips, turned, value
from tests.conftest import BIKE, OPENED
from tests.other_shop import other_owner


@pytest.fixture
def bent(owner):
    return bent_inward(owner)


def review_of(phone, job_id: str) -> dict:
    answer = phone.get(f"/jobs/{job_id}/review")
    assert answer.status_code == 200, answer.json
    assert ReviewSchema().validate(answer.json) == {}
    return answer.json


def of(found: list[dict], id: str, name: str = "id") -> dict:
    return next(one for one in found if one[name] == id)


def test_the_bent_hanger_is_named_with_what_speaks_for_and_against(bent):
    review = review_of(bent.phone, bent.job)
    first = review["causes"][0]
    assert first["id"] == "hanger_bent_inward" and first["probability"] > 0.9
    assert sum(one["probability"] for one in review["causes"]) == pytest.approx(1)
    assert {one["of"] for one in first["for"]} >= {"hanger_vertical", "needed:rear_trim", "fall"}
    chain = of(review["causes"], "chain_worn")
    assert "has not changed" in of(chain["against"], "chain_elongation", "of")["words"]


def test_then_and_now_side_by_side(bent):
    """The hanger's gaps were 10.4 over 9.6 at the handover and 12.9 over 7.1 on arrival: 12 minus 6 grew by 5.0 mm."""
    review = review_of(bent.phone, bent.job)
    assert review["baseline"]["job_id"] == bent.first and review["baseline"]["record_id"] == bent.record
    hanger = of(review["compared"], "hanger_deviation", "quantity")
    assert hanger["change"]["vertical_mm"]["value"] == pytest.approx(5.0)
    assert hanger["change"]["real"] is True
    assert (hanger["then"]["verdict"], hanger["now"]["verdict"]) == ("inside", "outside")
    assert hanger["change"]["towards_clock"] == pytest.approx(12, abs=.2)
    trim = of(review["compared"], "rear_trim", "quantity")
    assert (trim["then"]["value"], trim["now"]["value"]) == (-1, -1), "-2 on the stand and one step on the road"
    assert (trim["change"]["real"], trim["change"]["p_together"]) == (False, None)
    rotor = of(review["compared"], "rotor_runout", "quantity")
    assert rotor["change"]["real"] is False and rotor["change"]["p_together"] >= rotor["change"]["p"]
    gap = of(review["compared"], "guide_pulley_gap", "quantity")
    assert (gap["now"], gap["why_not"]) == (None, "not measured on arrival")
    assert [one["kind"] for one in review["road_log"]] == ["adjustment", "adjustment"]


def test_the_steps_agree_with_the_hanger(bent):
    """5 mm at 311 mm, pulley (r36 + r10) / 2 = 46.6 mm down: 2.5 / 311 x 46.6 / 0.15 = 2.5 steps outboard; 4 +- 1."""
    found = review_of(bent.phone, bent.job)["consistency"]
    assert found["predicted"] == pytest.approx(-2.5, abs=.1)
    assert found["needed"] == -4
    apart = abs(found["predicted"] - found["needed"]) / (found["u_predicted"] ** 2 + 0.5**2) ** 0.5
    assert found["agrees"] is (apart <= 1.96)
    assert found["words"].startswith("The hanger's change asks for 2.5 steps outboard; 4 steps outboard needed")


def test_what_to_measure_next_was_not_measured_yet(bent):
    complaint = {"symptoms": ["rubs", "skips"], "words": ""}
    job = comeback(bent.phone, bent.bike, days=40, comeback_of=bent.first, complaint=complaint)
    options = review_of(bent.phone, job)["next"]
    assert 1 <= len(options) <= 5
    bits = [one["bits"] for one in options]
    assert bits == sorted(bits, reverse=True) and bits[0] <= options[0]["open_bits"]
    best = options[0]["of"]
    assert best == "noise_period" and options[0]["label"].startswith("Count the noise")
    noise = ("noise", {"sound": "rub", "when": ["seated", "coasting"], "count_in_ten_turns": 27})
    log(bent.phone, job, "found", noise, days=40, gear={"ring": 46, "cog": 17})
    review = review_of(bent.phone, job)
    assert not {"noise_period", "coasting"} & {one["of"] for one in review["next"]}
    assert review["causes"][0]["id"] == "disc_or_caliper", "27 in ten turns of 46 / 17: once a turn of the wheel"


def test_a_bike_never_handed_over_has_causes_but_nothing_to_compare(owner):
    bike_id = bike_with_steps(owner)
    job = comeback(owner, bike_id, complaint={"symptoms": ["no_shift"], "words": ""})
    log(owner, job, "found", value("battery_rear", 5, "%"))
    review = review_of(owner, job)
    assert review["baseline"] is None and "baseline" in review["why_not"]
    assert [one["why_not"] for one in review["compared"]] == ["not measured at the handover"]
    assert review["causes"][0]["id"] == "charge_or_connector"


def test_without_the_job_named_the_last_handover_counts(bent):
    job = comeback(bent.phone, bent.bike, days=50)
    assert review_of(bent.phone, job)["baseline"]["job_id"] == bent.first
    early = comeback(bent.phone, bent.bike, days=-5)
    assert review_of(bent.phone, early)["baseline"] is None


def test_a_job_that_was_never_handed_over_is_compared_by_its_entries(owner):
    bike_id, first = bike_with_steps(owner), new_id()
    body = {"base_seq": None, "bike_id": bike_id, "kind": "build", "opened_at": OPENED}
    assert owner.put(f"/jobs/{first}", body).status_code == 200
    log(owner, first, "bench", value("rear_trim", 2, "step"), turned(1), days=0)
    job = comeback(owner, bike_id, comeback_of=first)
    log(owner, job, "found", value("rear_trim", 5, "step"))
    review = review_of(owner, job)
    assert review["baseline"] == {"job_id": first, "record_id": None, "handed_over_at": None}
    assert of(review["compared"], "rear_trim", "quantity")["change"]["delta"] == 2


def test_two_causes_at_once(bent):
    """Bent and worn: 5 mm of hanger and 0.6 % of chain, each explained by one of the two."""
    gear = {"ring": 46, "cog": 13}
    skips = ("shift_check", {"from": gear, "to": {"ring": 46, "cog": 12}, "outcome": "skips"})
    log(bent.phone, bent.job, "found", value("chain_elongation", 0.8, "%"), skips)
    second = review_of(bent.phone, bent.job)["second_cause"]
    assert {one["id"] for one in second["causes"]} == {"hanger_bent_inward", "chain_worn"}
    assert second["probability"] > .5


def test_noises_and_shifts_on_arrival_count(bent):
    """Ten clicks in ten turns of the crank, gone while coasting: it turns with the crank."""
    job = comeback(bent.phone, bent.bike, days=60, comeback_of=bent.first)
    gear = {"ring": 46, "cog": 17}
    noise = ("noise", {"sound": "creak", "when": ["under_load"], "count_in_ten_turns": 10})
    shift = ("shift_check", {"from": gear, "to": {"ring": 46, "cog": 19}, "outcome": "hesitates"})
    log(bent.phone, job, "found", noise, shift, days=60, gear=gear)
    review = review_of(bent.phone, job)
    told = {reason["of"] for cause in review["causes"] for side in ("for", "against") for reason in cause[side]}
    assert {"creaks", "hesitates_to_larger", "noise_period", "coasting"} <= told
    crank = of(review["causes"], "bottom_bracket_or_pedal")
    assert "once per turn of the crank" in of(crank["for"], "noise_period", "of")["words"]


def test_another_shop_does_not_see_it(bent, app, store, clock):
    assert other_owner(app, store, clock).get(f"/jobs/{bent.job}/review").status_code == 404
    assert bent.phone.get(f"/jobs/{new_id()}/review").status_code == 404


def test_readings_of_the_arrival_only(bent):
    """What was measured after mending is no finding; a void of the arrival's reading takes it out."""
    log(bent.phone, bent.job, "bench", ("reading", tips(10.4, 9.9, 9.6, 10.1)))
    entries = bent.phone.get(f"/jobs/{bent.job}/entries").json["entries"]
    found = next(e for e in entries if e["stage"] == "found" and e["data"].get("quantity") == "rear_trim")
    log(bent.phone, bent.job, "bench", ("void", {}), replaces=found["id"])
    review = review_of(bent.phone, bent.job)
    assert of(review["compared"], "hanger_deviation", "quantity")["change"]["vertical_mm"]["value"] == pytest.approx(5)
    assert of(review["compared"], "rear_trim", "quantity")["now"] is None


def test_a_cable_bike_is_asked_about_cables(owner):
    bike_id = new_id()
    train = {**BIKE["drivetrain"], "shifting": "cable"}
    assert owner.put(f"/bikes/{bike_id}", {**BIKE, "drivetrain": train}).status_code == 200
    job = comeback(owner, bike_id, complaint={"symptoms": ["hesitates_to_larger"], "words": ""})
    log(owner, job, "bench", turned(.75, "barrel", "turn"))
    review = review_of(owner, job)
    assert review["causes"][0]["id"] == "cable_settled"
    assert "charge_or_connector" not in {one["id"] for one in review["causes"]}


def test_a_hanger_that_has_not_changed_asks_for_nothing(bent):
    """Bent back before anything was turned: the last reading is the handover's, and no steps are predicted."""
    job = comeback(bent.phone, bent.bike, days=70, comeback_of=bent.first)
    log(bent.phone, job, "found", ("reading", tips(12.9, 9.9, 7.1, 10.1)), days=70)
    log(bent.phone, job, "bench", ("reading", tips(10.4, 9.9, 9.6, 10.1)), turned(1), days=70)
    review = review_of(bent.phone, job)
    assert review["consistency"] is None
    assert "has not changed" in review["why_not"]["consistency"]
