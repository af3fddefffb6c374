"""The supervised first charge, and the photo of what a lead is set to."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import require_own_household, require_visible_household, requires
from service.infrastructure.http.paging import Page, PageQuery, first_row, page_schema
from service.infrastructure.http.transactions import idempotent, now, scheme_session
from service.safety import operations
from service.safety.api.routes import blueprint, writing
from service.safety.api.signs import do_now_of, reports_of
from service.safety.domain.supervised_charge import STATE_WORDS, FeelAnswer
from service.safety.operations import SupervisedView
from service.safety.schemas import (
    FeelingEntrySchema,
    FeelingSchema,
    SettingPhotoSchema,
    SettingShownSchema,
    SupervisedChargeSchema,
    SupervisedEntrySchema,
)


@blueprint.route("/households/<id:household_id>/supervised_charges")
class SupervisedChargesView(MethodView):
    """Charges with somebody awake at home."""

    @requires("administrator", "member")
    @blueprint.arguments(PageQuery, location="query")
    @blueprint.response(200, page_schema(SupervisedChargeSchema))
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """List the home's supervised charges, the newest first."""
        require_visible_household(household_id)
        page, size = query["page"], query["page_size"]
        views, total = operations.list_supervised(
            scheme_session(), household_id, at=now(), first=first_row(page, size), limit=size
        )
        return Page([_shown(view) for view in views], total, page, size)

    @requires("member")
    @idempotent
    @blueprint.arguments(SupervisedEntrySchema)
    @blueprint.response(201, SupervisedChargeSchema)
    @blueprint.alt_response(409, description="No accepted inspection counts, or outlet or lead must not be used")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Start a supervised charge now; one of the same outlet that is still open ends without a result."""
        require_own_household(household_id)
        view = operations.start_supervised(scheme_session(), household_id, **values, **writing())
        return _shown(view)


@blueprint.route("/households/<id:household_id>/supervised_charges/<id:charge_id>/feelings")
class FeelingsView(MethodView):
    """What was felt during a supervised charge."""

    @requires("member")
    @idempotent
    @blueprint.arguments(FeelingEntrySchema)
    @blueprint.response(200, FeelingSchema)
    @blueprint.alt_response(404, description="No such supervised charge of this home")
    @blueprint.alt_response(409, description="It has ended; heat is recorded all the same")
    def post(self, values: dict[str, FeelAnswer], household_id: str, charge_id: str) -> object:
        """Record how plug and socket feel; heat stops their use at once, and the reply leads with what to do now.

        Without heat the first feeling counts from half an hour after the start, the second from two hours.
        """
        require_own_household(household_id)
        view, report_ids = operations.record_feeling(
            scheme_session(), household_id, charge_id, values["answer"], **writing()
        )
        return {
            "do_now": do_now_of(household_id, report_ids),
            "charge": _shown(view),
            "reports": reports_of(household_id, report_ids),
        }


@blueprint.route("/households/<id:household_id>/leads/<id:lead_id>/setting_photo")
class SettingPhotoView(MethodView):
    """What a lead is set to, as a photo shows."""

    @requires("member")
    @idempotent
    @blueprint.arguments(SettingPhotoSchema)
    @blueprint.response(200, SettingShownSchema)
    @blueprint.alt_response(404, description="No such lead of this home")
    def post(self, values: dict[str, Any], household_id: str, lead_id: str) -> object:
        """Keep the photo with the current it shows; plans reckon with that current from now on."""
        require_own_household(household_id)
        lead = operations.record_setting_photo(scheme_session(), household_id, lead_id, **values, **writing())
        return {
            "lead_id": lead.id, "set_a": lead.set_a, "setting_shown_a": lead.setting_shown_a,
            "setting_shown_at": lead.setting_shown_at, "file_id": lead.setting_file_id,
        }


def _shown(view: SupervisedView) -> dict[str, Any]:
    charge, course = view.charge, view.course
    stored = {
        name: getattr(charge, name)
        for name in ("id", "outlet_id", "lead_id", "current_a", "started_at", "first_felt_at", "first_answer",
                     "later_felt_at", "later_answer", "ended_at", "is_clear")
    }  # fmt: skip
    times = {"first_from_at": course.first_from_at, "later_from_at": course.later_from_at, "until_at": course.until_at}
    return {**stored, **times, "state": view.state, "words": STATE_WORDS[view.state]}
