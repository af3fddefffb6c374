"""Routines and journeys: for members of the home alone, an administrator has no way in."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.households import operations
from service.households.api.routes import blueprint, matched, with_etag, writing
from service.households.domain.diary import DatedJourney, WeeklyDeparture
from service.households.domain.ranges import build_each
from service.households.schemas import (
    JourneyChangeSchema,
    JourneyEntrySchema,
    JourneyListSchema,
    JourneySchema,
    RoutineSchema,
)
from service.infrastructure.http.access import require_own_household, requires
from service.infrastructure.http.etags import etagged, require_match
from service.infrastructure.http.transactions import idempotent, now, scheme_session

CAR = "/households/<id:household_id>/vehicles/<id:vehicle_id>"
NO_VEHICLE, NO_JOURNEY = "No such car in this home", "No such journey of this car"


@blueprint.route(f"{CAR}/routine")
class RoutineView(MethodView):
    """A car's week."""

    @requires("member")
    @etagged
    @blueprint.response(200, RoutineSchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def get(self, household_id: str, vehicle_id: str) -> object:
        """Get the weekly routine."""
        require_own_household(household_id)
        return with_etag(operations.get_routine(scheme_session(), household_id, vehicle_id))

    @requires("member")
    @etagged
    @blueprint.arguments(RoutineSchema)
    @blueprint.response(200, RoutineSchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def put(self, values: dict[str, Any], household_id: str, vehicle_id: str) -> object:
        """Replace the whole week."""
        require_own_household(household_id)
        session = scheme_session()
        version = operations.get_routine(session, household_id, vehicle_id).version
        require_match(version)
        departures = build_each("departures", values["departures"], WeeklyDeparture)
        return with_etag(
            operations.put_routine(
                session, household_id, vehicle_id, departures, of_version=version, **writing()
            )
        )


@blueprint.route(f"{CAR}/journeys")
class JourneysView(MethodView):
    """A car's dated journeys."""

    @requires("member")
    @blueprint.response(200, JourneyListSchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def get(self, household_id: str, vehicle_id: str) -> object:
        """List the journeys that are not over."""
        require_own_household(household_id)
        return {"items": operations.list_journeys(scheme_session(), household_id, vehicle_id, from_at=now())}

    @requires("member")
    @idempotent
    @blueprint.arguments(JourneyEntrySchema)
    @etagged
    @blueprint.response(201, JourneySchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def post(self, values: dict[str, Any], household_id: str, vehicle_id: str) -> object:
        """Enter a journey."""
        require_own_household(household_id)
        return with_etag(
            operations.add_journey(scheme_session(), household_id, vehicle_id, DatedJourney(**values), **writing())
        )


@blueprint.route(f"{CAR}/journeys/<id:journey_id>")
class JourneyView(MethodView):
    """One dated journey."""

    @requires("member")
    @etagged
    @blueprint.response(200, JourneySchema)
    @blueprint.alt_response(404, description=NO_JOURNEY)
    def get(self, household_id: str, vehicle_id: str, journey_id: str) -> object:
        """Get a journey."""
        require_own_household(household_id)
        return with_etag(operations.get_journey(scheme_session(), household_id, vehicle_id, journey_id))

    @requires("member")
    @etagged
    @blueprint.arguments(JourneyChangeSchema)
    @blueprint.response(200, JourneySchema)
    @blueprint.alt_response(404, description=NO_JOURNEY)
    def patch(self, values: dict[str, Any], household_id: str, vehicle_id: str, journey_id: str) -> object:
        """Change some fields of a journey."""
        require_own_household(household_id)
        session = scheme_session()
        journey = matched(operations.get_journey(session, household_id, vehicle_id, journey_id))
        return with_etag(
            operations.change_journey(session, household_id, vehicle_id, journey.id, values, **writing())
        )

    @requires("member")
    @etagged
    @blueprint.response(204)
    @blueprint.alt_response(404, description=NO_JOURNEY)
    def delete(self, household_id: str, vehicle_id: str, journey_id: str) -> None:
        """Take a journey out."""
        require_own_household(household_id)
        session = scheme_session()
        journey = matched(operations.get_journey(session, household_id, vehicle_id, journey_id))
        operations.remove_journey(session, household_id, vehicle_id, journey.id, **writing())
