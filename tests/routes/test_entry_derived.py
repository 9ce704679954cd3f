"""What the service works out of an entry, checked by hand, by scipy and by the units' definitions."""

from __future__ import annotations

from math import ceil, pi, sqrt
from types import SimpleNamespace

import pytest
from scipy.stats import norm

from service.ids import new_id
from tests.conftest import BIKE, OPENED


def derived(shop, entry: dict) -> dict:
    [result] = shop.phone.sent(entry)
    assert result["status"] == "stored", result
    stored = shop.phone.get(f"/jobs/{shop.job}/entries").json["entries"]
    found = next(e for e in stored if e["id"] == entry["id"])
    assert {name: found[name] for name in entry} == entry  # as received
    return found["derived"]


def test_a_value_its_band_and_verdict(shop):
    got = derived(shop, shop.phone.reading(shop.job, "guide_pulley_gap", 5.3))
    assert (got["value"], got["unit"], got["u"], got["u_from"]) == (5.3, "mm", 0.2, "catalogue")
    assert (got["band"]["lower"], got["band"]["upper"], got["band"]["target"]) == (4.5, 6, 5)
    # JCGM 106:2012, clause 7, by scipy's normal distribution
    assert got["p_inside"] == pytest.approx(norm.cdf((6 - 5.3) / 0.2) - norm.cdf((4.5 - 5.3) / 0.2), abs=1e-12)
    assert got["verdict"] == "inside"
    assert got["gear"] == {"ring": 33, "cog": 36}  # the catalogue's own place for it: the largest cog


def test_an_entered_unit_is_kept_and_converted_exactly(shop):
    """The inch is 25.4 mm by definition (NIST SP 811, B.8)."""
    entry = shop.phone.reading(shop.job, "guide_pulley_gap", 0.2, "in", gear={"ring": 46, "cog": 36})
    got = derived(shop, entry)
    assert got["value"] == pytest.approx(0.2 * 25.4, rel=1e-15)
    assert got["gear"] == {"ring": 46, "cog": 36}


def test_go_and_no_go(shop):
    """5 mm goes, 5.5 does not: the middle, and the u of a rectangle (JCGM 100:2008, 4.3.7)."""
    data = {"quantity": "guide_pulley_gap", "low": 5.75, "high": 6.25, "unit": "mm"}
    got = derived(shop, shop.phone.entry(shop.job, "reading", data))
    assert (got["value"], got["low"], got["high"]) == (6.0, 5.75, 6.25)
    assert got["u"] == pytest.approx(0.5 / sqrt(12))
    assert (got["p_inside"], got["verdict"]) == (0.5, "borderline")


def test_a_hanger_by_its_tips(shop):
    """Four positions, closed form: vertical part 12 less 6, fore-and-aft part 3 less 9, deviation their length."""
    gaps = {12: 10.4, 3: 9.8, 6: 9.6, 9: 10.2}
    tips = [{"clock": clock, "gap_mm": gap} for clock, gap in gaps.items()]
    got = derived(shop, shop.phone.entry(shop.job, "reading", {"quantity": "hanger_deviation", "tips": tips}))
    vertical, fore_aft = 10.4 - 9.6, 9.8 - 10.2
    assert got["value"] == pytest.approx(sqrt(vertical**2 + fore_aft**2))
    assert got["hanger"]["vertical_mm"] == pytest.approx(vertical)
    assert got["hanger"]["fore_aft_mm"] == pytest.approx(fore_aft)
    assert got["hanger"]["radius_mm"] == 311
    assert got["u"] == pytest.approx(2 * 0.3 / sqrt(2))
    assert got["low"] < got["value"] < got["high"]
    assert got["band"]["upper"] == 2
    assert got["verdict"] in ("inside", "borderline")


def test_two_opposite_tips_give_no_deviation_and_say_so(shop):
    tips = [{"clock": 12, "gap_mm": 10.0}, {"clock": 6, "gap_mm": 9.5}]
    got = derived(shop, shop.phone.entry(shop.job, "reading", {"quantity": "hanger_deviation", "tips": tips}))
    assert got["value"] is None
    assert got["verdict"] == "none"
    assert got["hanger"]["axis_mm"] == pytest.approx(0.5)
    assert got["hanger"]["why_not"]


def test_a_setting_has_no_band_and_no_uncertainty(shop):
    got = derived(shop, shop.phone.reading(shop.job, "rear_trim", 3, "step"))
    assert (got["value"], got["u"], got["verdict"], got["p_inside"], got["band"]) == (3, 0, "none", None, None)


