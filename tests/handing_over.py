"""A job set up in the stand, ridden and corrected, ready to be handed over; used by the tests of records."""

from __future__ import annotations

from service.ids import new_id

STOP_RIDE = (
    "brake_lever_sides", "brake_hold", "brake_no_leak", "brakes_bedded", "wheels_and_axles", "headset_hub_crank_play",
    "bar_stem_seatpost", "tyres_seated", "pedals_tight", "chain_link_seated",
)  # fmt: skip
HANGER_TIPS = [{"clock": clock, "gap_mm": gap} for clock, gap in ((12, 10.4), (3, 9.9), (6, 9.6), (9, 10.1))]


def set_up(shop) -> dict[str, dict]:
    """Entries of an ordinary build: values inside and borderline, a trim corrected by one step on the road."""
    phone, job = shop.phone, shop.job
    big, small = {"ring": 33, "cog": 36}, {"ring": 46, "cog": 10}
    entries = {
        "gap": phone.reading(job, "guide_pulley_gap", 5.3, gear=big),
        "hanger": phone.entry(job, "reading", {"quantity": "hanger_deviation", "tips": HANGER_TIPS}),
        "height": phone.reading(job, "cage_height_gap", 1.4),
        "parallel": phone.reading(job, "cage_alignment", 0.1),
        "inner": phone.reading(job, "cage_inner_clearance", 0.45, gear=big),
        "outer": phone.reading(job, "cage_outer_clearance", 0.5, gear=small),
        "chain": phone.reading(job, "chain_elongation", 0.12, "%"),
        "rotor": phone.reading(job, "rotor_runout", 0.08),
        "pads": phone.reading(job, "pad_thickness", 2.6),
        "left": phone.reading(job, "lever_reach_left", 60),
        "right": phone.reading(job, "lever_reach_right", 61),
        "charge": phone.entry(job, "reading", {"quantity": "battery_rear", "low": 75, "high": 100, "unit": "%"}),
        "trim": phone.reading(job, "rear_trim", -2, "step"),
        "mount": phone.entry(job, "torque", {"fastener": "rear_derailleur_mount", "applied": 10, "unit": "N·m"}),
        "stem": phone.entry(job, "torque", {"fastener": "stem_faceplate", "applied": 5, "unit": "N·m"}),
        "declined": phone.entry(job, "declined", {"work": "New rear brake pads"}),
        **{check: phone.entry(job, "check", {"check": check, "outcome": "passed"}) for check in STOP_RIDE},
        "off": phone.entry(
            job, "adjustment", {"adjuster": "none", "amount": 0, "unit": "step"}, "road", odometer_km=100.0
        ),
        "turned": phone.entry(
            job, "adjustment", {"adjuster": "rear_trim", "amount": 1, "unit": "step"}, "road", odometer_km=109.6
        ),
    }
    results = phone.sent(*entries.values())
    assert {result["status"] for result in results} == {"stored"}, results
    return entries


def hand_over(shop, accepted: list | None = None, record_id: str | None = None, seen_seq: int | None = None, **more):
    """Ask for the record; without `accepted`, everything that the service says is missing is accepted."""
    phone = shop.phone
    seen = phone.get("/changes?limit=1000").json["next"] if seen_seq is None else seen_seq
    body = {"id": record_id or new_id(), "seen_seq": seen, "by": phone.person_id, "accepted": accepted or []} | more
    answer = phone.post(f"/jobs/{shop.job}/handover", body)
    if accepted is None and answer.status_code == 409 and answer.json["type"].endswith("not-accepted"):
        body["accepted"] = [{"what": one["what"], "reason": "as agreed"} for one in answer.json["missing"]]
        answer = phone.post(f"/jobs/{shop.job}/handover", body)
    return answer
