"""JSON shapes of statements for payroll, and of the scheme's rules of paying."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import CalendarDate, Choice, Id, Instant, StrictSchema, WholeNumber
from service.infrastructure.http.paging import page_schema
from service.reimbursement.domain.kinds import CompanyMethod
from service.reimbursement.schemas.claims import ClaimFigureSchema, ClaimLineSchema
from service.reimbursement.schemas.shapes import month_field

text, whole = ma.fields.String, ma.fields.Integer
WHOLE_MAX = 999_999_999


class StatementEntrySchema(StrictSchema):
    """A statement to make: of what is approved and not stated yet, of this month and those before."""

    month = month_field(required=True)


class StatedClaimSchema(StrictSchema):
    """A claim as a statement froze it."""

    claim_id = Id()
    month = text()
    ordinal = whole()
    corrects_id = Id(allow_none=True)
    sent_on = text()
    approved_on = text()
    approved_by = text()
    miles = text()
    total_pence = whole()
    lines = ma.fields.List(ma.fields.Nested(ClaimLineSchema))
    figures = ma.fields.List(ma.fields.Nested(ClaimFigureSchema))


class StatedPersonSchema(StrictSchema):
    """A member's claims on a statement."""

    account_id = Id()
    name = text()
    reference = text()
    claims = ma.fields.List(ma.fields.Nested(StatedClaimSchema))
    miles = text()
    total_pence = whole()


class StatementTotalsSchema(StrictSchema):
    """What a statement comes to."""

    claim_count = whole()
    line_count = whole()
    miles = text()
    total_pence = whole()


class StatementDocumentSchema(StrictSchema):
    """The document that the digest is of."""

    form = whole()
    month = text()
    ordinal = whole()
    people = ma.fields.List(ma.fields.Nested(StatedPersonSchema))
    totals = ma.fields.Nested(StatementTotalsSchema)
    caution = text()
    vat_note = text()
    rounding_rule = text()


class StatementRowSchema(StrictSchema):
    """A statement in a list; ``digest`` is the SHA-256 of the document's canonical JSON."""

    id = Id()
    month = text()
    ordinal = whole()
    claim_count = whole()
    total_pence = whole()
    digest = text()
    made_at = Instant()
    made_by = text()


StatementListSchema = page_schema(StatementRowSchema)


class StatementSchema(StatementRowSchema):
    """A statement with its document."""

    document = ma.fields.Nested(StatementDocumentSchema)


class StatementExportQuery(StrictSchema):
    """Which kind of file."""

    format = Choice(("csv", "xlsx", "json"), required=True)


class ReimbursementRuleEntrySchema(StrictSchema):
    """How the scheme pays from a day on."""

    from_on = CalendarDate(required=True)
    company_method = Choice(CompanyMethod, required=True)
    monthly_cap_pence = WholeNumber(load_default=None, allow_none=True, maximum=WHOLE_MAX)
    claim_within_days = WholeNumber(load_default=None, allow_none=True, maximum=WHOLE_MAX)


class ReimbursementRuleSchema(ReimbursementRuleEntrySchema):
    """A recorded rule."""

    id = Id()
    recorded_at = Instant()


class ReimbursementRuleListSchema(StrictSchema):
    """The scheme's rules, the newest first."""

    items = ma.fields.List(ma.fields.Nested(ReimbursementRuleSchema))
