"""Which tariff a home is on; an administrator enters it."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.households import operations
from service.households.api.routes import blueprint, with_etag, writing
from service.households.domain.contract_details import ContractDetails, MeterWindow
from service.households.domain.ranges import build_each
from service.households.schemas import ContractChangeSchema, ContractEntrySchema, ContractSchema
from service.infrastructure.http.access import require_visible_household, requires
from service.infrastructure.http.etags import etagged, require_match
from service.infrastructure.http.transactions import idempotent, scheme_session


def _with_windows(values: dict[str, Any]) -> dict[str, Any]:
    """Return the values with windows as the domain reads them, where any were sent."""
    if "windows" not in values:
        return values
    return {**values, "windows": build_each("windows", values["windows"], MeterWindow)}


@blueprint.route("/households/<id:household_id>/contracts")
class ContractsView(MethodView):
    """The home's contracts; they are listed with the home."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(ContractEntrySchema)
    @etagged
    @blueprint.response(201, ContractSchema)
    @blueprint.alt_response(404, description="No such household")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Put the home on a tariff; a period that overlaps another contract's is refused by name."""
        details = ContractDetails(**_with_windows(values))
        return with_etag(operations.add_contract(scheme_session(), household_id, details, **writing()))


@blueprint.route("/households/<id:household_id>/contracts/<id:contract_id>")
class ContractView(MethodView):
    """One contract."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, ContractSchema)
    @blueprint.alt_response(404, description="No such contract of this home")
    def get(self, household_id: str, contract_id: str) -> object:
        """Get a contract."""
        require_visible_household(household_id)
        return with_etag(operations.get_contract(scheme_session(), household_id, contract_id))

    @requires("administrator")
    @etagged
    @blueprint.arguments(ContractChangeSchema)
    @blueprint.response(200, ContractSchema)
    @blueprint.alt_response(404, description="No such contract of this home")
    def patch(self, values: dict[str, Any], household_id: str, contract_id: str) -> object:
        """Change some fields of a contract, most often its end."""
        session = scheme_session()
        version = operations.get_contract(session, household_id, contract_id).version
        require_match(version)
        changed = operations.change_contract(
            session, household_id, contract_id, _with_windows(values), of_version=version, **writing()
        )
        return with_etag(changed)
