"""JSON shapes of what an electrician submits by a link."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import Flag, StrictSchema, Text
from service.safety.schemas.inspections import FoundSchema, InspectionSchema

OUTLETS_MAX = 50
"""Own bound of a body, above what a visit names."""


class SubmittedOutletSchema(FoundSchema):
    """The result of one outlet of the visit."""


class SubmissionSchema(StrictSchema):
    """A visit's results; partial: the certificate now, the readings later by the same link."""

    outlets = ma.fields.List(
        ma.fields.Nested(SubmittedOutletSchema), required=True, validate=ma.validate.Length(max=OUTLETS_MAX)
    )
    is_partial = Flag(load_default=False)
    electrician_name = Text(required=True, max_length=500)
    registration = Text(
        load_default="", max_length=500, metadata={"description": "Body and number as stated; nobody verifies it"}
    )


class SubmittedSchema(StrictSchema):
    """What was recorded, and how it stands."""

    inspections = ma.fields.List(ma.fields.Nested(InspectionSchema))
    is_accepted = Flag()
    is_partial = Flag()
    waits_because = Text(max_length=300, metadata={"description": "Why a safety officer has to accept it; or empty"})
