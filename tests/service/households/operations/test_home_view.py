"""One home with its parts."""

from datetime import date

import pytest

from service.common.errors import NotFound
from service.households import operations
from service.households.domain.contract_details import ContractDetails
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import WRITING, furnished_home
from tests.factories.tariffs import flat_draft, tariff_with


def test_a_home_is_shown_with_its_own_parts_only(session: SchemeSession) -> None:
    home, _other = furnished_home(session), furnished_home(session, reference="H-2")
    tariff_id, _ = tariff_with(session, flat_draft())
    operations.add_contract(session, home.id, ContractDetails(tariff_id, date(2026, 1, 1)), **WRITING)
    view = operations.get_home_view(session, home.id)
    assert [outlet.id for outlet in view.outlets] == [home.outlet_id]
    assert [lead.id for lead in view.leads] == [home.lead_id]
    assert [car.id for car in view.vehicles] == [home.car_id]
    assert [contract.tariff_name for contract in view.contracts] == ["Alder Fixed"]
    assert (view.supply, view.circuits) == (None, [])


def test_an_unknown_home_is_not_found(session: SchemeSession) -> None:
    with pytest.raises(NotFound):
        operations.get_home_view(session, "0" * 32)
