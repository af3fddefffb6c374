"""The safety desk over HTTP: the homes by clearance, and the same list as a file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from typing import Any

from flask import Response
from flask.views import MethodView

from service.accounts.operations import audit
from service.infrastructure.http.access import principal, requires
from service.infrastructure.http.paging import first_row, sort_key
from service.infrastructure.http.transactions import idempotent, now, scheme_session, services, write_afterwards
from service.infrastructure.mail.queue import Postmark, Rendered
from service.reminders import documents, emails
from service.reminders.domain.news import AskedCheck, Reader
from service.reporting import operations
from service.reporting.api.routes import blueprint
from service.reporting.documents import desk_csv, desk_xlsx
from service.reporting.schemas import (
    ChosenHomesSchema,
    DeskCheckRemindersSchema,
    DeskQuery,
    DeskSchema,
    DeskVisitsEntrySchema,
    DeskVisitsSchema,
    ExportQuery,
)

MEDIA_TYPES = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


@blueprint.route("/safety_desk")
class SafetyDeskView(MethodView):
    """The scheme's homes by what their evidence says."""

    @requires("administrator")
    @blueprint.arguments(DeskQuery, location="query")
    @blueprint.response(200, DeskSchema)
    def get(self, query: dict[str, Any]) -> object:
        """List homes with clearance, what is overdue and missing, who was told, and counts by clearance."""
        session, wanted, today = scheme_session(), _filter(query), now().date()
        key = sort_key(query["sort"], tuple(operations.DESK_SORTS))
        page, size = query["page"], query["page_size"]
        rows, total = operations.list_desk(
            session, wanted, sort=key.name, is_descending=key.is_descending, first=first_row(page, size), limit=size,
            now=now(),
        )
        counts = operations.count_by_clearance(session, wanted, today=today)
        return {
            "items": [_shown(row) for row in rows],
            "total": total,
            "page": page,
            "page_size": size,
            "counts": [{"clearance": word, "household_count": count} for word, count in counts.items()],
            "areas": operations.list_areas(session),
        }


@blueprint.route("/safety_desk/visits")
class SafetyDeskVisitsView(MethodView):
    """Visits to many homes at once."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(DeskVisitsEntrySchema)
    @blueprint.response(200, DeskVisitsSchema)
    @blueprint.alt_response(404, description="A chosen home is not of this scheme")
    @blueprint.alt_response(409, description="The filters let through another number of homes now")
    def post(self, values: dict[str, Any]) -> object:
        """Ask for an inspection of each outlet of the chosen homes that no car may charge from; all or none."""
        matching = values["all_matching"]
        return operations.ask_visits(
            scheme_session(), values["household_ids"], _filter(matching) if matching is not None else None,
            household_count=values["household_count"], reason=values["reason"], by=principal().account_id, at=now(),
        )


@blueprint.route("/safety_desk/check_reminders")
class SafetyDeskCheckRemindersView(MethodView):
    """Reminders of the check to many homes at once."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(ChosenHomesSchema)
    @blueprint.response(200, DeskCheckRemindersSchema)
    @blueprint.alt_response(404, description="A chosen home is not of this scheme")
    @blueprint.alt_response(409, description="The filters let through another number of homes now")
    def post(self, values: dict[str, Any]) -> object:
        """Mail the members of the chosen homes to make the check now: once a person and day, in their sending hours."""
        matching, settings = values["all_matching"], services().settings

        def render(asked: AskedCheck, reader: Reader) -> Rendered:
            message = emails.check_asked(asked, reader, base_url=settings.base_url)
            dated = (*asked.dated, *asked.others)
            if not dated:
                return message
            return replace(
                message,
                calendar=documents.due_dates(
                    dated, base_url=settings.base_url, domain=settings.mail_domain, stamped_on=now().date()
                ),
            )

        people = operations.send_check_reminders(
            scheme_session(), values["household_ids"], _filter(matching) if matching is not None else None,
            household_count=values["household_count"], by=principal().account_id, at=now(), render=render,
            postmark=Postmark(settings.secret_key, settings.mail_domain),
        )
        return {"people": people}


@blueprint.route("/safety_desk/export")
class SafetyDeskExportView(MethodView):
    """The desk as a file."""

    @requires("administrator")
    @blueprint.arguments(ExportQuery, location="query")
    @blueprint.response(200, {"type": "string", "format": "binary"}, content_type="application/octet-stream")
    def get(self, query: dict[str, Any]) -> object:
        """Get every home that the filters let through as CSV or XLSX; the export is written into the audit trail."""
        wanted, kind, at, caller = _filter(query), query["format"], now(), principal()
        chosen = tuple(field.name for field in fields(wanted) if getattr(wanted, field.name) is not None)
        write_afterwards(
            lambda session: audit(
                session, account_id=caller.account_id, action="export", subject_kind="safety_desk",
                subject_id=caller.scheme_id, at=at, fields=chosen,
            )
        )
        database, write = services().database, desk_csv if kind == "csv" else desk_xlsx

        def pieces() -> Iterator[bytes]:
            # The request's session has ended by the time the file is sent.
            with database.scheme(caller.scheme_id, write=False) as session:
                yield from write(operations.desk_rows(session, wanted, now=at))

        name = f"safety-desk-{at:%Y-%m-%d}.{kind}"
        return Response(
            pieces(),
            content_type=MEDIA_TYPES[kind],
            headers={"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "no-store"},
        )


def _filter(query: dict[str, Any]) -> operations.DeskFilter:
    return operations.DeskFilter(
        clearance=query["clearance"], is_overdue=query["overdue"], missing=query["missing"], told=query["told"],
        area=query["area"] or None,
    )


def _shown(row: operations.DeskRow) -> dict[str, Any]:
    own = {field.name: getattr(row, field.name) for field in fields(row) if field.name not in ("details", "told_at")}
    details = row.details
    return {
        **own, "missing": details.missing, "not_clear": details.not_clear, "told": details.told, "visit": details.visit
    }
