"""What is done in a build, a service and a comeback, from the first look to the last bolt."""

from __future__ import annotations

from ops.demo import found, road, stand
from ops.demo.sheet import Sheet
from ops.demo.shifting import RoadNeeds
from ops.demo.visit import Visit


def build(sheet: Sheet, visit: Visit) -> RoadNeeds | None:
    """A new bike. With a missing part it goes as far as that part lets it."""
    held = "front_derailleur_mount" in visit.missing_parts
    sheet.stage = "bench"
    sheet.pause(15)
    stand.cockpit(sheet)
    sheet.pause(25)
    stand.wheels(sheet, new=True)
    stand.hanger(sheet, note="wheel turned to the same spot of the rim")
    sheet.pause(12)
    sheet.torque("rear_derailleur_mount", 10)
    sheet.check("step_rear_derailleur")
    sheet.pause(10)
    sheet.torque("crank_pinch_bolts", 13, note="alternating")
    sheet.check("step_crank")
    _say(sheet, visit, 0)
    if not held:
        sheet.check("wedge_fitted")
        sheet.torque("front_derailleur_mount", 6, note="thread-locking compound")
    sheet.pause(20)
    stand.levers(sheet)
    sheet.check("low_limit_preset")
    sheet.check("high_limit_before_cable")
    sheet.torque("cable_pinch", 5.5)
    sheet.pause(30)
    stand.brakes(sheet, new=True)
    sheet.pause(15)
    stand.tyres(sheet)
    visit.repair(sheet)
    stand.saddle(sheet)
    stand.suspension(sheet, new=True)
    if held:
        _say(sheet, visit, 1)
        return None
    sheet.pause(40)
    stand.power(sheet)
    stand.chain(sheet, new=True)
    stand.gap(sheet, visit.gap_target)
    stand.position(sheet, rub_window=True)
    stand.limits(sheet)
    stand.front(sheet, visit.cage_clearance, new=True)
    stand.sweep(sheet)
    _pedals(sheet, visit)
    sheet.pause(25)
    sheet.check("step_bar_tape")
    _say(sheet, visit, 1)
    return _out_and_back(sheet, visit, ("stem_faceplate", 5), ("crank_pinch_bolts", 13), ("seat_clamp", 5))


def service(sheet: Sheet, visit: Visit) -> RoadNeeds:
    found.found(sheet, everything=False)
    _say(sheet, visit, 0)
    sheet.pause(12)
    _in_the_stand(sheet, visit, rub_window=sheet.rng.random() < 0.4)
    stand.brakes(sheet, new=False)
    stand.tyres(sheet)
    stand.suspension(sheet, new=False)
    for work in visit.declined:
        sheet.declined(work)
    _say(sheet, visit, 1)
    return _out_and_back(sheet, visit, ("stem_faceplate", 5), ("crank_pinch_bolts", 13))


def comeback(sheet: Sheet, visit: Visit) -> RoadNeeds:
    """The complaint first: as found, then the cause, then everything it touched."""
    found.found(sheet, everything=True)
    visit.symptoms_seen(sheet)
    _say(sheet, visit, 0)
    sheet.pause(6)
    _in_the_stand(sheet, visit, rub_window=True)
    stand.brakes(sheet, new=False)
    _say(sheet, visit, 1)
    return _out_and_back(sheet, visit, ("crank_pinch_bolts", 13))


def _in_the_stand(sheet: Sheet, visit: Visit, rub_window: bool) -> None:
    """From the wheels to the front cage, in the order in which one needs the other."""
    sheet.stage = "bench"
    visit.repair(sheet)
    stand.wheels(sheet, new=False)
    stand.hanger(sheet)
    stand.power(sheet)
    stand.chain(sheet, new="chain" in visit.renewed)
    stand.gap(sheet, visit.gap_target)
    stand.position(sheet, rub_window)
    stand.limits(sheet)
    stand.front(sheet, visit.cage_clearance, new=False)


def _pedals(sheet: Sheet, visit: Visit) -> None:
    """40 N·m at the pedal: with an adapter of 40 mm on a wrench of 380 mm that is 36 on the scale."""
    if visit.by == "tarnwhistle":
        for side in ("right", "left, left-hand thread"):
            sheet.torque("pedal", 36, note=f"{side}; with the adapter", wrench_mm=380, adapter_mm=40, angle_deg=0)
    else:
        sheet.torque("pedal", 40, note="right")
        sheet.torque("pedal", 40, note="left, left-hand thread")


def _out_and_back(sheet: Sheet, visit: Visit, *bolts: tuple[str, float]) -> RoadNeeds:
    sheet.pause(5)
    stand.stop_ride(sheet, second_person=visit.kind == "build")
    needs = road.ride(sheet, cut_short=visit.ends == "riding")
    for heard in visit.noises:
        heard(sheet)
    if visit.ends == "riding":
        _say(sheet, visit, 2)
        return needs
    sheet.stage = "bench"
    sheet.pause(8)
    for fastener, applied in bolts:
        sheet.torque(fastener, applied, note="after the ride")
    sheet.check("bolts_after_ride")
    _say(sheet, visit, 2)
    return needs


def _say(sheet: Sheet, visit: Visit, place: int) -> None:
    """Remarks of a visit: on arrival or early, when done in the stand, after the ride."""
    for text in visit.remarks[place : place + 1]:
        if text:
            sheet.remark(text)
