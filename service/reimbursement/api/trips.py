"""A member's business trips: the member's own business, nobody else has a way in."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from flask import request
from flask.views import MethodView

from service.common.errors import Fault, Rejected
from service.infrastructure.http.access import requires
from service.infrastructure.http.bodies import accepts
from service.infrastructure.http.etags import etag_headers, etagged, require_match
from service.infrastructure.http.paging import first_row
from service.infrastructure.http.transactions import idempotent, now, scheme_session
from service.reimbursement.api.routes import HOME, blueprint, conflict, month_of, own, writing
from service.reimbursement.domain.trip_details import TripDetails
from service.reimbursement.operations import trip_sources, trips
from service.reimbursement.operations.trip_sources import JourneyTrip
from service.reimbursement.operations.trips import TripView
from service.reimbursement.schemas import (
    BusinessTripChangeSchema,
    BusinessTripEntrySchema,
    BusinessTripListSchema,
    BusinessTripSchema,
    TakeableListSchema,
    TakenListSchema,
    TakenTripsSchema,
    TripImportQuery,
    TripImportSchema,
    TripQuery,
)

CSV_TYPE = "text/csv"
CSV_BODY = {
    "required": True,
    "description": "Header date,car,from,to,reason,miles in any order; the car by its label.",
    "content": {
        CSV_TYPE: {
            "schema": {"type": "string"},
            "example": "date,car,from,to,reason,miles\n2026-11-02,Blue hatchback,Depot,Site,Survey of a site,42.5\n",
        }
    },
}
NO_TRIP, FULL = "No such trip of the caller's", "The month has as many open trips as it may"
TRIP = f"{HOME}/business_trips/<id:business_trip_id>"


@blueprint.route(f"{HOME}/business_trips")
class BusinessTripsView(MethodView):
    """A member's trips."""

    @requires("member")
    @blueprint.arguments(TripQuery, location="query")
    @blueprint.response(200, BusinessTripListSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """List one's own trips, the newest first, and their miles."""
        owner = own(household_id)
        page, size = query["page"], query["page_size"]
        found = trips.list_trips(
            scheme_session(),
            owner,
            month=month_of(query),
            is_claimed=None if query["state"] is None else query["state"] == "claimed",
            first=first_row(page, size),
            limit=size,
        )
        items = [_shown(view) for view in found.items]
        return {"items": items, "total": found.total, "page": page, "page_size": size, "miles": found.miles}

    @requires("member")
    @idempotent
    @blueprint.arguments(BusinessTripEntrySchema)
    @etagged
    @blueprint.response(201, BusinessTripSchema)
    @blueprint.alt_response(404, description="No such car in this home")
    @conflict(description=FULL)
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Enter a trip that was driven."""
        vehicle_id = values.pop("vehicle_id")
        owner = own(household_id)
        return _with_etag(
            trips.add_trip(scheme_session(), owner, vehicle_id, TripDetails(**values), **writing()), 201
        )


@blueprint.route(TRIP)
class BusinessTripView(MethodView):
    """One trip."""

    @requires("member")
    @etagged
    @blueprint.response(200, BusinessTripSchema)
    @blueprint.alt_response(404, description=NO_TRIP)
    def get(self, household_id: str, business_trip_id: str) -> object:
        """Get a trip."""
        return _with_etag(trips.get_trip(scheme_session(), own(household_id), business_trip_id))

    @requires("member")
    @etagged
    @blueprint.arguments(BusinessTripChangeSchema)
    @blueprint.response(200, BusinessTripSchema)
    @blueprint.alt_response(404, description=NO_TRIP)
    @conflict(description="The trip is in a claim that was sent")
    def patch(self, values: dict[str, Any], household_id: str, business_trip_id: str) -> object:
        """Change some fields of a trip whose claim was not sent."""
        owner, session = own(household_id), scheme_session()
        view = trips.hold_trip(session, owner, business_trip_id)
        _match(view)
        return _with_etag(trips.change_trip(session, owner, view.row.id, values, **writing()))

    @requires("member")
    @etagged
    @blueprint.response(204)
    @blueprint.alt_response(404, description=NO_TRIP)
    @conflict(description="The trip is in a claim that was sent")
    def delete(self, household_id: str, business_trip_id: str) -> None:
        """Take a trip out."""
        owner, session = own(household_id), scheme_session()
        view = trips.hold_trip(session, owner, business_trip_id)
        _match(view)
        trips.remove_trip(session, owner, view.row.id, **writing())


@blueprint.route(f"{HOME}/business_trips/import")
class BusinessTripImportView(MethodView):
    """Trips as a CSV text."""

    @requires("member")
    @accepts(CSV_TYPE)
    @idempotent
    @blueprint.arguments(TripImportQuery, location="query")
    @blueprint.doc(requestBody=CSV_BODY)
    @blueprint.response(200, TripImportSchema)
    @blueprint.alt_response(404, description="No such household")
    @conflict(description=FULL)
    def post(self, query: dict[str, Any], household_id: str) -> object:
        """Read trips, and store them where none has a fault; ``is_dry_run`` only looks."""
        owner = own(household_id)
        found, is_stored = trip_sources.import_trips(
            scheme_session(), owner, _csv_text(), is_dry_run=query["is_dry_run"], **writing()
        )
        items = [
            {
                "line": trip.line,
                "on_date": trip.details.on_date,
                "vehicle_label": trip.vehicle_label,
                "origin": trip.details.origin,
                "destination": trip.details.destination,
                "reason": trip.details.reason,
                "miles": trip.details.miles,
            }
            for trip in found.trips
        ]
        miles = sum((trip.details.miles for trip in found.trips), Decimal(0))
        return {
            "is_stored": is_stored, "row_count": found.row_count, "miles": miles, "errors": found.faults,
            "items": items,
        }  # fmt: skip


@blueprint.route(f"{HOME}/business_journeys")
class BusinessJourneysView(MethodView):
    """Planned journeys to take as trips."""

    @requires("member")
    @blueprint.response(200, TakeableListSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, household_id: str) -> object:
        """List the home's journeys that are over or marked as business, the newest first."""
        return {"items": trip_sources.list_takeable(scheme_session(), own(household_id), at=now())}

    @requires("member")
    @idempotent
    @blueprint.arguments(TakenListSchema)
    @blueprint.response(201, TakenTripsSchema)
    @blueprint.alt_response(404, description="No such journey of this home")
    @conflict(description="A journey was taken already")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Take journeys that are over as trips, all or none."""
        wanted = [JourneyTrip(**journey) for journey in values["journeys"]]
        views = trip_sources.take_journeys(scheme_session(), own(household_id), wanted, **writing())
        return {"items": [_shown(view) for view in views]}


def _with_etag(view: TripView, status: int = 200) -> object:
    return _shown(view), status, etag_headers(*_version(view))


def _match(view: TripView) -> None:
    require_match(*_version(view))


def _version(view: TripView) -> tuple[int | str, ...]:
    """Return what a trip's ETag is made of: its own version, and where its claim stands."""
    return view.row.version, view.claim_state or "open"


def _shown(view: TripView) -> dict[str, Any]:
    row = view.row
    return {
        "id": row.id,
        "vehicle_id": row.vehicle_id,
        "vehicle_label": view.vehicle_label,
        "on_date": row.on_date,
        "origin": row.origin,
        "destination": row.destination,
        "reason": row.reason,
        "miles": row.miles,
        "source": row.source,
        "journey_id": row.journey_id,
        "claim_id": row.claim_id,
        "claim_state": view.claim_state,
        "is_locked": view.is_locked,
    }


def _csv_text() -> str:
    try:
        return request.get_data().decode("utf-8")
    except UnicodeDecodeError as error:
        raise Rejected(Fault("", None, f"the text is not UTF-8 at byte {error.start + 1}")) from error
