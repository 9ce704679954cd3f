"""Paired devices."""

from __future__ import annotations

from schemas.device import DeviceSchema, DevicesSchema
from service.api import Room
from service.auth import caller, owner_only
from service.book import book, now
from service.errors import Problem
from service.store import device, gap

room = Room("device", description="Paired devices")


@room.route("/devices")
@room.response(200, DevicesSchema)
def get_devices():
    """Every device, with its clock and the gaps in its count"""
    shop_id = caller().shop_id
    with book().reading() as db:
        gaps = gap.of_shop(db, shop_id)
        return {"devices": [{**one, "gaps": gaps.get(one["id"], [])} for one in device.all_of(db, shop_id)]}


@room.route("/devices/<id:device_id>", methods=["DELETE"])
@owner_only
@room.response(200, DeviceSchema)
@room.alt_response(403, "FORBIDDEN")
@room.alt_response(409, "CONFLICT")
def delete_device(device_id):
    """Take a device off the list: its token ends, what it logged stays"""
    shop_id = caller().shop_id
    if device_id == caller().device_id:
        raise Problem(409, "A device cannot take itself off the list; use another one of the owner's.")
    with book().writing() as db:
        device.revoke(db, shop_id, device_id, now().isoformat())
        found = device.get(db, shop_id, device_id)
    if found is None:
        raise Problem(404, "This device is not in the book.")
    return found
