"""Series of a bike: points with the verdict of their day, the band now, the baseline and what changed since."""

from __future__ import annotations

import pytest
from scipy.stats import norm

from tests.handing_over import hand_over, set_up


def series(shop, **query) -> list[dict]:
    text = "&".join(f"{name}={value}" for name, value in query.items())
    answer = shop.phone.get(f"/bikes/{shop.bike}/trend?{text}")
    assert answer.status_code == 200, answer.json
    assert answer.json["bike_id"] == shop.bike
    return answer.json["series"]


def test_points_have_their_verdicts_and_stages_and_gears_are_not_mixed(shop):
    phone, job = shop.phone, shop.job
    big, other = {"ring": 33, "cog": 36}, {"ring": 46, "cog": 36}
    phone.sent(
        phone.reading(job, "guide_pulley_gap", 5.3, gear=big),
        phone.reading(job, "guide_pulley_gap", 6.4, gear=big),
        phone.reading(job, "guide_pulley_gap", 5.0, gear=other),
        phone.reading(job, "guide_pulley_gap", 5.2, stage="found", gear=big),
        phone.reading(job, "pad_thickness", 2.6, odometer_km=12.0),
    )
    found = {(s["quantity"], s["stage"], (s["gear"] or {}).get("ring")): s for s in series(shop)}
    assert set(found) == {
        ("guide_pulley_gap", "bench", 33),
        ("guide_pulley_gap", "bench", 46),
        ("guide_pulley_gap", "found", 33),
        ("pad_thickness", "bench", None),
    }
    one = found["guide_pulley_gap", "bench", 33]
    assert [point["value"] for point in one["points"]] == [5.3, 6.4]
    assert [point["verdict"] for point in one["points"]] == ["inside", "outside"]
    assert one["points"][1]["p_inside"] == pytest.approx(norm.cdf((6 - 6.4) / 0.2), abs=1e-9)
    assert one["latest"] == one["points"][-1]
    assert (one["band"]["lower"], one["band"]["upper"], one["unit"]) == (4.5, 6, "mm")
    assert found["pad_thickness", "bench", None]["points"][0]["odometer_km"] == 12.0
    assert one["baseline"] is None and one["change"] is None
    assert set(one["why_not"]) >= {"baseline", "change"}
    for name in ("slope", "forecast", "step"):
        assert one[name] is not None or one["why_not"][name]


def test_narrowed_by_quantity_stage_and_gear(shop):
    set_up(shop)
    assert {s["quantity"] for s in series(shop, quantity="rotor_runout")} == {"rotor_runout"}
    assert series(shop, stage="road") == []
    assert {s["quantity"] for s in series(shop, ring=33, cog=36)} == {"guide_pulley_gap", "cage_inner_clearance"}
    assert shop.phone.get(f"/bikes/{shop.bike}/trend?colour=red").status_code == 422


def test_replaced_readings_drop_out(shop):
    wrong = shop.phone.reading(shop.job, "rotor_runout", 0.9)
    right = shop.phone.reading(shop.job, "rotor_runout", 0.09, replaces=wrong["id"])
    slip = shop.phone.reading(shop.job, "rotor_runout", 0.5)
    undo = shop.phone.entry(shop.job, "void", {}, replaces=slip["id"])
    shop.phone.sent(wrong, right, slip, undo)
    [one] = series(shop, quantity="rotor_runout")
    assert [point["entry_id"] for point in one["points"]] == [right["id"]]


def test_the_baseline_is_the_last_handover_and_the_change_is_judged(shop, clock):
    set_up(shop)
    record = hand_over(shop).json
    [before] = series(shop, quantity="rotor_runout")
    assert before["baseline"]["value"] == 0.08
    assert before["baseline"]["record_id"] == record["id"]
    assert before["change"] is None and "since the last handover" in before["why_not"]["change"]
    clock.forward(days=30)
    later = (clock().isoformat(), "2026-04-04T10:00:00+02:00")
    same = shop.phone.reading(shop.job, "rotor_runout", 0.14)
    same["taken_at"] = later[1]
    shop.phone.sent(same)
    [one] = series(shop, quantity="rotor_runout")
    # Δ = 0.06, u = 0.03 √2 (JCGM 100:2008, 5.1.2): 1.41 u is no more than measuring can explain
    assert one["change"]["delta"] == pytest.approx(0.06)
    assert one["change"]["u"] == pytest.approx(0.03 * 2**0.5)
    assert one["change"]["real"] is False


def test_a_setting_has_changed_if_it_differs(shop, clock):
    set_up(shop)
    hand_over(shop)
    clock.forward(days=30)
    turned = shop.phone.reading(shop.job, "rear_trim", 0, "step", "found")
    turned["taken_at"] = "2026-04-04T10:00:00+02:00"
    shop.phone.sent(turned)
    [one] = [s for s in series(shop, quantity="rear_trim") if s["stage"] == "found"]
    assert one["baseline"]["value"] == -1  # −2 in the stand and one step on the road
    assert one["change"] == {"delta": 1, "u": 0, "real": True}


def test_a_band_change_is_in_force_from_receipt_and_never_backdated(shop, clock):
    shop.phone.sent(shop.phone.reading(shop.job, "rotor_runout", 0.08))
    clock.forward(hours=1)
    band = {"quantity": "rotor_runout", "upper": 0.05, "family": "electronic-12x2-10-36-46-33"}
    assert shop.phone.put("/workshop/bands", {"bands": [band]}).status_code == 200
    clock.forward(hours=1)
    shop.phone.sent(shop.phone.reading(shop.job, "rotor_runout", 0.16))
    [one] = series(shop, quantity="rotor_runout")
    assert [point["verdict"] for point in one["points"]] == ["inside", "outside"]
    assert [point["band"]["upper"] for point in one["points"]] == [0.2, 0.05]
    assert one["band"] == {
        "lower": None, "upper": 0.05, "target": None, "tag": "set by the shop", "source": None,
    }  # fmt: skip


def test_a_phone_a_year_ahead_does_not_stretch_the_trend(shop, clock):
    from datetime import timedelta

    ahead = clock() + timedelta(days=365)
    entry = shop.phone.reading(shop.job, "rotor_runout", 0.08)
    entry["taken_at"] = ahead.isoformat()
    shop.phone.send(entry, sent_at=ahead.isoformat())
    [one] = series(shop, quantity="rotor_runout")
    assert one["points"][0]["taken_at"] == clock().isoformat()
