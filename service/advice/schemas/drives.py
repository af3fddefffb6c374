"""JSON shapes of a drawing of the drive and of where the outlet should go: points as [x, y] in metres, y downwards."""

from __future__ import annotations

from typing import Any

import marshmallow as ma

from service.advice.domain.siting.answers import Way
from service.advice.domain.siting.candidates import Refusal, Side
from service.advice.domain.siting.drawing import AreaKind, Face, MarkKind, OpeningKind
from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    Flag,
    Id,
    Instant,
    ScaledNumber,
    StrictSchema,
    Text,
    TextMap,
    WholeNumber,
)
from service.safety.domain.arithmetic.answers import Answer

ITEMS_MAX = 100
"""Own bound of a body, above what the domain takes: it keeps a hostile list short."""
METRES_MAX = 1000

text, number = ma.fields.String, ma.fields.Float


class Metres(ScaledNumber):
    """Metres in JSON by tenths, whole decimetres inside."""

    scale, unit = 10, " m"

    def __init__(self, **options: Any) -> None:
        super().__init__(maximum=METRES_MAX, **options)


def _spot(**options: Any) -> ma.fields.List:
    return ma.fields.List(Metres(), validate=ma.validate.Length(equal=2), **options)


def _some(schema: type[StrictSchema]) -> ma.fields.List:
    return ma.fields.List(ma.fields.Nested(schema), load_default=list, validate=ma.validate.Length(max=ITEMS_MAX))


class WallSchema(StrictSchema):
    """A straight piece of wall; left and right as somebody sees it who walks from its start to its end."""

    start = _spot(required=True)
    end = _spot(required=True)
    left = Choice(Face, load_default=Face.OUTDOORS)
    right = Choice(Face, load_default=Face.OUTDOORS)


class StretchSchema(StrictSchema):
    """From where to where along a wall, by its place in the list, an outlet may go."""

    wall = WholeNumber(required=True)
    from_m = Metres(required=True, attribute="from_dm")
    to_m = Metres(required=True, attribute="to_dm")


class OpeningSchema(StretchSchema):
    """A door or window."""

    kind = Choice(OpeningKind, required=True)


class PlaceSchema(StrictSchema):
    """Where a car stands, from the middle of the side it drives in by to the middle of the other."""

    label = Text(required=True, max_length=200)
    start = _spot(required=True)
    end = _spot(required=True)
    width_m = Metres(load_default=24, attribute="width_dm")


class AreaSchema(StrictSchema):
    """A piece of ground."""

    kind = Choice(AreaKind, required=True)
    corners = ma.fields.List(_spot(), required=True, validate=ma.validate.Length(max=ITEMS_MAX))


class MarkSchema(StrictSchema):
    """A thing at a point."""

    kind = Choice(MarkKind, required=True)
    at = _spot(required=True)


class DrawingSchema(StrictSchema):
    """A drive from above; where no stretch is drawn, an outlet may go on any wall."""

    width_m = Metres(load_default=160, attribute="width_dm")
    depth_m = Metres(load_default=120, attribute="depth_dm")
    walls = _some(WallSchema)
    stretches = _some(StretchSchema)
    openings = _some(OpeningSchema)
    places = _some(PlaceSchema)
    areas = _some(AreaSchema)
    marks = _some(MarkSchema)
    consumer_unit = _spot(load_default=None, allow_none=True)
    outlet_height_m = Metres(load_default=10, attribute="outlet_height_dm")
    cable_m = Metres(
        load_default=None,
        allow_none=True,
        attribute="cable_dm",
        metadata={"description": "A cable to reckon with instead of the cars' own; null: theirs"},
    )
    car_length_m = Metres(load_default=45, attribute="car_length_dm")
    car_width_m = Metres(load_default=19, attribute="car_width_dm")


class DriveEntrySchema(StrictSchema):
    """A drawing and what to call it."""

    label = Text(required=True, max_length=500)
    drawing = ma.fields.Nested(DrawingSchema, required=True)


class DriveSchema(StrictSchema):
    """A drawing as it is kept."""

    id = Id(required=True)
    label = text(required=True)
    created_at = Instant(required=True)
    drawing = ma.fields.Nested(DrawingSchema, required=True)