def chained(shop, links: int, **facts) -> dict:
    """A chain's count on a bike of its own, whose drivetrain has these facts besides."""
    bike_id, job_id = new_id(), new_id()
    body = {**BIKE, "drivetrain": BIKE["drivetrain"] | facts}
    assert shop.phone.put(f"/bikes/{bike_id}", body).status_code == 200
    job = {"base_seq": None, "bike_id": bike_id, "kind": "build", "opened_at": OPENED}
    assert shop.phone.put(f"/jobs/{job_id}", job).status_code == 200
    on = SimpleNamespace(phone=shop.phone, bike=bike_id, job=job_id)
    return derived(on, shop.phone.reading(job_id, "chain_links", links, "link"))


def test_a_chain_is_judged_by_the_size_its_drivetrain_calls_for(shop):
    """Over 46 × 36 at 415 mm by the handbook (Shigley, ch. 17), up to the next even number, two more on a double:
    2 · 415 / 12.7 + 82 / 2 + (10 / 2 pi)² · 12.7 / 415 is 106.43, so 110."""
    over = 2 * 415 / 12.7 + (46 + 36) / 2 + ((46 - 36) / (2 * pi)) ** 2 * 12.7 / 415
    size = 2 * ceil(over / 2) + 2
    got = chained(shop, size, chainstay_mm=415)
    assert (got["band"]["lower"], got["band"]["upper"], got["band"]["target"], got["band"]["tag"]) == (
        size, size, size, "computed",
    )  # fmt: skip
    assert "46 × 36" in got["band"]["source"]
    assert (got["verdict"], got["p_inside"]) == ("inside", 1)
    assert "why_not" not in got
    assert chained(shop, size - 2, chainstay_mm=415)["verdict"] == "outside"


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({}, "chainstay length"),
        ({"chainstay_mm": 415, "rings": [40], "front_derailleur": False}, "its maker says"),
        ({"chainstay_mm": 201, "rings": [80, 70]}, "too short"),
    ],
)
def test_a_chain_that_cannot_be_sized_is_not_judged_and_says_why(shop, facts, words):
    got = chained(shop, 110, **facts)
    assert (got["verdict"], got["band"]) == ("none", None)
    assert words in got["why_not"]["band"] and got["why_not"]["verdict"] == got["why_not"]["band"]


def test_the_shops_own_band_of_a_chain_comes_first(shop):
    bands = {"bands": [{"quantity": "chain_links", "lower": 108, "upper": 112, "target": 110}]}
    assert shop.phone.put("/workshop/bands", bands).status_code == 200
    assert chained(shop, 112, chainstay_mm=415)["band"]["tag"] == "set by the shop"


def test_an_adjustment_in_quarter_turns(shop):
    data = {"adjuster": "b_screw", "amount": -3, "unit": "quarter_turn"}
    assert derived(shop, shop.phone.entry(shop.job, "adjustment", data)) == {"amount": -0.75, "unit": "turn"}


def test_a_torque_with_an_adapter(shop):
    """Lever arms: 6 N·m shown on 200 mm with 50 mm straight on is 6 · 250 / 200 = 7.5 N·m at the fastener."""
    data = {"fastener": "stem_faceplate", "applied": 6, "unit": "N·m", "wrench_mm": 200, "adapter_mm": 50}
    got = derived(shop, shop.phone.entry(shop.job, "torque", data))
    assert (got["value"], got["unit"], got["verdict"]) == (pytest.approx(7.5), "N·m", "outside")


def test_a_gauges_uncertainty_comes_first_and_an_overdue_one_is_flagged(shop):
    gauge = {
        "id": new_id(),
        "name": "Feeler set 2",
        "unit": "in",
        "resolution": 0.001,
        "expanded_uncertainty": 0.01,
        "calibrated_at": "2025-01-10",
        "due": "2026-03-04",
    }
    assert shop.phone.put("/gauges", {"gauges": [gauge]}).status_code == 200
    got = derived(shop, shop.phone.reading(shop.job, "guide_pulley_gap", 5.3, gauge_id=gauge["id"]))
    # expanded uncertainty over its coverage factor 2 (JCGM 100:2008, 6.3), in mm
    assert got["u"] == pytest.approx(0.127)
    assert (got["u_from"], got["gauge_overdue"]) == ("gauge", True)


def wrench(shop, **more) -> str:
    gauge = {"id": new_id(), "name": "Wrench 3", "unit": "N·m", **more}
    assert shop.phone.put("/gauges", {"gauges": [gauge]}).status_code == 200
    return gauge["id"]


