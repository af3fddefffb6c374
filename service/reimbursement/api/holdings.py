"""How cars are held, and business miles that were paid elsewhere."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import require_visible_household, requires
from service.infrastructure.http.etags import etag_headers, etagged, require_match
from service.infrastructure.http.transactions import idempotent, scheme_session
from service.reimbursement.api.routes import HOME, blueprint, conflict, own, writing
from service.reimbursement.domain.months import tax_year_words
from service.reimbursement.operations import elsewhere, holdings
from service.reimbursement.operations.holdings import HoldingView
from service.reimbursement.schemas import (
    CarHoldingEntrySchema,
    CarHoldingListSchema,
    CarHoldingSchema,
    MilesElsewhereSchema,
)

NO_CAR = "No such car in this home"


@blueprint.route(f"{HOME}/car_holdings")
class CarHoldingsView(MethodView):
    """Whose cars they are, over time."""

    @requires("administrator", "member")
    @blueprint.response(200, CarHoldingListSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, household_id: str) -> object:
        """List the holdings of a home's cars, the newest first."""
        require_visible_household(household_id)
        return {"items": [_shown(view) for view in holdings.list_holdings(scheme_session(), household_id)]}

    @requires("administrator", "member")
    @idempotent
    @blueprint.arguments(CarHoldingEntrySchema)
    @blueprint.response(201, CarHoldingSchema)
    @blueprint.alt_response(404, description=NO_CAR)
    @conflict(description="The car has a holding from this day already")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """State whose car it is from a day on; one on salary sacrifice is a company car."""
        require_visible_household(household_id)
        return _shown(holdings.add_holding(scheme_session(), household_id, **values, **writing()))


@blueprint.route(f"{HOME}/car_holdings/<id:car_holding_id>")
class CarHoldingView(MethodView):
    """One holding."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(204)
    @blueprint.alt_response(404, description="No such holding")
    def delete(self, household_id: str, car_holding_id: str) -> None:
        """Take a holding out; it never changes, so its id is its ETag."""
        require_visible_household(household_id)
        session = scheme_session()
        require_match(holdings.get_holding(session, household_id, car_holding_id).id)
        holdings.remove_holding(session, household_id, car_holding_id, **writing())


@blueprint.route(f"{HOME}/miles_elsewhere")
class MilesElsewhereView(MethodView):
    """What the member was paid for outside this service."""

    @requires("member")
    @etagged
    @blueprint.response(200, MilesElsewhereSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, household_id: str) -> object:
        """Get the business miles in an own car that the employer paid outside this service, by tax year."""
        owner = own(household_id)
        return _years(elsewhere.get_elsewhere(scheme_session(), owner.account_id))

    @requires("member")
    @etagged
    @blueprint.arguments(MilesElsewhereSchema)
    @blueprint.response(200, MilesElsewhereSchema)
    @blueprint.alt_response(404, description="No such household")
    def put(self, values: dict[str, Any], household_id: str) -> object:
        """Replace what is stated; claims that were sent keep their money, the next one adjusts the tax year."""
        owner, session = own(household_id), scheme_session()
        version = elsewhere.version_of(elsewhere.get_elsewhere(session, owner.account_id))
        require_match(version)
        lines = [(item["tax_year_from_on"], item["miles"]) for item in values["items"]]
        return _years(
            elsewhere.put_elsewhere(
                session, owner.account_id, household_id, lines, of_version=version, **writing()
            )
        )


def _years(miles_by_year: dict[Any, Any]) -> object:
    items = [
        {"tax_year_from_on": year, "tax_year": tax_year_words(year), "miles": miles}
        for year, miles in miles_by_year.items()
    ]
    return {"items": items}, 200, etag_headers(elsewhere.version_of(miles_by_year))


def _shown(view: HoldingView) -> dict[str, Any]:
    row = view.row
    return {
        "id": row.id,
        "vehicle_id": row.vehicle_id,
        "vehicle_label": view.vehicle_label,
        "from_on": row.from_on,
        "held_as": row.held_as,
        "recorded_at": row.recorded_at,
    }