class DriveListSchema(StrictSchema):
    """A home's drawings, the newest first, and how many it may keep."""

    items = ma.fields.List(ma.fields.Nested(DriveSchema), required=True)
    most = ma.fields.Integer(required=True)


def _point(**options: Any) -> ma.fields.List:
    return ma.fields.List(number(), metadata={"description": "[x, y] in metres"}, **options)


class ReachSchema(StrictSchema):
    """Whether a car's cable reaches it in a place, one way round; lengths null: no way shorter than any cable."""

    car_id = Id(required=True)
    car_label = text(required=True)
    place = ma.fields.Integer(required=True)
    place_label = text(required=True)
    way = Choice(Way, required=True)
    is_usual = Flag(required=True, metadata={"description": "The place in which the car is reckoned with"})
    is_reached = Flag(required=True)
    is_crossing = Flag(required=True, metadata={"description": "Only across a path, an escape route or a doorstep"})
    ground_m = number(required=True, allow_none=True)
    needed_m = number(required=True, allow_none=True)
    cable_m = number(required=True)
    route = ma.fields.List(_point(), required=True)
    passes = ma.fields.List(text(), required=True)


class PositionSchema(StrictSchema):
    """A position on a wall, and everything it was judged by."""

    wall = ma.fields.Integer(required=True)
    side = Choice(Side, required=True)
    face = Choice(Face, required=True)
    offset_m = number(required=True, metadata={"description": "From the start of the wall"})
    at = _point(required=True)
    cars_reached = ma.fields.Integer(required=True)
    ways_reached = ma.fields.Integer(required=True)
    crossings = ma.fields.Integer(required=True)
    ground_m = number(required=True)
    run_m = number(required=True, allow_none=True, metadata={"description": "Fixed cable along walls; null: not known"})
    reaches = ma.fields.List(ma.fields.Nested(ReachSchema), required=True)
    cautions = ma.fields.List(text(), required=True)
    why = text(required=True)


class RefusedPartSchema(StrictSchema):
    """A part of a wall on which no outlet goes."""

    wall = ma.fields.Integer(required=True)
    side = Choice(Side, required=True)
    from_m = number(required=True)
    to_m = number(required=True)
    reason = Choice(Refusal, required=True)
    words = text(required=True)


class FixedCableSchema(StrictSchema):
    """The fixed cable for one kind of outlet, with its voltage drop by the tables; null: not known."""

    use = text(required=True)
    size_mm2 = number(required=True)
    current_a = ma.fields.Integer(required=True)
    length_m = number(required=True, allow_none=True)
    drop_v = number(required=True, allow_none=True)
    drop_percent = number(required=True, allow_none=True)
    is_within = Choice(Answer, required=True)


class ConsentShownSchema(StrictSchema):
    """Whose consent is recorded, and since when."""

    kind = Choice(("landlord", "freeholder", "insurer", "highway"), required=True)
    answer = Choice(("yes", "no", "not_needed", "not_known"), required=True)
    given_on = CalendarDate(required=True, allow_none=True)


class NotifiableNoteSchema(StrictSchema):
    """What a rule says, where it was read and how sure that is."""

    words = text(required=True)
    source = text(required=True)
    standing = text(required=True)


class DriveStepSchema(StrictSchema):
    """One step of a working."""

    what = text(required=True)
    inputs = TextMap(required=True)
    rule = text(required=True)
    source = text(required=True)
    result = text(required=True)


class SitingSchema(StrictSchema):
    """Where the outlet should go, for the electrician to confirm; best is null where no position reaches a car."""

    summary = text(required=True)
    cars = ma.fields.Integer(required=True, metadata={"description": "Those whose port and cable are known"})
    best = ma.fields.Nested(PositionSchema, required=True, allow_none=True)
    others = ma.fields.List(ma.fields.Nested(PositionSchema), required=True)
    refused = ma.fields.List(ma.fields.Nested(RefusedPartSchema), required=True)
    fixed_cables = ma.fields.List(ma.fields.Nested(FixedCableSchema), required=True)
    not_known = ma.fields.List(text(), required=True)
    cautions = ma.fields.List(text(), required=True)
    consents = ma.fields.List(ma.fields.Nested(ConsentShownSchema), required=True)
    notifiable = ma.fields.Nested(NotifiableNoteSchema, required=True)
    assumed = TextMap(required=True)
    working = ma.fields.List(ma.fields.Nested(DriveStepSchema), required=True)
