"""What the holder of an inspection link does: no account, no cookie; the secret comes in a header of its own.

Reading spends nothing, so a scanner that opens every link does no harm; a draft spends nothing either.
"""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import marshmallow as ma
from flask import request
from flask.views import MethodView

from service.accounts.operations import slowed_where_guessed
from service.common.errors import Gone
from service.households.schemas import CircuitSchema, LeadSchema, OutletSchema, SupplySchema
from service.infrastructure.http.access import LINK_ROLE, Principal, principal, requires
from service.infrastructure.http.conventions import LINK_HEADER
from service.infrastructure.http.fields import CalendarDate, Choice, Id, Text
from service.infrastructure.http.places import caller_place
from service.infrastructure.http.transactions import idempotent, now, scheme_session, services
from service.safety import operations
from service.safety.api.routes import blueprint
from service.safety.api.uploads import UPLOAD_BODY, disk, reads_upload, uploaded
from service.safety.domain.submission import build_submission
from service.safety.domain.visit_states import LinkKind
from service.safety.operations import OfferedVisit
from service.safety.schemas import (
    FileQuerySchema,
    FileSchema,
    InspectionSchema,
    OfferedLinkSchema,
    SubmissionSchema,
    SubmittedSchema,
    VisitDraftEntrySchema,
    VisitDraftSchema,
    VisitedHomeSchema,
)

SUBMISSION = "/inspection_link/visits/<id:visit_id>/submission"


class VisitSheetSchema(VisitDraftSchema):
    """All that the electrician's form shows of a home."""

    visit_id = Id()
    kind = Choice(LinkKind)
    agreed_on = CalendarDate(allow_none=True)
    reason = Text(max_length=300)
    home = ma.fields.Nested(VisitedHomeSchema)
    supply = ma.fields.Nested(SupplySchema, allow_none=True)
    circuits = ma.fields.List(ma.fields.Nested(CircuitSchema))
    outlet_ids = ma.fields.List(Id(), metadata={"description": "The outlets to record; a submission names each"})
    outlets = ma.fields.List(ma.fields.Nested(OutletSchema))
    leads = ma.fields.List(ma.fields.Nested(LeadSchema))
    questions = ma.fields.List(ma.fields.String(), metadata={"description": "What the member could not know"})
    recorded = ma.fields.List(
        ma.fields.Nested(InspectionSchema), metadata={"description": "What stands of this visit so far"}
    )
    files = ma.fields.List(ma.fields.Nested(FileSchema), metadata={"description": "Uploaded by this link"})
    draft = ma.fields.Dict(keys=ma.fields.String())


def authenticate_link() -> Principal | None:
    """Return the holder of the request's link, or None where it has no such header.

    A spent link answers one thing still: the same submission under the same key, whose answer may have been lost.
    """
    secret = request.headers.get(LINK_HEADER)
    if not secret:
        return None
    database = services().database
    with slowed_where_guessed(database, caller_place(), now=now()):
        holder = operations.find_holder(database, secret, at=now())
    is_repeat = (
        request.method == "POST"
        and request.headers.get("Idempotency-Key") is not None
        and request.url_rule is not None
        and request.url_rule.rule.endswith(SUBMISSION)
    )
    if holder.is_spent and not is_repeat:
        raise Gone(operations.SPENT)
    return Principal(holder.link_id, holder.scheme_id, frozenset({LINK_ROLE}), None, "", holder.link_id)


@blueprint.route("/inspection_link")
class OfferedLinkView(MethodView):
    """The link that the header names."""

    @requires(LINK_ROLE)
    @blueprint.response(200, OfferedLinkSchema)
    def get(self) -> object:
        """Get the homes of the link; each shows its address from its day on."""
        offered = operations.get_offered(scheme_session(), principal().account_id, at=now())
        return {
            "kind": offered.kind, "electrician": offered.electrician, "scheme_name": offered.scheme_name,
            "expires_at": offered.expires_at, "visits": [_visit(visit) for visit in offered.visits],
        }


