"""What truly happened to the bikes before their comebacks, and what only that visit shows."""

from __future__ import annotations

from itertools import pairwise

from ops.demo import stand
from ops.demo.noises import heard, tapped, ticking
from ops.demo.sheet import Sheet

KNOCKED_BY = (2.7, 0.5)  # mm at the rim: 5.4 mm from 12 to 6 o'clock
CHARGE_LOST = 30.0  # %
ROTOR_BENT_TO = 0.46  # mm
SETTLES = 0.7  # turns of the barrel
FLAT_SPOT = 0.32  # mm that the gravel bike's rim went out of round at one blow


# ----------------------------------------------------------------------------- hanger bent inward, a knock in transport


def hanger_knocked(sheet: Sheet) -> None:
    sheet.state.knock(*KNOCKED_BY)


def hanger_symptoms(sheet: Sheet) -> None:
    ticking("on the middle cogs, both rings")(sheet)
    stand.room_on_three_cogs(sheet)
    sheet.remark("Scrape on the derailleur's outer side, paint rubbed off at the axle end.")


# ------------------------------------------------------------------------------------- connector half out, after a wash


def connector_pulled(sheet: Sheet) -> None:
    sheet.state.true["battery_rear"] -= CHARGE_LOST


def connector_symptoms(sheet: Sheet) -> None:
    ring, cogs = sheet.bike.rings[0], sheet.bike.cogs
    sheet.check("connectors_home", "failed", note="plug at the rear derailleur half out, damp inside")
    for small, large in pairwise(cogs[3:6]):
        sheet.shift((ring, small), (ring, large), "no_shift", note="when the cable is moved by hand")


def connector_repair(sheet: Sheet) -> None:
    sheet.remark("Plug and socket dried and pushed home until it clicked; cable given slack at the stay.")


# ------------------------------------------------------------------------------------------ rotor bent, lying in a boot


def rotor_bent(sheet: Sheet) -> None:
    sheet.state.true["rotor_runout"] = ROTOR_BENT_TO


def rotor_symptoms(sheet: Sheet) -> None:
    heard("rub", "wheel", ("seated", "coasting"), 6, "rear, once a turn of the wheel")(sheet)
    tapped("rub", "wheel", 6, "in the stand, crank turned by hand")(sheet)


def rotor_repair(sheet: Sheet) -> None:
    sheet.remark("Rear disc bent beside one arm. Trued little by little, the pads pushed back first.")


# -------------------------------------------------------------- chain worn, renewing it had been declined the last time


def chain_symptoms(sheet: Sheet) -> None:
    ring, cogs = sheet.bike.rings[0], sheet.bike.cogs
    for cog in (cogs[2], cogs[3], cogs[2]):
        sheet.shift((ring, cogs[4]), (ring, cog), "skips", note="standing, uphill")


def chain_repair(sheet: Sheet) -> None:
    sheet.remark("Chain and cassette renewed; the ring is still good for one more chain.")


# ---------------------------------------------------------------------------------------- new cable and housing settled


def cable_not_stretched(sheet: Sheet) -> None:
    sheet.state.to_settle = SETTLES


def cable_symptoms(sheet: Sheet) -> None:
    ticking("feels for the larger cog and does not go")(sheet)
    sheet.remark("Housing ends all seated, cable runs free, pinch bolt tight.")


def cable_stretched(sheet: Sheet) -> None:
    """A cable that was pulled hard by hand before it was clamped settles little."""
    sheet.state.to_settle = 0.15


# ------------------------------------------------------------------- no comeback, but the jump in the gravel bike's rim


def flat_spot(sheet: Sheet) -> None:
    sheet.state.true["rim_radial_runout"] += FLAT_SPOT
