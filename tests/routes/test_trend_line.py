"""Slope, forecast and step of a bike's series, reached through the book."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from tests.conftest import OPENED
from tests.handing_over import hand_over, set_up

GEAR = {"ring": 33, "cog": 36}


def series_of(shop, values, km=None, days=None, stage="found", quantity="guide_pulley_gap"):
    """One reading a visit, at these days and kilometres; the one series they make."""
    days = days or range(0, 10 * len(values), 10)
    entries = []
    for n, (value, day) in enumerate(zip(values, days, strict=True)):
        more = {"gear": GEAR} | ({} if km is None or km[n] is None else {"odometer_km": km[n]})
        taken = (datetime.fromisoformat(OPENED) + timedelta(days=day)).isoformat()
        entries.append({**shop.phone.reading(shop.job, quantity, value, stage=stage, **more), "taken_at": taken})
    shop.phone.clock.forward(days=400)
    assert {r["status"] for r in shop.phone.sent(*entries)} == {"stored"}
    answer = shop.phone.get(f"/bikes/{shop.bike}/trend?quantity={quantity}")
    assert answer.status_code == 200
    (series,) = answer.json["series"]
    return series


def test_wear_over_kilometres(shop):
    """5.6 falling by 0.2 in 1000 km meets the lower limit of 4.5 at 5,500 km, by hand."""
    km = [0, 500, 1000, 1500, 2000, 2500]
    series = series_of(shop, [5.6, 5.5, 5.4, 5.3, 5.2, 5.1], km)
    slope = series["slope"]
    assert slope["per"] == "1000 km"
    assert slope["value"] == pytest.approx(-0.2)
    assert slope["low"] <= -0.2 <= slope["high"] < 0
    assert slope["confidence"] == pytest.approx(1 - 12 / 720)
    assert slope["p"] == pytest.approx(2 / 720)
    assert series["forecast"]["leaves_at"] == pytest.approx(5500)
    assert series["forecast"]["low"] <= 5500 <= series["forecast"]["high"]
    assert series["step"] is None and series["why_not"]["step"].startswith("To tell a jump takes 8 readings")
    assert series["note"] is None


def test_wear_over_days(shop):
    """The same over 50 days: 0.1 in ten days meets 4.5 after 110 days."""
    series = series_of(shop, [5.6, 5.5, 5.4, 5.3, 5.2, 5.1])
    assert series["slope"]["per"] == "30 d"
    assert series["slope"]["value"] == pytest.approx(-0.3)
    leaves = datetime.fromisoformat(series["forecast"]["leaves_at"])
    assert abs(leaves - datetime.fromisoformat(OPENED) - timedelta(days=110)) < timedelta(minutes=1)
    assert "no odometer was given" in series["note"]


def test_a_knock(shop):
    values = [5.4, 5.5, 5.3, 5.4, 5.4, 5.5, 4.1, 4.0, 4.1, 4.2, 4.1, 4.0]
    series = series_of(shop, values, [500.0 * n for n in range(12)])
    assert (series["step"]["low"], series["step"]["at"], series["step"]["high"]) == (2500, 2750, 3000)
    assert series["step"]["size"] == pytest.approx(-1.3)
    assert "after the jump" in series["note"]
    assert series["forecast"] is None and series["why_not"]["forecast"].startswith("After the jump")


def hanger(phone, job, tips, stage, taken_at):
    data = {"quantity": "hanger_deviation", "radius_mm": 311, "tips": [{"clock": c, "gap_mm": g} for c, g in tips]}
    return {**phone.entry(job, "reading", data, stage), "taken_at": taken_at}


def test_a_hanger_that_turned_has_changed_though_its_size_has_not(shop, clock):
    """3 mm from 12 to 6 o'clock: deviations differ by nothing, the bend by 6 mm in its vertical part, by hand."""
    then, turned = [(12, 23), (3, 21.5), (6, 20), (9, 21.5)], [(12, 20), (3, 21.5), (6, 23), (9, 21.5)]
    set_up(shop)
    shop.phone.sent(hanger(shop.phone, shop.job, then, "bench", shop.phone.entry(shop.job, "void", {})["taken_at"]))
    assert hand_over(shop).status_code == 200
    clock.forward(days=30)
    shop.phone.sent(hanger(shop.phone, shop.job, turned, "found", "2026-04-04T10:00:00+02:00"))
    found = shop.phone.get(f"/bikes/{shop.bike}/trend?quantity=hanger_deviation&stage=found").json["series"]
    change = found[0]["change"]
    assert change["delta"] == pytest.approx(0, abs=1e-9)
    assert change["real"] is True
    assert change["hanger"]["vertical_mm"] == pytest.approx(-6)
    assert (change["hanger"]["size_mm"], change["hanger"]["towards_clock"]) == (pytest.approx(6), pytest.approx(6))


def test_too_little_is_said_in_words(shop):
    series = series_of(shop, [5.0, 5.1])
    for part in ("slope", "forecast", "step"):
        assert series[part] is None and "so far there are 2" in series["why_not"][part]


@pytest.mark.parametrize("km", [[0, 100, 50, 200, 300], [0, None, 100, 200, 300]])
def test_kilometres_that_cannot_be_used(shop, km):
    series = series_of(shop, [5.0, 5.1, 5.0, 5.2, 5.1], km)
    assert series["slope"]["per"] == "30 d"
    assert series["note"].startswith("Over days")
