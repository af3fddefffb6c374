"""Checks, incidents and the reports they make: a stop answer leads with what to do now."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from flask.views import MethodView

from service.households.domain.ranges import build_each
from service.infrastructure.http.access import require_own_household, require_visible_household, requires
from service.infrastructure.http.paging import Page, PageQuery, first_row, page_schema
from service.infrastructure.http.transactions import idempotent, now, scheme_session
from service.safety import operations
from service.safety.api.routes import blueprint, writing
from service.safety.domain.cold_check import CheckDetails, GivenAnswer
from service.safety.domain.report_details import IncidentDetails, LeadTestDetails, WithdrawalDetails
from service.safety.domain.signs import Sign, lift_words
from service.safety.operations import ReportView
from service.safety.schemas import (
    CheckEntrySchema,
    CheckSchema,
    IncidentEntrySchema,
    IncidentSchema,
    LeadTestEntrySchema,
    LeadTestSchema,
    SafetyReportSchema,
    SignTableSchema,
    WithdrawalSchema,
)


@blueprint.route("/households/<id:household_id>/signs")
class SignsView(MethodView):
    """The table of signs."""

    @requires("administrator", "member")
    @blueprint.response(200, SignTableSchema)
    def get(self, household_id: str) -> object:
        """Get what the forms show: the check's questions in order, each sign with what it stops and what lifts it."""
        require_visible_household(household_id)
        table = operations.get_sign_table(scheme_session(), household_id, at=now())
        questions = [
            {
                "question": question.name, "words": question.words, "is_touching": question.is_touching,
                "answers": [
                    {"answer": answer.name, "words": answer.words, "sign": answer.sign, "means": answer.means}
                    for answer in question.answers
                ],
            }
            for question in table.questions
        ]
        signs = [{**_row(sign), "do_now": do_now} for sign, do_now in table.signs]
        return {
            "edition": table.edition, "review": table.review, "nation": table.nation, "emergency": table.emergency,
            "questions": questions, "signs": signs,
        }


@blueprint.route("/households/<id:household_id>/checks")
class ChecksView(MethodView):
    """A member's checks; what they found is listed with the reports."""

    @requires("member")
    @idempotent
    @blueprint.arguments(CheckEntrySchema)
    @blueprint.response(201, CheckSchema)
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Record a check; an answer that stops use stops it at once, and the reply leads with what to do now."""
        require_own_household(household_id)
        answers = build_each("answers", values["answers"], GivenAnswer)
        details = CheckDetails(**{**values, "answers": answers})
        check, report_ids = operations.record_check(scheme_session(), household_id, details, **writing())
        return {
            "do_now": do_now_of(household_id, report_ids),
            "outcome": "stop" if report_ids else "no_sign" if check.is_clear else "not_complete",
            "id": check.id, "outlet_id": check.outlet_id, "lead_id": check.lead_id, "made_at": check.made_at,
            "is_clear": check.is_clear,
            "reports": reports_of(household_id, report_ids),
        }


@blueprint.route("/households/<id:household_id>/incidents")
class IncidentsView(MethodView):
    """Signs and incidents reported at once, without a check."""

    @requires("administrator", "member")
    @idempotent
    @blueprint.arguments(IncidentEntrySchema)
    @blueprint.response(201, IncidentSchema)
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Report a sign or incident; what it acts on is stopped at once, and the reply leads with what to do now."""
        require_visible_household(household_id)
        report_id = operations.report_incident(scheme_session(), household_id, IncidentDetails(**values), **writing())
        return {"do_now": do_now_of(household_id, [report_id]), "report": reports_of(household_id, [report_id])[0]}


@blueprint.route("/households/<id:household_id>/safety_reports")
class SafetyReportsView(MethodView):
    """What was reported in a home."""

    @requires("administrator", "member")
    @blueprint.arguments(PageQuery, location="query")
    @blueprint.response(200, page_schema(SafetyReportSchema))
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """List the reports, the newest first, with what they stopped and what has lifted it."""
        require_visible_household(household_id)
        page, size = query["page"], query["page_size"]
        views, total = operations.list_reports(
            scheme_session(), household_id, at=now(), first=first_row(page, size), limit=size
        )
        return Page(_shown(views), total, page, size)


@blueprint.route("/households/<id:household_id>/safety_reports/<id:report_id>/withdrawal")
class WithdrawalView(MethodView):
    """That a report was a mistake."""

    @requires("safety_officer")
    @idempotent
    @blueprint.arguments(WithdrawalSchema)
    @blueprint.response(200, SafetyReportSchema)
    @blueprint.alt_response(404, description="No such report of this home")
    @blueprint.alt_response(409, description="It was withdrawn already, for another reason")
    def post(self, values: dict[str, Any], household_id: str, report_id: str) -> object:
        """Withdraw a mistaken report; report, reason and photo are all kept. Never of the officer's own home."""
        details = WithdrawalDetails(**values)
        operations.withdraw_sign(scheme_session(), household_id, report_id, details, **writing())
        return reports_of(household_id, [report_id])[0]


@blueprint.route("/households/<id:household_id>/leads/<id:lead_id>/tests")
class LeadTestsView(MethodView):
    """Tests and replacements of a lead."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(LeadTestEntrySchema)
    @blueprint.response(201, LeadTestSchema)
    @blueprint.alt_response(404, description="No such lead of this home")
    def post(self, values: dict[str, Any], household_id: str, lead_id: str) -> object:
        """Record that a lead was tested or replaced: it lifts signs from the lead, never from an outlet."""
        details = LeadTestDetails(**values)
        return operations.record_lead_test(scheme_session(), household_id, lead_id, details, **writing())


def do_now_of(household_id: str, report_ids: list[str]) -> tuple[str, ...]:
    """Return what to do now for some reports; empty where there is none."""
    stop = operations.describe_stop(scheme_session(), household_id, report_ids, at=now())
    return stop.do_now if stop else ()


def reports_of(household_id: str, report_ids: list[str]) -> list[dict[str, Any]]:
    """Return some reports as their schema writes them, in this order."""
    return _shown(operations.get_reports(scheme_session(), household_id, report_ids, at=now()))


def _shown(views: list[ReportView]) -> list[dict[str, Any]]:
    people = [by for view in views for by in (view.report.reported_by, view.report.withdrawn_by)]
    names = operations.names_of(scheme_session(), people)
    return [
        {
            **{name: getattr(view.report, name, None) for name in SafetyReportSchema().fields},
            "words": view.sign.words,
            "effect": view.sign.effect,
            "state": view.state,
            "items": view.items,
            "reported_by_name": names.get(view.report.reported_by),
            "withdrawn_by_name": names.get(view.report.withdrawn_by),
        }
        for view in views
    ]


def _row(sign: Sign) -> dict[str, Any]:
    own = {field.name: getattr(sign, field.name) for field in fields(Sign)}
    lifts = [{"item_kind": item, "words": words} for item, words in lift_words(sign)]
    return {**own, "sign": sign.name, "acts_on_lead": sign.acts_on_lead, "lifts": lifts}
