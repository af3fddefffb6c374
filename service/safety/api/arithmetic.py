"""The arithmetic of a home, with its working: shown on the household's page and after the survey's steps."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from flask.views import MethodView

from service.common.errors import Fault
from service.infrastructure.http.access import require_visible_household, requires
from service.infrastructure.http.transactions import scheme_session
from service.safety import operations
from service.safety.api.routes import blueprint
from service.safety.domain.circuit_arithmetic import CircuitArithmetic
from service.safety.domain.home_demand import OtherEvidence, SupplyDoubts
from service.safety.schemas import (
    CircuitArithmeticSchema,
    DemandQuerySchema,
    DemandSchema,
    RingQuerySchema,
)


@blueprint.route("/households/<id:household_id>/demand")
class DemandView(MethodView):
    """The home's maximum demand."""

    @requires("administrator", "member")
    @blueprint.arguments(DemandQuerySchema, location="query")
    @blueprint.response(200, DemandSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """Get the demand row by row, and whether the network operator is told after connecting or asked before."""
        require_visible_household(household_id)
        doubts = SupplyDoubts(**{field.name: query.pop(field.name) for field in fields(SupplyDoubts)})
        found = operations.get_demand(scheme_session(), household_id, doubts, OtherEvidence(**query))
        return {
            "demand_a": found.demand_a,
            "at_least_a": found.at_least_a,
            "method": found.method,
            "rows": found.rows,
            "not_known": found.not_known,
            "action": found.notice.action if found.notice else None,
            "reasons": found.notice.reasons if found.notice else (),
            "refused": _refused(found.refused),
            "working": found.working.steps,
        }


@blueprint.route("/households/<id:household_id>/circuits/<id:circuit_id>/arithmetic")
class CircuitArithmeticView(MethodView):
    """What a circuit may carry."""

    @requires("administrator", "member")
    @blueprint.arguments(RingQuerySchema, location="query")
    @blueprint.response(200, CircuitArithmeticSchema)
    @blueprint.alt_response(404, description="No such circuit in this home")
    def get(self, query: dict[str, Any], household_id: str, circuit_id: str) -> object:
        """Get the weakest run's capacity, the voltage drop along the runs and a ring's split."""
        require_visible_household(household_id)
        found = operations.get_circuit_arithmetic(scheme_session(), household_id, circuit_id, **query)
        own = {field.name: getattr(found, field.name) for field in fields(CircuitArithmetic)}
        return {**own, "refused": _refused(found.refused), "working": found.working.steps}


def _refused(faults: tuple[Fault, ...]) -> list[dict[str, str]]:
    return [{"field": fault.field, "value": str(fault.value), "rule": fault.rule} for fault in faults]
