"""Statements for payroll, and the scheme's rules of paying."""

from __future__ import annotations

from typing import Any

from flask import Response
from flask.views import MethodView

from service.accounts.operations import audit
from service.infrastructure.http.access import principal, requires
from service.infrastructure.http.paging import Page, PageQuery, first_row
from service.infrastructure.http.transactions import idempotent, now, scheme_session, write_afterwards
from service.reimbursement.api.review import PAYERS
from service.reimbursement.api.routes import blueprint, conflict, writing
from service.reimbursement.documents import statement_csv, statement_xlsx
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.rules import SchemeRule
from service.reimbursement.domain.statements import canonical
from service.reimbursement.models import Statement
from service.reimbursement.operations import rules, statements
from service.reimbursement.operations.statements import StatementView
from service.reimbursement.schemas import (
    ReimbursementRuleEntrySchema,
    ReimbursementRuleListSchema,
    ReimbursementRuleSchema,
    StatementEntrySchema,
    StatementExportQuery,
    StatementListSchema,
    StatementSchema,
)

MEDIA_TYPES = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "json": "application/json",
}


@blueprint.route("/statements")
class StatementsView(MethodView):
    """The scheme's statements."""

    @requires(*PAYERS)
    @blueprint.arguments(PageQuery, location="query")
    @blueprint.response(200, StatementListSchema)
    def get(self, query: dict[str, Any]) -> object:
        """List the statements, the newest month first."""
        number, size = query["page"], query["page_size"]
        rows, total = statements.list_statements(scheme_session(), first=first_row(number, size), limit=size)
        return Page([_shown(view) for view in rows], total, number, size)

    @requires(*PAYERS)
    @idempotent
    @blueprint.arguments(StatementEntrySchema)
    @blueprint.response(201, StatementSchema)
    @conflict(description="No approved claim waits for a statement")
    def post(self, values: dict[str, Any]) -> object:
        """Freeze what is approved and not stated yet, of a month and those before it, into one document."""
        month = Month.read(values["month"])
        return _whole(statements.make_statement(scheme_session(), month, **writing()))


@blueprint.route("/statements/<id:statement_id>")
class StatementOneView(MethodView):
    """One statement."""

    @requires(*PAYERS)
    @blueprint.response(200, StatementSchema)
    @blueprint.alt_response(404, description="No such statement")
    def get(self, statement_id: str) -> object:
        """Get a statement as it was made: it never changes."""
        return _whole(statements.get_statement(scheme_session(), statement_id))


@blueprint.route("/statements/<id:statement_id>/export")
class StatementExportView(MethodView):
    """A statement as a file."""

    @requires(*PAYERS)
    @blueprint.arguments(StatementExportQuery, location="query")
    @blueprint.response(200, {"type": "string", "format": "binary"}, content_type="application/octet-stream")
    @blueprint.alt_response(404, description="No such statement")
    def get(self, query: dict[str, Any], statement_id: str) -> object:
        """Get a statement for payroll; asked again, the same bytes. Each export is written into the audit trail."""
        row, kind = statements.get_statement(scheme_session(), statement_id).row, query["format"]
        who, at = principal().account_id, now()
        write_afterwards(
            lambda session: audit(
                session, account_id=who, action="export", subject_kind="statement", subject_id=statement_id, at=at
            )
        )
        name = f"statement-{Month(row.month_on)}-{row.ordinal}.{kind}"
        return Response(
            _file(row, kind),
            content_type=MEDIA_TYPES[kind],
            headers={"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "no-store"},
        )


@blueprint.route("/reimbursement_rules")
class ReimbursementRulesView(MethodView):
    """How the scheme pays, over time."""

    @requires(*PAYERS)
    @blueprint.response(200, ReimbursementRuleListSchema)
    def get(self) -> object:
        """List the rules, the newest first."""
        return {"items": rules.list_rules(scheme_session())}

    @requires(*PAYERS)
    @idempotent
    @blueprint.arguments(ReimbursementRuleEntrySchema)
    @blueprint.response(201, ReimbursementRuleSchema)
    def post(self, values: dict[str, Any]) -> object:
        """Append a rule; claims that were sent keep what they were sent with."""
        return rules.add_rule(scheme_session(), SchemeRule(**values), **writing())


def _file(row: Statement, kind: str) -> bytes:
    if kind == "json":
        return canonical(row.document)
    return statement_csv(row.document) if kind == "csv" else statement_xlsx(row.document, made_at=row.made_at)


def _shown(view: StatementView) -> dict[str, Any]:
    row = view.row
    return {
        "id": row.id,
        "month": str(Month(row.month_on)),
        "ordinal": row.ordinal,
        "claim_count": row.claim_count,
        "total_pence": row.total_pence,
        "digest": row.digest,
        "made_at": row.made_at,
        "made_by": view.made_by,
    }


def _whole(view: StatementView) -> dict[str, Any]:
    return {**_shown(view), "document": view.row.document}
