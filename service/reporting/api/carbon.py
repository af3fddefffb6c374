"""Carbon over HTTP: a home's for its members, the scheme's for its administrators."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import require_own_household, requires
from service.infrastructure.http.transactions import now, scheme_session
from service.reporting import operations
from service.reporting.api.routes import blueprint
from service.reporting.domain.carbon import CarbonMonth
from service.reporting.domain.carbon_factors import SIZES
from service.reporting.schemas import CarbonQuery, CarbonSchema, SchemeCarbonSchema


@blueprint.route("/households/<id:household_id>/carbon")
class HomeCarbonView(MethodView):
    """What a home's charging stands for."""

    @requires("member")
    @blueprint.arguments(CarbonQuery, location="query")
    @blueprint.response(200, CarbonSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """Get emissions of a home's charging beside those of petrol cars over the same miles, with the working."""
        require_own_household(household_id)
        return _shown(operations.get_home_carbon(scheme_session(), household_id, **query, at=now()))


@blueprint.route("/carbon")
class SchemeCarbonView(MethodView):
    """What the scheme's charging stands for."""

    @requires("administrator")
    @blueprint.arguments(CarbonQuery, location="query")
    @blueprint.response(200, SchemeCarbonSchema)
    def get(self, query: dict[str, Any]) -> object:
        """Get the same of all homes in whole months, as sums of five homes or more."""
        found = operations.get_scheme_carbon(scheme_session(), **query, at=now())
        return {
            **_shown(found.report),
            "household_count": found.household_count,
            "told_household_count": found.told_household_count,
            "fewest_households": operations.FEWEST_HOMES,
        }


def _shown(report: operations.CarbonReport) -> dict[str, Any]:
    account = report.account
    return {
        "from_on": report.period.from_on,
        "to_on": report.period.to_on,
        "set_years": list(report.set_years),
        "energy": account.driven,
        "told_miles": account.driven.told_miles,
        "estimated_miles": account.driven.estimated_miles,
        "electricity_g": account.electricity_g,
        "petrol_cars": [
            {"size": size, "emitted_g": account.petrol_g(size), "saved_g": account.saved_g(size)} for size in SIZES
        ],
        "months": [_month(each) for each in account.months],
        "planned_wh": report.planned_wh,
        "planned_g": report.planned_g,
        "notes": list(report.notes),
        "working": [step.to_json() for step in report.working],
    }


def _month(each: CarbonMonth) -> dict[str, Any]:
    return {
        "month_on": each.month_on,
        "energy_wh": each.driven.energy_wh,
        "estimated_wh": each.driven.estimated_wh,
        "miles": each.driven.miles,
        "electricity_g": each.electricity_g,
        "petrol_g": each.petrol_g["average"] if each.petrol_g else None,
    }
