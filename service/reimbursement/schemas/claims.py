"""JSON shapes of claims: what the member sees, and what whoever pays sees, which has no places of trips."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import (
    Choice,
    DecimalText,
    Flag,
    Id,
    Instant,
    StrictSchema,
    Text,
    TextMap,
    WholeNumber,
)
from service.infrastructure.http.paging import PageQuery
from service.reimbursement.domain.kinds import ClaimState, MessageKind
from service.reimbursement.domain.lines import LineKind
from service.reimbursement.schemas.shapes import Repeated, miles_field, month_field

text, whole = ma.fields.String, ma.fields.Integer
SHARES_MAX, TRIPS_MAX, CLAIMS_MAX = 20, 1000, 1000
"""Own bounds of a body."""
AT_REVIEW = tuple(state.value for state in ClaimState if state is not ClaimState.DRAFT)


class NothingSchema(StrictSchema):
    """An empty object."""


class HomeShareSchema(StrictSchema):
    """Which share of a car's month was charged at home, as the member states it."""

    vehicle_id = Id(required=True)
    home_percent = DecimalText(required=True, decimals=1, maximum=999)


def _shares() -> ma.fields.List:
    return ma.fields.List(
        ma.fields.Nested(HomeShareSchema), load_default=list, validate=ma.validate.Length(max=SHARES_MAX)
    )


class PreviewQuery(StrictSchema):
    """Which month, and what the member would state: each ``home_share`` is "<vehicle id>:<percent>"."""

    month = month_field(required=True)
    home_share = Repeated(Text(max_length=40), load_default=list, validate=ma.validate.Length(max=SHARES_MAX))


class ClaimEntrySchema(StrictSchema):
    """A claim to draft: of all open trips of a month, or of those named."""

    month = month_field(required=True)
    home_shares = _shares()
    trip_ids = ma.fields.List(
        Id(), load_default=None, allow_none=True, validate=ma.validate.Length(min=1, max=TRIPS_MAX)
    )


class ClaimChangeSchema(StrictSchema):
    """What can be changed of a draft itself; its trips are changed one by one."""

    home_shares = _shares()


class ClaimTextSchema(StrictSchema):
    """A question, an answer or why a claim is refused."""

    text = Text(required=True, max_length=2000, is_lines=True)


class ClaimReasonSchema(StrictSchema):
    """Why a claim is corrected."""

    reason = Text(required=True, max_length=2000, is_lines=True)


class ClaimQuery(PageQuery):
    """Which of one's own claims."""

    month = month_field(load_default=None, allow_none=True)
    state = Choice(ClaimState, load_default=None, allow_none=True)


class ReviewQuery(PageQuery):
    """Which claims of the scheme; drafts are not among them."""

    month = month_field(load_default=None, allow_none=True)
    state = Choice(AT_REVIEW, load_default=None, allow_none=True)


class ClaimStepSchema(StrictSchema):
    """One step of a working."""

    what = text()
    inputs = TextMap()
    rule = text()
    source = text()
    result = text()


def _working() -> ma.fields.List:
    return ma.fields.List(ma.fields.Nested(ClaimStepSchema))


class ClaimPartSchema(StrictSchema):
    """Miles at one rate; ``is_first``: they count towards the threshold of the tax year."""

    miles = text()
    rate_pence = text()
    pence_exact = text()
    is_first = Flag()


class ClaimLineSchema(StrictSchema):
    """One line; ``origin`` and ``destination`` are there for the member alone."""

    kind = Choice(LineKind)
    trip_id = Id(allow_none=True)
    vehicle_id = Id(allow_none=True)
    vehicle_label = text()
    on_date = text(allow_none=True)
    reason = text()
    origin = text()
    destination = text()
    miles = text()
    parts = ma.fields.List(ma.fields.Nested(ClaimPartSchema))
    pence_exact = text()
    pence = whole()
    text = ma.fields.String()
    tax_year_from_on = ma.fields.String(allow_none=True)
    working = _working()


class ClaimBlockerSchema(StrictSchema):
    """Why a claim cannot be sent as it is."""

    trip_id = Id(allow_none=True)
    on_date = text(allow_none=True)
    what = text()
    rule = text()


class ClaimFigureSchema(StrictSchema):
    """A dated figure that went into a claim."""

    name = text()
    key = text()
    from_on = text()
    value = text()
    unit = text()
    standing = text()
    source = text()


class ReckoningSchema(StrictSchema):
    """What is due, by which rules and figures, and what stands in the way."""

    month = text()
    is_ready = Flag()
    blockers = ma.fields.List(ma.fields.Nested(ClaimBlockerSchema))
    miles = text()
    total_pence = whole()
    lines = ma.fields.List(ma.fields.Nested(ClaimLineSchema))
    figures = ma.fields.List(ma.fields.Nested(ClaimFigureSchema))
    vat_note = text()
    tax_note = text()
    rounding_rule = text()
    caution = text()
    working = _working()


class ClaimRowSchema(StrictSchema):
    """A claim in a list."""

    id = Id()
    household_id = Id()
    reference = text()
    member_name = text()
    month = text()
    ordinal = whole()
    state = Choice(ClaimState)
    corrects_id = Id(allow_none=True)
    is_corrected = Flag()
    trip_count = whole()
    miles = miles_field()
    total_pence = whole()
    created_at = Instant()
    sent_at = Instant(allow_none=True)
    decided_at = Instant(allow_none=True)
    statement_id = Id(allow_none=True)
    version = whole()
    is_ready = Flag(allow_none=True)


class ClaimListSchema(StrictSchema):
    """A page of claims, and the miles and money of all pages."""

    items = ma.fields.List(ma.fields.Nested(ClaimRowSchema))
    total = whole()
    page = whole()
    page_size = whole()
    total_pence = whole()
    miles = miles_field()


class ClaimStateCountSchema(StrictSchema):
    """How many claims stand in a state, and what they come to."""

    state = Choice(ClaimState)
    claim_count = whole()
    total_pence = whole()


class ReviewListSchema(ClaimListSchema):
    """A page of the scheme's claims, and the counts of the month by state."""

    counts = ma.fields.List(ma.fields.Nested(ClaimStateCountSchema))


class ClaimMessageSchema(StrictSchema):
    """One message between who claims and who approves."""

    kind = Choice(MessageKind)
    text = text()
    written_at = Instant()
    author = ma.fields.String()
    is_by_member = Flag()


class ClaimSchema(ClaimRowSchema):
    """A claim with its lines and what was said about it."""

    reckoning = ma.fields.Nested(ReckoningSchema)
    messages = ma.fields.List(ma.fields.Nested(ClaimMessageSchema))
    caution = text()


class ReviewedClaimSchema(ClaimSchema):
    """A claim as whoever pays sees it; ``note`` says where today's figures would differ."""

    note = text(allow_none=True)
    may_decide = Flag()


class ApprovedAsReadSchema(StrictSchema):
    """A claim to approve as it was read."""

    claim_id = Id(required=True)
    version = WholeNumber(required=True)


class ApprovalsEntrySchema(StrictSchema):
    """Claims to approve in one go."""

    claims = ma.fields.List(
        ma.fields.Nested(ApprovedAsReadSchema), required=True, validate=ma.validate.Length(min=1, max=CLAIMS_MAX)
    )


class NotApprovedSchema(StrictSchema):
    """A claim that was not approved, and why."""

    claim_id = Id()
    reason = text()


class ApprovalsSchema(StrictSchema):
    """What came of approving many."""

    approved = ma.fields.List(Id())
    failed = ma.fields.List(ma.fields.Nested(NotApprovedSchema))
    total_pence = whole()


