"""Works at a home's outlet over HTTP: the verdict, quotes, and the scheme's list for a budget with its export."""

from __future__ import annotations

from typing import Any

from flask import Response
from flask.views import MethodView

from service.accounts.operations import audit
from service.advice.api.routes import blueprint
from service.advice.api.upgrade_shapes import shown_scheme, shown_upgrade
from service.advice.documents.upgrades_csv import upgrades_csv
from service.advice.documents.upgrades_xlsx import upgrades_xlsx
from service.advice.domain.upgrade_quotes import QuoteDetails
from service.advice.domain.upgrade_second_car import OneMoreCar
from service.advice.models import UpgradeQuote
from service.advice.operations import upgrade_quotes
from service.advice.operations.upgrade_scheme import rank_upgrades
from service.advice.operations.upgrades import get_upgrade
from service.advice.schemas.upgrades import (
    SECOND,
    QuoteChangeSchema,
    QuoteEntrySchema,
    QuoteListSchema,
    QuoteSchema,
    SchemeUpgradesQuery,
    SchemeUpgradesSchema,
    UpgradeQuery,
    UpgradeSchema,
    UpgradesExportQuery,
)
from service.common.errors import Forbidden
from service.common.units import WH_PER_KWH
from service.infrastructure.http.access import principal, require_visible_household, requires
from service.infrastructure.http.etags import etag_headers, etagged, require_match
from service.infrastructure.http.transactions import idempotent, now, scheme_session, write_afterwards

HOME = "/households/<id:household_id>"
NO_QUOTE = "No such quote of this home"
MEDIA_TYPES = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


@blueprint.route(f"{HOME}/upgrade")
class UpgradeView(MethodView):
    """Whether a faster charging point is worth it."""

    @requires("administrator", "member")
    @blueprint.arguments(UpgradeQuery, location="query")
    @blueprint.response(200, UpgradeSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """Plan the coming week as it is and after each work, and weigh a year of it against the cost."""
        require_visible_household(household_id)
        second = _second_car(query)
        if second is not None and principal().household_id != household_id:
            raise Forbidden("What a second car would do is a question of the home's own members.")
        return shown_upgrade(get_upgrade(scheme_session(), household_id, second, at=now()))


@blueprint.route(f"{HOME}/upgrade_quotes")
class QuotesView(MethodView):
    """Quotes for works at a home."""

    @requires("administrator", "member")
    @blueprint.response(200, QuoteListSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, household_id: str) -> object:
        """List a home's quotes, the newest first."""
        require_visible_household(household_id)
        quotes = upgrade_quotes.list_quotes(scheme_session(), household_id)
        return {"items": [_shown_quote(quote) for quote in quotes], "most": upgrade_quotes.MOST_KEPT}

    @requires("administrator", "member")
    @idempotent
    @blueprint.arguments(QuoteEntrySchema)
    @etagged
    @blueprint.response(201, QuoteSchema)
    @blueprint.alt_response(409, description="The home keeps as many quotes as it may")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Enter a quote."""
        require_visible_household(household_id)
        details = QuoteDetails(**_typed(values))
        return _with_etag(upgrade_quotes.add_quote(scheme_session(), household_id, details, **_writing()))


@blueprint.route(f"{HOME}/upgrade_quotes/<id:quote_id>")
class QuoteView(MethodView):
    """One quote."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, QuoteSchema)
    @blueprint.alt_response(404, description=NO_QUOTE)
    def get(self, household_id: str, quote_id: str) -> object:
        """Get a quote."""
        require_visible_household(household_id)
        return _with_etag(upgrade_quotes.get_quote(scheme_session(), household_id, quote_id))

    @requires("administrator", "member")
    @etagged
    @blueprint.arguments(QuoteChangeSchema)
    @blueprint.response(200, QuoteSchema)
    @blueprint.alt_response(404, description=NO_QUOTE)
    def patch(self, values: dict[str, Any], household_id: str, quote_id: str) -> object:
        """Change some fields of a quote."""
        require_visible_household(household_id)
        session = scheme_session()
        quote = upgrade_quotes.get_quote(session, household_id, quote_id)
        require_match(quote.version)
        return _with_etag(
            upgrade_quotes.change_quote(session, household_id, quote.id, _typed(values), **_writing())
        )

    @requires("administrator", "member")
    @etagged
    @blueprint.response(204)
    @blueprint.alt_response(404, description=NO_QUOTE)
    def delete(self, household_id: str, quote_id: str) -> None:
        """Delete a quote."""
        require_visible_household(household_id)
        session = scheme_session()
        quote = upgrade_quotes.get_quote(session, household_id, quote_id)
        require_match(quote.version)
        upgrade_quotes.remove_quote(session, household_id, quote.id, **_writing())


@blueprint.route("/upgrades")
class SchemeUpgradesView(MethodView):
    """Which homes first."""

    @requires("administrator")
    @blueprint.arguments(SchemeUpgradesQuery, location="query")
    @blueprint.response(200, SchemeUpgradesSchema)
    def get(self, query: dict[str, Any]) -> object:
        """Rank the scheme's homes for a budget: stopped ones first, then the best set of the others."""
        return shown_scheme(rank_upgrades(scheme_session(), query["budget_pounds"], at=now()))


@blueprint.route("/upgrades/export")
class SchemeUpgradesExportView(MethodView):
    """The ranking as a file."""

    @requires("administrator")
    @blueprint.arguments(UpgradesExportQuery, location="query")
    @blueprint.response(200, {"type": "string", "format": "binary"}, content_type="application/octet-stream")
    def get(self, query: dict[str, Any]) -> object:
        """Get the ranking as CSV or XLSX; the export is written into the audit trail."""
        kind, at, caller = query["format"], now(), principal()
        found = rank_upgrades(scheme_session(), query["budget_pounds"], at=at)
        write_afterwards(
            lambda session: audit(
                session, account_id=caller.account_id, action="export", subject_kind="upgrades",
                subject_id=caller.scheme_id, at=at,
            )
        )
        write = upgrades_csv if kind == "csv" else upgrades_xlsx
        name = f"upgrades-{at:%Y-%m-%d}.{kind}"
        return Response(
            write(found.ranking.rows),
            content_type=MEDIA_TYPES[kind],
            headers={"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "no-store"},
        )


def _second_car(query: dict[str, Any]) -> OneMoreCar | None:
    if query["second_miles"] is None:
        return None
    given = {name.removeprefix(SECOND): value for name, value in query.items()}
    return OneMoreCar(battery_wh=int(given.pop("battery_kwh") * WH_PER_KWH), **given)


def _typed(values: dict[str, Any]) -> dict[str, Any]:
    return {name: int(value) if name == "cost_pence" else value for name, value in values.items()}


def _writing() -> dict[str, Any]:
    return {"by": principal().account_id, "at": now()}


def _with_etag(quote: UpgradeQuote) -> tuple[dict[str, Any], dict[str, str]]:
    return _shown_quote(quote), etag_headers(quote.version)


def _shown_quote(quote: UpgradeQuote) -> dict[str, Any]:
    return {
        "id": quote.id,
        "kind": quote.kind,
        "cost_pence": quote.cost_pence,
        "quoted_on": quote.quoted_on,
        "note": quote.note,
    }
