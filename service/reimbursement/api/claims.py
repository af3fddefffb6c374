"""A member's own claims."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from flask import Response
from flask.views import MethodView

from service.common.errors import NotFound
from service.households.operations import get_household
from service.infrastructure.http.access import requires
from service.infrastructure.http.etags import etag_headers, etagged, require_match
from service.infrastructure.http.paging import first_row
from service.infrastructure.http.transactions import idempotent, scheme_session
from service.reimbursement.api.claim_shapes import home_percents, queried_percents, shown_claim, shown_page
from service.reimbursement.api.routes import (
    HOME,
    blueprint,
    conflict,
    match_if_asked,
    month_of,
    own,
    tag_of,
    writing,
)
from service.reimbursement.documents import claim_pdf
from service.reimbursement.documents.claim_pdf import ClaimCopy
from service.reimbursement.domain.months import Month
from service.reimbursement.operations import claims, corrections
from service.reimbursement.operations.claim_rows import list_messages
from service.reimbursement.operations.claims import ReadClaim
from service.reimbursement.operations.trips import Owner
from service.reimbursement.schemas import (
    ClaimChangeSchema,
    ClaimEntrySchema,
    ClaimListSchema,
    ClaimQuery,
    ClaimReasonSchema,
    ClaimSchema,
    ClaimTextSchema,
    NothingSchema,
    PreviewQuery,
    ReckoningSchema,
)

CLAIM = f"{HOME}/claims/<id:claim_id>"
NO_CLAIM, OTHER_STATE = "No such claim of the caller's", "The claim is in another state"


@blueprint.route(f"{HOME}/claim_preview")
class ClaimPreviewView(MethodView):
    """What a claim would come to."""

    @requires("member")
    @blueprint.arguments(PreviewQuery, location="query")
    @blueprint.response(200, ReckoningSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """Reckon all open trips of a month; nothing is stored."""
        owner, month = own(household_id), Month.read(query["month"])
        return claims.preview(scheme_session(), owner, month, queried_percents(query["home_share"])).to_json()


@blueprint.route(f"{HOME}/claims")
class ClaimsView(MethodView):
    """A member's claims."""

    @requires("member")
    @blueprint.arguments(ClaimQuery, location="query")
    @blueprint.response(200, ClaimListSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """List one's own claims, the newest month first; a draft comes to nothing until it is sent."""
        owner, number, size = own(household_id), query["page"], query["page_size"]
        page = claims.list_own(
            scheme_session(), owner, month=month_of(query), state=query["state"], first=first_row(number, size),
            limit=size,
        )  # fmt: skip
        return shown_page(page, number, size)

    @requires("member")
    @idempotent
    @blueprint.arguments(ClaimEntrySchema)
    @etagged
    @blueprint.response(201, ClaimSchema)
    @blueprint.alt_response(404, description="No such household")
    @conflict(description="No trip is open, or the month has a draft")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Put a month's open trips into a draft, to look at and to send."""
        owner, month = own(household_id), Month.read(values["month"])
        shares = home_percents(values["home_shares"])
        read = claims.draft(
            scheme_session(), owner, month, trip_ids=values["trip_ids"], home_percents=shares, **writing()
        )
        return _answer(read, 201)


@blueprint.route(CLAIM)
class ClaimView(MethodView):
    """One of one's own claims."""

    @requires("member")
    @etagged
    @blueprint.response(200, ClaimSchema)
    @blueprint.alt_response(404, description=NO_CLAIM)
    def get(self, household_id: str, claim_id: str) -> object:
        """Get a claim: a draft as it would be sent now, any other as it was frozen."""
        return _answer(claims.get_own(scheme_session(), own(household_id), claim_id))

    @requires("member")
    @etagged
    @blueprint.arguments(ClaimChangeSchema)
    @blueprint.response(200, ClaimSchema)
    @blueprint.alt_response(404, description=NO_CLAIM)
    @conflict(description=OTHER_STATE)
    def patch(self, values: dict[str, Any], household_id: str, claim_id: str) -> object:
        """State anew which share of each car's month was charged at home; of a draft only."""
        owner, read = _held(household_id, claim_id)
        require_match(*_tag(read))
        shares = home_percents(values["home_shares"])
        return _answer(claims.restate(scheme_session(), owner, claim_id, shares, **writing()))

    @requires("member")
    @etagged
    @blueprint.response(204)
    @blueprint.alt_response(404, description=NO_CLAIM)
    @conflict(description=OTHER_STATE)
    def delete(self, household_id: str, claim_id: str) -> None:
        """Delete a draft; its trips are open again."""
        owner, read = _held(household_id, claim_id)
        require_match(*_tag(read))
        claims.remove_draft(scheme_session(), owner, claim_id, **writing())


@blueprint.route(f"{CLAIM}/sending")
class ClaimSendingView(MethodView):
    """Sending a claim."""

    @requires("member")
    @idempotent
    @blueprint.arguments(NothingSchema)
    @etagged
    @blueprint.response(200, ClaimSchema)
    @blueprint.alt_response(404, description=NO_CLAIM)
    @conflict(description=OTHER_STATE)
    def post(self, values: dict[str, Any], household_id: str, claim_id: str) -> object:
        """Send a draft: lines and figures are frozen; what stands in the way is named."""
        owner = _matched(household_id, claim_id)
        return _answer(claims.send(scheme_session(), owner, claim_id, **writing()))


@blueprint.route(f"{CLAIM}/withdrawal")
class ClaimWithdrawalView(MethodView):
    """Taking a claim back."""

    @requires("member")
    @idempotent
    @blueprint.arguments(NothingSchema)
    @etagged
    @blueprint.response(200, ClaimSchema)
    @blueprint.alt_response(404, description=NO_CLAIM)
    @conflict(description=OTHER_STATE)
    def post(self, values: dict[str, Any], household_id: str, claim_id: str) -> object:
        """Take a claim back that nobody has decided about: it is a draft again."""
        owner = _matched(household_id, claim_id)
        return _answer(claims.withdraw(scheme_session(), owner, claim_id, **writing()))


@blueprint.route(f"{CLAIM}/answer")
class ClaimAnswerView(MethodView):
    """Answering a question."""

    @requires("member")
    @idempotent
    @blueprint.arguments(ClaimTextSchema)
    @etagged
    @blueprint.response(200, ClaimSchema)
    @blueprint.alt_response(404, description=NO_CLAIM)
    @conflict(description=OTHER_STATE)
    def post(self, values: dict[str, Any], household_id: str, claim_id: str) -> object:
        """Answer what was asked about a claim; its lines stay as they were sent."""
        owner = _matched(household_id, claim_id)
        return _answer(claims.answer(scheme_session(), owner, claim_id, values["text"], **writing()))


@blueprint.route(f"{CLAIM}/correction")
class ClaimCorrectionView(MethodView):
    """Correcting a claim."""

    @requires("member")
    @idempotent
    @blueprint.arguments(ClaimReasonSchema)
    @etagged
    @blueprint.response(201, ClaimSchema)
    @blueprint.alt_response(404, description=NO_CLAIM)
    @conflict(description="The claim cannot be corrected, or a correction is under way")
    def post(self, values: dict[str, Any], household_id: str, claim_id: str) -> object:
        """Draft a correction of an approved claim, with copies of its trips; the claim itself never changes."""
        owner = own(household_id)
        return _answer(corrections.correct(scheme_session(), owner, claim_id, values["reason"], **writing()), 201)


@blueprint.route(f"{CLAIM}/copy.pdf")
class ClaimCopyView(MethodView):
    """A claim on paper."""

    @requires("member")
    @blueprint.response(200, {"type": "string", "format": "binary"}, content_type="application/pdf")
    @blueprint.alt_response(404, description=NO_CLAIM)
    def get(self, household_id: str, claim_id: str) -> object:
        """Get one's own copy of a claim that was sent, with the places of its trips."""
        session, owner = scheme_session(), own(household_id)
        read = claims.get_own(session, owner, claim_id)
        row, claim = read.row, read.claim
        if claim.sent_at is None:
            raise NotFound("A draft has no copy: send it first.")
        zone = ZoneInfo(get_household(session, household_id).zone)
        month = str(Month(claim.month_on))
        copy = ClaimCopy(
            claim.id, row.member_name, row.reference, month, claim.ordinal, claim.state,
            claim.sent_at.astimezone(zone), claim.decided_at and claim.decided_at.astimezone(zone), claim.corrects_id,
            read.reckoning,
        )  # fmt: skip
        return Response(
            claim_pdf(copy),
            mimetype="application/pdf",
            headers={
                "Content-Disposition": f'attachment; filename="business-miles-{month}-{claim.ordinal}.pdf"',
                "Cache-Control": "no-store",
            },
        )


def _body(read: ReadClaim) -> dict[str, Any]:
    return shown_claim(read, list_messages(scheme_session(), read.claim))


def _tag(read: ReadClaim) -> tuple[int, str]:
    return tag_of(ClaimSchema(), _body(read))


def _answer(read: ReadClaim, status: int = 200) -> object:
    body = _body(read)
    return body, status, etag_headers(*tag_of(ClaimSchema(), body))


def _matched(household_id: str, claim_id: str) -> Owner:
    """Return the owner, once the claim is the one that If-Match names, where it is sent."""
    owner, read = _held(household_id, claim_id)
    match_if_asked(*_tag(read))
    return owner


def _held(household_id: str, claim_id: str) -> tuple[Owner, ReadClaim]:
    """Return the owner, and the claim as it is once no other writer of the home is left."""
    owner, session = own(household_id), scheme_session()
    claims.hold_own(session, owner, claim_id)
    return owner, claims.get_own(session, owner, claim_id)
