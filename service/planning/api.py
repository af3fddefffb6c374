"""Plans, runs and the preview of a tariff version over HTTP.  A plan is read as it was stored, brief ones apart."""

from typing import Any

from flask import Response
from flask.views import MethodView

from service.infrastructure.http.access import principal, require_own_household, requires
from service.infrastructure.http.bodies import ApiBlueprint
from service.infrastructure.http.etags import etag_headers, etagged, require_match
from service.infrastructure.http.paging import Page, first_row, page_schema
from service.infrastructure.http.transactions import idempotent, now, scheme_session
from service.planning.documents.ocpp import charging_profile
from service.planning.domain.plan_document import without_reasons
from service.planning.domain.what_if import changes_of
from service.planning.domain.worth import AS_IF
from service.planning.domain.worth_knowing import WorthItem
from service.planning.models import WhatIf
from service.planning.operations import preview, reads, what_if
from service.planning.operations.outlet_schedule import get_outlet_schedule
from service.planning.schemas import (
    ChangesSchema,
    ChargingProfileQuery,
    PlanQuery,
    PlanSchema,
    PlanWorkingSchema,
    PreviewSchema,
    RunQuery,
    RunSchema,
    SharedWhatIfListSchema,
    SharingSchema,
    TariffChoiceListSchema,
    TotalsSchema,
    WeekSchema,
    WhatIfEntrySchema,
    WhatIfListSchema,
    WhatIfSchema,
    WorthSchema,
)

blueprint = ApiBlueprint("plans", __name__, description="The plan of a home, and runs that replan many homes.")


@blueprint.route("/households/<id:household_id>/plan")
class PlanView(MethodView):
    """The plan in force."""

    @requires("member")
    @etagged
    @blueprint.arguments(PlanQuery, location="query")
    @blueprint.response(200, PlanSchema)
    def get(self, query: dict[str, Any], household_id: str) -> Any:
        """Return the plan in force: when to plug in, what to set, what it costs."""
        require_own_household(household_id)
        found = reads.get_shown_plan(scheme_session(), household_id)
        is_stopped = found.stopped_at is not None
        headers = etag_headers(found.plan_id, int(found.is_current), int(is_stopped))
        stop = {"is_stopped": is_stopped, "stopped_at": found.stopped_at and found.stopped_at.isoformat()}
        document = without_reasons(found.document) if query["is_brief"] else found.document
        return {**document, "is_current": found.is_current, **stop}, 200, headers


@blueprint.route("/households/<id:household_id>/plan/week")
class WeekView(MethodView):
    """The plan's half-hours."""

    @requires("member")
    @blueprint.response(200, WeekSchema)
    def get(self, household_id: str) -> Any:
        """Return price and charging for each half-hour of the plan."""
        require_own_household(household_id)
        return reads.get_week(scheme_session(), household_id)


@blueprint.route("/households/<id:household_id>/plan/working")
class WorkingView(MethodView):
    """How the plan came about."""

    @requires("member")
    @blueprint.response(200, PlanWorkingSchema)
    def get(self, household_id: str) -> Any:
        """Return the working behind the plan: inputs, rules, sources, results."""
        require_own_household(household_id)
        return {"steps": reads.get_working(scheme_session(), household_id)}


