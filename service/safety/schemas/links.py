"""JSON shapes of inspection links: as the scheme makes and lists them, and as their holder sees them."""

from __future__ import annotations

import marshmallow as ma

from service.common.calendar import Nation
from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    Flag,
    Id,
    Instant,
    StrictSchema,
    Text,
    WholeNumber,
)
from service.safety.domain.visit_states import LinkKind

LINK_STATES = ("open", "spent", "expired", "revoked")
VISITS_MAX = 200
"""Own bound of a body, above what the domain takes."""


class LinkEntrySchema(StrictSchema):
    """For which visits a link goes to whom."""

    visit_ids = ma.fields.List(Id(), required=True, validate=ma.validate.Length(max=VISITS_MAX))
    electrician_id = Id(
        load_default=None, allow_none=True, metadata={"description": "Of the list; null: a safety officer accepts"}
    )
    sent_to = Text(required=True, max_length=500)
    expires_in_days = WholeNumber(load_default=14)


class CorrectionEntrySchema(StrictSchema):
    """To whom a link for a correction goes."""

    sent_to = Text(required=True, max_length=500)


class NewLinkSchema(StrictSchema):
    """A link just made."""

    id = Id()
    url = Text(
        max_length=500,
        allow_none=True,
        metadata={"description": "Told this once; null where the request is repeated, and where it goes by mail alone"},
    )
    url_withheld_because = Text(
        max_length=300, metadata={"description": "Why it goes by mail alone; empty where it was told"}
    )
    sent_to = Text(max_length=254)
    expires_at = Instant()
    is_household_address = Flag(
        metadata={"description": "It went to somebody of a home of its own: results of it never count by themselves"}
    )


class LinkedHomeSchema(StrictSchema):
    """One visit of a link."""

    visit_id = Id()
    household_id = Id()
    reference = Text(max_length=40)
    opens_on = CalendarDate()
    spent_at = Instant(allow_none=True)


class LinkSchema(StrictSchema):
    """A link in the scheme's list; its secret cannot be read again."""

    id = Id()
    kind = Choice(LinkKind)
    state = Choice(LINK_STATES)
    sent_to = Text(max_length=254)
    electrician_id = Id(allow_none=True)
    electrician_name = Text(max_length=120)
    made_at = Instant()
    expires_at = Instant()
    revoked_at = Instant(allow_none=True)
    is_household_address = Flag()
    visits = ma.fields.List(ma.fields.Nested(LinkedHomeSchema))


class NamedOutletSchema(StrictSchema):
    """An outlet by its label."""

    id = Id()
    label = Text(max_length=80)


class OfferedVisitSchema(StrictSchema):
    """One home of a link; its address only from its day on."""

    visit_id = Id()
    reference = Text(max_length=40)
    opens_on = CalendarDate()
    is_open = Flag()
    is_spent = Flag(metadata={"description": "Submitted, called off or given to somebody else"})
    address = Text(max_length=300, allow_none=True)
    postcode = Text(max_length=12, allow_none=True)
    outlets = ma.fields.List(ma.fields.Nested(NamedOutletSchema))


class OfferedLinkSchema(StrictSchema):
    """A link as its holder sees it."""

    kind = Choice(LinkKind)
    electrician = Text(max_length=120, metadata={"description": "Empty: the link names nobody"})
    scheme_name = Text(max_length=120)
    expires_at = Instant()
    visits = ma.fields.List(ma.fields.Nested(OfferedVisitSchema))


class VisitedHomeSchema(StrictSchema):
    """Where the electrician is; nobody's name."""

    reference = Text(max_length=40)
    address = Text(max_length=300)
    postcode = Text(max_length=12)
    nation = Choice(Nation)
    zone = Text(max_length=40)


class VisitDraftEntrySchema(StrictSchema):
    """A draft and the version that it was made from."""

    draft = ma.fields.Dict(keys=ma.fields.String(), required=True, metadata={"description": "As the form keeps it"})
    draft_version = WholeNumber(required=True)


class VisitDraftSchema(StrictSchema):
    """That a draft is kept, and as which version."""

    draft_version = WholeNumber()
    draft_saved_at = Instant(allow_none=True)
