"""The scheme's lists over HTTP: homes with standing and totals, and the delivery record of mail."""

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import requires
from service.infrastructure.http.paging import Page, first_row, page_schema, sort_key
from service.infrastructure.http.transactions import now, scheme_session
from service.reporting import operations
from service.reporting.api.routes import blueprint
from service.reporting.schemas import HomeQuery, HouseholdRowSchema, MailQuery, MailRowSchema, TariffUsesSchema


@blueprint.route("/households")
class HomesView(MethodView):
    """The scheme's homes."""

    @requires("administrator")
    @blueprint.arguments(HomeQuery, location="query")
    @blueprint.response(200, page_schema(HouseholdRowSchema))
    def get(self, query: dict[str, Any]) -> Any:
        """List homes with their standing and the week's totals."""
        key = sort_key(query["sort"], tuple(operations.SORTS))
        wanted = operations.HomeFilter(
            search=query["search"],
            clearance=query["clearance"],
            tariff_id=query["tariff_id"],
            has_shortfall=query["shortfall"],
            is_overdue=query["overdue"],
        )
        rows, total = operations.list_homes(
            scheme_session(),
            wanted,
            sort=key.name,
            is_descending=key.is_descending,
            first=first_row(query["page"], query["page_size"]),
            limit=query["page_size"],
            today=now().date(),
        )
        return Page(rows, total, query["page"], query["page_size"])


@blueprint.route("/mail")
class MailView(MethodView):
    """The delivery record."""

    @requires("administrator")
    @blueprint.arguments(MailQuery, location="query")
    @blueprint.response(200, page_schema(MailRowSchema))
    def get(self, query: dict[str, Any]) -> Any:
        """List what was sent, to which home, and what became of it."""
        rows, total = operations.list_mail(
            scheme_session(),
            operations.MailFilter(query["status"], query["kind"], query["household_id"], query["problem"]),
            is_problem_first=query["sort"] == "problems",
            first=first_row(query["page"], query["page_size"]),
            limit=query["page_size"],
        )
        return Page(rows, total, query["page"], query["page_size"])


@blueprint.route("/tariff_uses")
class TariffUsesView(MethodView):
    """How many homes are on each tariff."""

    @requires("administrator")
    @blueprint.response(200, TariffUsesSchema)
    def get(self) -> Any:
        """Count the homes with a contract in force today, tariff by tariff."""
        counts = operations.count_homes_by_tariff(scheme_session(), today=now().date())
        return {"items": [{"tariff_id": key, "household_count": count} for key, count in sorted(counts.items())]}
