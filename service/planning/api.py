"""Plans, runs and the preview of a tariff version over HTTP.  Nothing is computed on a read of a plan."""

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import require_own_household, requires
from service.infrastructure.http.bodies import ApiBlueprint
from service.infrastructure.http.etags import etag_headers, etagged
from service.infrastructure.http.paging import Page, first_row, page_schema
from service.infrastructure.http.transactions import now, scheme_session
from service.planning.operations import preview, reads
from service.planning.schemas import (
    PlanSchema,
    PlanWorkingSchema,
    PreviewSchema,
    RunQuery,
    RunSchema,
    TotalsSchema,
    WeekSchema,
)

blueprint = ApiBlueprint("plans", __name__, description="The plan of a home, and runs that replan many homes.")


@blueprint.route("/households/<id:household_id>/plan")
class PlanView(MethodView):
    """The plan in force."""

    @requires("member")
    @etagged
    @blueprint.response(200, PlanSchema)
    def get(self, household_id: str) -> Any:
        """Return the plan in force: when to plug in, what to set, what it costs."""
        require_own_household(household_id)
        found = reads.get_shown_plan(scheme_session(), household_id)
        is_stopped = found.stopped_at is not None
        headers = etag_headers(found.plan_id, int(found.is_current), int(is_stopped))
        stop = {"is_stopped": is_stopped, "stopped_at": found.stopped_at and found.stopped_at.isoformat()}
        return {**found.document, "is_current": found.is_current, **stop}, 200, headers


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
