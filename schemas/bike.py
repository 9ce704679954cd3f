"""Bikes: what is built into them decides what they are asked."""

from __future__ import annotations

from .base_seq import BASE_SEQ
from .fields import Flag, Id, Many, Moment, Number, OneOf, Part, QueryWhole, Strict, Text, Whole

TEETH = (1, 120)


class DrivetrainSchema(Strict):
    rings = Many(Whole(*TEETH), 3, 1, different=True, required=True, metadata={"description": "teeth of each ring"})
    cogs = Many(Whole(*TEETH), 16, 1, different=True, required=True, metadata={"description": "teeth of each cog"})
    shifting = OneOf("electronic", "cable", required=True)
    rear_mount = OneOf("hanger", "axle", required=True)
    front_derailleur = Flag(required=True)
    suspension = Flag(load_default=False)
    chainstay_mm = Number(200, 1000)
    rear_capacity = Whole(0, 200, metadata={"description": "teeth"})
    rear_max_cog = Whole(*TEETH)
    trim_step_mm = Number(0.001, 5)
    actuation_ratio = Number(0.1, 10)
    cog_pitch_mm = Number(1, 20)
    chainline_mm = Number(10, 150)
    ring_spacing_mm = Number(1, 50)
    cassette_line_mm = Number(10, 150)


class WheelSchema(Strict):
    bead_seat_mm = Number(100, 1000)
    circumference_mm = Number(300, 4000)


class BikeBodySchema(Strict):
    label = Text(120, required=True)
    frame_number = Text(80)
    serials = Many(Text(120), 50)
    customer_id = Id(metadata={"description": "whose bike it is; personal data stays with the customer"})
    drivetrain = Part(DrivetrainSchema, required=True)
    wheel = Part(WheelSchema, load_default=dict)
    brakes = OneOf("disc", "rim", required=True)
    tyres = OneOf("tube", "tubeless", "hookless", required=True)


class BikePutSchema(BikeBodySchema):
    base_seq = Whole(required=True, allow_none=True, metadata=BASE_SEQ)


class BikeSchema(BikeBodySchema):
    id = Id(required=True)
    seq = Whole(required=True)
    family = Text(required=True, metadata={"description": "drivetrain family"})
    updated_at = Moment(required=True)


class BikesSchema(Strict):
    bikes = Many(Part(BikeSchema), 200, required=True)
    next = Whole(allow_none=True, required=True, metadata={"description": "the next page's `after`; null at the end"})


class BikesQuerySchema(Strict):
    q = Text(100, metadata={"description": "words to look for in label, frame number and serials"})
    after = QueryWhole(metadata={"description": "`next` of the page before"})
    limit = QueryWhole(1, 200, load_default=50)


class BikeQrSchema(Strict):
    """The bike's address in the app, as a code to stick on the frame or the work ticket."""

    url = Text(required=True)
    qr_svg = Text(100_000, required=True, metadata={"description": "the url as a QR code, an SVG document"})
