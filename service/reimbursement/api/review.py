"""Claims for whoever pays: day, miles, purpose and money of trips that were claimed, and nothing else of a home."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import principal, requires
from service.infrastructure.http.etags import etag_headers, etagged
from service.infrastructure.http.paging import first_row
from service.infrastructure.http.transactions import idempotent, scheme_session
from service.reimbursement.api.claim_shapes import shown_claim, shown_page
from service.reimbursement.api.routes import blueprint, conflict, match_if_asked, month_of, tag_of, writing
from service.reimbursement.domain.kinds import ClaimState
from service.reimbursement.operations import decisions
from service.reimbursement.operations.claim_rows import list_messages
from service.reimbursement.operations.decisions import ReviewedClaim
from service.reimbursement.schemas import (
    ApprovalsEntrySchema,
    ApprovalsSchema,
    ClaimTextSchema,
    NothingSchema,
    ReviewedClaimSchema,
    ReviewListSchema,
    ReviewQuery,
)

CLAIM = "/claims/<id:claim_id>"
NO_CLAIM, OTHER_STATE = "No such claim, or a draft", "The claim is in another state"
PAYERS = ("administrator", "finance")


@blueprint.route("/claims")
class ReviewListView(MethodView):
    """The scheme's claims."""

    @requires(*PAYERS)
    @blueprint.arguments(ReviewQuery, location="query")
    @blueprint.response(200, ReviewListSchema)
    def get(self, query: dict[str, Any]) -> object:
        """List the claims that were sent, the newest month first, and the month's counts by state."""
        number, size, state = query["page"], query["page_size"], query["state"]
        page, counts = decisions.list_for_review(
            scheme_session(), month=month_of(query), state=ClaimState(state) if state else None,
            first=first_row(number, size), limit=size,
        )  # fmt: skip
        return {**shown_page(page, number, size), "counts": counts}


@blueprint.route(CLAIM)
class ReviewView(MethodView):
    """One claim that was sent."""

    @requires(*PAYERS)
    @etagged
    @blueprint.response(200, ReviewedClaimSchema)
    @blueprint.alt_response(404, description=NO_CLAIM)
    def get(self, claim_id: str) -> object:
        """Get a claim as it was frozen, without the places of its trips."""
        return _answer(decisions.get_for_review(scheme_session(), claim_id))


@blueprint.route(f"{CLAIM}/query")
class ReviewQueryView(MethodView):
    """Asking about a claim."""

    @requires(*PAYERS)
    @idempotent
    @blueprint.arguments(ClaimTextSchema)
    @etagged
    @blueprint.response(200, ReviewedClaimSchema)
    @blueprint.alt_response(404, description=NO_CLAIM)
    @conflict(description=OTHER_STATE)
    def post(self, values: dict[str, Any], claim_id: str) -> object:
        """Ask the member about a claim; not about one's own."""
        _match(claim_id)
        return _answer(decisions.query(scheme_session(), claim_id, values["text"], **writing()))


@blueprint.route(f"{CLAIM}/approval")
class ReviewApprovalView(MethodView):
    """Approving a claim."""

    @requires(*PAYERS)
    @idempotent
    @blueprint.arguments(NothingSchema)
    @etagged
    @blueprint.response(200, ReviewedClaimSchema)
    @blueprint.alt_response(404, description=NO_CLAIM)
    @conflict(description=OTHER_STATE)
    def post(self, values: dict[str, Any], claim_id: str) -> object:
        """Approve a claim as it was sent; nobody approves their own."""
        _match(claim_id)
        return _answer(decisions.approve(scheme_session(), claim_id, **writing()))


@blueprint.route(f"{CLAIM}/refusal")
class ReviewRefusalView(MethodView):
    """Refusing a claim."""

    @requires(*PAYERS)
    @idempotent
    @blueprint.arguments(ClaimTextSchema)
    @etagged
    @blueprint.response(200, ReviewedClaimSchema)
    @blueprint.alt_response(404, description=NO_CLAIM)
    @conflict(description=OTHER_STATE)
    def post(self, values: dict[str, Any], claim_id: str) -> object:
        """Refuse a claim with a reason; its trips can be claimed again."""
        _match(claim_id)
        return _answer(decisions.refuse_claim(scheme_session(), claim_id, values["text"], **writing()))


@blueprint.route("/claims/approvals")
class ReviewApprovalsView(MethodView):
    """Approving many claims."""

    @requires(*PAYERS)
    @idempotent
    @blueprint.arguments(ApprovalsEntrySchema)
    @blueprint.response(200, ApprovalsSchema)
    def post(self, values: dict[str, Any]) -> object:
        """Approve claims, each as it was read; what cannot be approved is named and stops no other."""
        versions = {item["claim_id"]: item["version"] for item in values["claims"]}
        done = decisions.approve_many(scheme_session(), versions, **writing())
        failed = [{"claim_id": claim_id, "reason": reason} for claim_id, reason in done.failed]
        return {"approved": done.approved, "failed": failed, "total_pence": done.total_pence}


def _body(reviewed: ReviewedClaim) -> dict[str, Any]:
    claim = reviewed.read.claim
    return {
        **shown_claim(reviewed.read, list_messages(scheme_session(), claim)),
        "note": reviewed.note,
        "may_decide": claim.account_id != principal().account_id,
    }


def _answer(reviewed: ReviewedClaim) -> object:
    body = _body(reviewed)
    return body, 200, etag_headers(*tag_of(ReviewedClaimSchema(), body))


def _match(claim_id: str) -> None:
    decisions.hold(scheme_session(), claim_id)
    reviewed = decisions.get_for_review(scheme_session(), claim_id)
    match_if_asked(*tag_of(ReviewedClaimSchema(), _body(reviewed)))
