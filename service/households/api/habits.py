"""A home's habits, and the diary of each car."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from flask.views import MethodView

from service.households import operations
from service.households.api.routes import blueprint, matched, with_etag, writing
from service.households.domain.diary_days import DiaryEntry
from service.households.domain.habit_details import HabitDetails
from service.households.domain.ranges import build_each
from service.households.schemas import DiaryEntriesSchema, DiarySchema, HabitsSchema
from service.infrastructure.http.access import require_own_household, require_visible_household, requires
from service.infrastructure.http.etags import etagged
from service.infrastructure.http.transactions import idempotent, now, scheme_session

DIARY = "/households/<id:household_id>/vehicles/<id:vehicle_id>/diary"
NO_VEHICLE = "No such car in this home"
SHOWN_DAYS = 90


@blueprint.route("/households/<id:household_id>/habits")
class HabitsView(MethodView):
    """When people swap cars, when it is quiet, how sure a plan is to be."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, HabitsSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, household_id: str) -> object:
        """Get the home's habits."""
        require_visible_household(household_id)
        return with_etag(operations.get_habits(scheme_session(), household_id))

    @requires("administrator", "member")
    @etagged
    @blueprint.arguments(HabitsSchema)
    @blueprint.response(200, HabitsSchema)
    @blueprint.alt_response(404, description="No such household")
    def put(self, values: dict[str, Any], household_id: str) -> object:
        """Replace the home's habits."""
        require_visible_household(household_id)
        session = scheme_session()
        home = matched(operations.get_habits(session, household_id))
        return with_etag(operations.put_habits(session, home.id, HabitDetails(**values), **writing()))


@blueprint.route(DIARY)
class DiaryView(MethodView):
    """The miles of single days."""

    @requires("member")
    @blueprint.response(200, DiarySchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def get(self, household_id: str, vehicle_id: str) -> object:
        """List the days of the last three months."""
        require_own_household(household_id)
        since = now().date() - timedelta(days=SHOWN_DAYS)
        return {"items": operations.list_days(scheme_session(), household_id, vehicle_id, since=since)}

    @requires("member")
    @idempotent
    @blueprint.arguments(DiaryEntriesSchema)
    @blueprint.response(201, DiarySchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def post(self, values: dict[str, Any], household_id: str, vehicle_id: str) -> object:
        """Enter some days."""
        require_own_household(household_id)
        entries = build_each("days", values["days"], DiaryEntry)
        return {"items": operations.enter_days(scheme_session(), household_id, vehicle_id, entries, **writing())}


@blueprint.route(f"{DIARY}/<id:day_id>")
class DiaryDayView(MethodView):
    """One day of a diary."""

    @requires("member")
    @blueprint.response(204)
    @blueprint.alt_response(404, description="No such day in the diary")
    def delete(self, household_id: str, vehicle_id: str, day_id: str) -> None:
        """Take a day out."""
        require_own_household(household_id)
        operations.remove_day(scheme_session(), household_id, vehicle_id, day_id, **writing())