@blueprint.route("/households/<id:household_id>/plan/charging_profile")
class ChargingProfileView(MethodView):
    """A car's plan for its charging point.  For members alone: it spells out when a home charges."""

    @requires("member")
    @blueprint.arguments(ChargingProfileQuery, location="query")
    @blueprint.response(200, {"type": "object"}, description="A request SetChargingProfile of OCPP")
    @blueprint.alt_response(404, description="No such car in this home")
    @blueprint.alt_response(409, description="The car may not be charged at its outlet now, or the plan is not current")
    def get(self, query: dict[str, Any], household_id: str) -> Any:
        """Return the plan in force as an OCPP charging profile, never above what may be drawn there now."""
        require_own_household(household_id)
        schedule = get_outlet_schedule(scheme_session(), household_id, query["vehicle_id"], at=now())
        name = f"charging-profile-ocpp-{query['version']}.json"
        return Response(
            charging_profile(schedule, query["version"]),
            content_type="application/json",
            headers={"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "no-store"},
        )


@blueprint.route("/households/<id:household_id>/totals")
class TotalsView(MethodView):
    """A home's totals for its administrator."""

    @requires("administrator")
    @blueprint.response(200, TotalsSchema)
    def get(self, household_id: str) -> Any:
        """Return the week's totals; 404 while the home has no plan."""
        totals = reads.find_totals(scheme_session(), household_id)
        if totals is None:
            raise reads.NoPlanYet("This home has no plan so far.")
        return totals


@blueprint.route("/runs")
class RunsView(MethodView):
    """Runs, newest first."""

    @requires("administrator")
    @blueprint.arguments(RunQuery, location="query")
    @blueprint.response(200, page_schema(RunSchema))
    def get(self, query: dict[str, Any]) -> Any:
        """List the runs that replanned many homes, those of one tariff version if asked."""
        rows, total = reads.list_runs(
            scheme_session(),
            version_id=query["version_id"],
            first=first_row(query["page"], query["page_size"]),
            limit=query["page_size"],
        )
        return Page([_shown_run(row) for row in rows], total, query["page"], query["page_size"])


@blueprint.route("/runs/<id:run_id>")
class RunView(MethodView):
    """One run."""

    @requires("administrator")
    @blueprint.response(200, RunSchema)
    def get(self, run_id: str) -> Any:
        """Return a run's progress."""
        return _shown_run(reads.get_run(scheme_session(), run_id))


def _shown_run(progress: reads.RunProgress) -> dict[str, Any]:
    run = progress.run
    return {
        "id": run.id,
        "reason": run.reason,
        "label": run.label,
        "created_at": run.created_at,
        "finished_at": run.finished_at,
        "household_count": run.household_count,
        "chunk_count": run.chunk_count,
        "chunks_done": progress.chunks_done,
        "done_count": progress.done_count,
        "changed_count": progress.changed_count,
        "moved_count": progress.moved_count,
    }


@blueprint.route("/tariffs/<id:tariff_id>/versions/<id:version_id>/preview")
class PreviewView(MethodView):
    """What publishing would do."""

    @requires("administrator")
    @blueprint.response(200, PreviewSchema)
    def get(self, tariff_id: str, version_id: str) -> Any:
        """Plan the tariff's homes with and without the version, store nothing, and count what differs."""
        return preview.preview_version(scheme_session(), tariff_id, version_id, at=now())


HOME = "/households/<id:household_id>"
NO_WHAT_IF = "No such comparison of this home"


@blueprint.route(f"{HOME}/plan/worth")
class WorthView(MethodView):
    """What small changes to a home are worth."""

    @requires("member")
    @blueprint.response(200, WorthSchema)
    def get(self, household_id: str) -> Any:
        """Plan the week anew with one thing changed at a time; worked out when asked, stored nowhere."""
        require_own_household(household_id)
        items = what_if.get_worth(scheme_session(), household_id, at=now())
        return {"as_if": AS_IF, "items": [_shown_worth(item) for item in items]}


@blueprint.route(f"{HOME}/tariff_choices")
class TariffChoicesView(MethodView):
    """Tariffs to compare with."""

    @requires("member")
    @blueprint.response(200, TariffChoiceListSchema)
    def get(self, household_id: str) -> Any:
        """List the scheme's tariffs that a comparison may name."""
        require_own_household(household_id)
        return {"items": what_if.list_tariff_choices(scheme_session(), household_id, at=now())}


@blueprint.route(f"{HOME}/what_ifs")
class WhatIfsView(MethodView):
    """Comparisons of a home with what it might be."""

    @requires("member")
    @blueprint.response(200, WhatIfListSchema)
    def get(self, household_id: str) -> Any:
        """List what is kept, newest first."""
        require_own_household(household_id)
        rows = what_if.list_what_ifs(scheme_session(), household_id)
        return {"items": [_shown_what_if(row) for row in rows], "most": what_if.MOST_KEPT}

    @requires("member")
    @idempotent
    @blueprint.arguments(WhatIfEntrySchema)
    @etagged
    @blueprint.response(201, WhatIfSchema)
    @blueprint.alt_response(409, description="The home keeps as many comparisons as it may")
    def post(self, values: dict[str, Any], household_id: str) -> Any:
        """Plan the home's week as it is and as it would be, and keep both."""
        require_own_household(household_id)
        row = what_if.compare(
            scheme_session(),
            household_id,
            label=values["label"],
            changes=changes_of(values["changes"]),
            stated=ChangesSchema().dump(values["changes"]),
            by=principal().account_id,
            at=now(),
        )
        return _shown_what_if(row), 201, etag_headers(row.version)


@blueprint.route(f"{HOME}/what_ifs/<id:what_if_id>")
class WhatIfView(MethodView):
    """One comparison."""

    @requires("member")
    @etagged
    @blueprint.response(200, WhatIfSchema)
    @blueprint.alt_response(404, description=NO_WHAT_IF)
    def get(self, household_id: str, what_if_id: str) -> Any:
        """Get a comparison as it was kept."""
        require_own_household(household_id)
        row = what_if.get_what_if(scheme_session(), household_id, what_if_id)
        return _shown_what_if(row), 200, etag_headers(row.version)

    @requires("member")
    @etagged
    @blueprint.response(204)
    @blueprint.alt_response(404, description=NO_WHAT_IF)
    def delete(self, household_id: str, what_if_id: str) -> None:
        """Delete a comparison."""
        require_own_household(household_id)
        session = scheme_session()
        row = what_if.get_what_if(session, household_id, what_if_id)
        require_match(row.version)
        what_if.remove_what_if(session, household_id, row.id, by=principal().account_id, at=now())


@blueprint.route(f"{HOME}/what_ifs/<id:what_if_id>/sharing")
class WhatIfSharingView(MethodView):
    """Who sees a comparison's totals."""

    @requires("member")
    @idempotent
    @blueprint.arguments(SharingSchema)
    @etagged
    @blueprint.response(200, WhatIfSchema)
    @blueprint.alt_response(404, description=NO_WHAT_IF)
    def post(self, values: dict[str, Any], household_id: str, what_if_id: str) -> Any:
        """Let the scheme's administrators see the totals, or no longer."""
        require_own_household(household_id)
        row = what_if.share_what_if(
            scheme_session(), household_id, what_if_id, **values, by=principal().account_id, at=now()
        )
        return _shown_what_if(row), 200, etag_headers(row.version)


@blueprint.route(f"{HOME}/shared_what_ifs")
class SharedWhatIfsView(MethodView):
    """What a home's members shared."""

    @requires("administrator")
    @blueprint.response(200, SharedWhatIfListSchema)
    def get(self, household_id: str) -> Any:
        """List shared comparisons as totals, newest first: nothing of when cars leave."""
        rows = what_if.list_what_ifs(scheme_session(), household_id, is_shared=True)
        return {"items": [_shown_what_if(row) for row in rows]}


def _shown_what_if(row: WhatIf) -> dict[str, Any]:
    result = row.result or {}
    return {
        "id": row.id,
        "label": row.label,
        "created_at": row.created_at,
        "is_shared": row.is_shared,
        "changes": ChangesSchema().load(row.changes),
        "result": {**result, "yearly": {**result["yearly"], "as_if": AS_IF}},
    }


def _shown_worth(item: WorthItem) -> dict[str, Any]:
    return {
        "kind": item.kind,
        "label": item.label,
        "before": item.before,
        "after": item.after,
        "saved_up": item.worth.saved_up,
        "closed_wh": item.worth.closed_wh,
        "working": [step.to_json() for step in item.working],
    }