@blueprint.route("/inspection_link/visits/<id:visit_id>")
class OfferedVisitView(MethodView):
    """One home of the link."""

    @requires(LINK_ROLE)
    @blueprint.response(200, VisitSheetSchema)
    @blueprint.alt_response(404, description="No such link, or no such visit of it")
    @blueprint.alt_response(409, description="Its day has not come yet")
    def get(self, visit_id: str) -> object:
        """Get all that the form shows of a home, from its day on."""
        sheet = operations.get_sheet(scheme_session(), principal().account_id, visit_id, at=now())
        held, home = sheet.held, sheet.home
        return {
            "visit_id": visit_id, "kind": held.link.kind, "agreed_on": held.visit.agreed_on,
            "reason": held.visit.reason, "home": held.household, "supply": home.supply, "circuits": home.circuits,
            "outlet_ids": sheet.outlet_ids, "outlets": home.outlets, "leads": home.leads,
            "questions": list(sheet.questions), "recorded": sheet.recorded, "files": sheet.files,
            "draft": held.linked.draft, "draft_version": held.linked.draft_version,
            "draft_saved_at": held.linked.draft_saved_at,
        }


@blueprint.route("/inspection_link/visits/<id:visit_id>/draft")
class DraftView(MethodView):
    """The draft of one home."""

    @requires(LINK_ROLE)
    @blueprint.arguments(VisitDraftEntrySchema)
    @blueprint.response(200, VisitDraftSchema)
    @blueprint.alt_response(404, description="No such link, or no such visit of it")
    @blueprint.alt_response(409, description="It was saved elsewhere meanwhile, or its day has not come yet")
    def put(self, values: dict[str, Any], visit_id: str) -> object:
        """Keep the draft; its version says which it was made from, and the same one sent again is kept once."""
        return operations.save_draft(
            scheme_session(), principal().account_id, visit_id, values["draft"], values["draft_version"], at=now()
        )


@blueprint.route("/inspection_link/visits/<id:visit_id>/files")
class VisitFilesView(MethodView):
    """Files of one home."""

    @requires(LINK_ROLE)
    @blueprint.arguments(FileQuerySchema, location="query")
    @reads_upload
    @idempotent
    @blueprint.doc(requestBody=UPLOAD_BODY)
    @blueprint.response(201, FileSchema)
    @blueprint.alt_response(404, description="No such link, or no such visit of it")
    @blueprint.alt_response(409, description="Its day has not come yet, or the home keeps no more files of this link")
    @blueprint.alt_response(413, description="The file is larger than is kept")
    def post(self, query: dict[str, Any], visit_id: str) -> object:
        """Upload the certificate or a photo: a PDF, JPEG or PNG by its content."""
        session, link_id = scheme_session(), principal().account_id
        held = operations.hold_visit(session, link_id, visit_id, at=now(), is_written=True)
        return operations.keep_file(
            session, disk(), held.household.id, uploaded(), **query, at=now(), link_id=link_id
        )


@blueprint.route(SUBMISSION)
class SubmissionView(MethodView):
    """The results of one home."""

    @requires(LINK_ROLE)
    @idempotent
    @blueprint.arguments(SubmissionSchema)
    @blueprint.response(201, SubmittedSchema)
    @blueprint.alt_response(404, description="No such link, or no such visit of it")
    @blueprint.alt_response(409, description="Its day has not come yet, or it was corrected already")
    def post(self, values: dict[str, Any], visit_id: str) -> object:
        """Record the results: this spends the visit, unless only the certificate goes in first."""
        submission = build_submission(values)
        return operations.submit(scheme_session(), principal().account_id, visit_id, submission, at=now())


def _visit(visit: OfferedVisit) -> dict[str, Any]:
    return {field.name: getattr(visit, field.name) for field in fields(OfferedVisit)}