def tightened(shop, applied: float, gauge_id: str | None, **data) -> dict:
    """The stem's faceplate, whose target of 5 N·m has a band of 4.5 to 5.5."""
    body = {"fastener": "stem_faceplate", "applied": applied, "unit": "N·m", **data}
    return derived(shop, shop.phone.entry(shop.job, "torque", body, **({"gauge_id": gauge_id} if gauge_id else {})))


def test_a_wrenchs_own_tolerance_judges_its_torque(shop):
    """1 % of 5.4 is 5.346 to 5.454, all inside 5.5; by ISO 6789 alone 6 %, 5.076 to 5.724: 0.424 of 0.648 inside."""
    assert tightened(shop, 5.4, None)["p_inside"] == pytest.approx(0.424 / 0.648)
    got = tightened(shop, 5.4, wrench(shop, tolerance_percent=1))
    assert (got["verdict"], got["p_inside"]) == ("inside", 1)
    assert "gauge_overdue" not in got and "why_not" not in got


def test_a_wrenchs_certificate_judges_its_torque(shop):
    """Expanded uncertainty 0.2 N·m over its factor 2: u 0.1, with an adapter of 250 over 200 mm u 0.125 at the bolt."""
    gauge = wrench(shop, unit="lbf·in", expanded_uncertainty=0.2 / 0.1129848290276167, due="2026-03-04")
    got = tightened(shop, 4.3, gauge, wrench_mm=200, adapter_mm=50)
    assert got["value"] == pytest.approx(5.375)
    assert got["p_inside"] == pytest.approx(norm.cdf(5.5, 5.375, 0.125) - norm.cdf(4.5, 5.375, 0.125))
    assert got["gauge_overdue"] is True


def test_outside_its_range_a_wrench_judges_nothing_and_says_so(shop):
    """ISO 6789:2003: from 20 to 100 % of its range, where its certificate says nothing else."""
    got = tightened(shop, 5, wrench(shop, highest=60))
    assert (got["value"], got["verdict"], got["p_inside"]) == (5, "none", None)
    assert got["why_not"]["verdict"] == "This wrench is good from 12 to 60 N·m only: take another one."
    assert tightened(shop, 5, wrench(shop, lowest=4, highest=60))["verdict"] == "inside"
    assert tightened(shop, 5, wrench(shop, lowest=6))["why_not"]["verdict"].startswith("This wrench is good from 6 N·m")
    # A gauge that measures no torque says nothing of one.
    assert tightened(shop, 5.4, wrench(shop, unit="mm", highest=1))["p_inside"] == pytest.approx(0.424 / 0.648)


def test_far_beyond_its_band_a_torque_is_outside_whatever_the_wrench(shop):
    """50 N·m, or half of it, is far above 5.5."""
    got = tightened(shop, 50, wrench(shop, lowest=2, highest=14))
    assert (got["verdict"], got["p_inside"]) == ("outside", 0)
    assert "why_not" not in got


def test_the_makers_figure_judges_before_the_catalogues(shop):
    """A maker's 4 N·m has a band of 3.6 to 4.4, 10 % each way (from memory), which holds ±6 % of 4; by the catalogue's
    5 N·m it would be too little. 35.4 lbf·in are 4 N·m (NIST SP 811: 0.112 984 8)."""
    assert tightened(shop, 4, None)["verdict"] == "outside"
    for shown, data in ((4, {"target": 4}), (35.4, {"target": 35.4, "unit": "lbf·in"})):
        got = tightened(shop, shown, None, **data)
        assert (got["verdict"], got["p_inside"]) == ("inside", 1)
        assert got["band"]["lower"] == got["band"]["upper"] == pytest.approx(4, rel=1e-3)
        assert (got["band"]["source"], got["band"]["tag"]) == ("the maker's figure", "maker")


def test_the_others_come_as_they_are(shop):
    phone, job = shop.phone, shop.job
    for kind, data in {
        "shift_check": {"from": {"ring": 46, "cog": 10}, "to": {"ring": 46, "cog": 11}, "outcome": "clean"},
        "noise": {"sound": "tick", "when": ["seated"], "count_in_ten_turns": 4, "level": 2},
        "check": {"check": "brake_hold", "outcome": "passed"},
        "declined": {"work": "New rear brake pads"},
        "remark": {"text": "Paint chipped at the chainstay, shown to the owner."},
    }.items():
        assert derived(shop, phone.entry(job, kind, data, note="seen", odometer_km=12.5)) is None
    nothing = phone.entry(job, "adjustment", {"adjuster": "none", "amount": 0, "unit": "step"}, "road")
    assert derived(shop, nothing) == {"amount": 0, "unit": "step"}
