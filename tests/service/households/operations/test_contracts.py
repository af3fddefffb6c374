"""Contracts of a home: known tariffs, no shared days, windows that leave one price."""

from dataclasses import replace
from datetime import date

import pytest
from sqlalchemy.orm.exc import StaleDataError

from service.common.errors import NotFound, Rejected
from service.households import operations
from service.households.domain.contract_details import ContractDetails, MeterWindow
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs.domain.terms import TariffKind
from tests.factories.households import WRITING, open_home
from tests.factories.tariffs import flat_draft, night_draft, series_draft, tariff_with


def contract(tariff_id: str, starts: str = "2026-01-01", ends: str | None = None, **more: object) -> ContractDetails:
    """Return details of a contract."""
    ends_on = date.fromisoformat(ends) if ends else None
    return ContractDetails(tariff_id, date.fromisoformat(starts), ends_on, **more)  # type: ignore[arg-type]


def test_a_home_is_put_on_a_tariff(session: SchemeSession) -> None:
    home_id = open_home(session)
    tariff_id, _ = tariff_with(session, night_draft())
    added = operations.add_contract(
        session, home_id, contract(tariff_id, clock="gmt", windows=(MeterWindow("night", 0, 240),)), **WRITING
    )
    assert operations.get_contract(session, home_id, added.id) == added
    assert (added.tariff_name, added.clock, added.windows) == ("Alder Fixed", "gmt", (MeterWindow("night", 0, 240),))


def test_the_latest_contract_is_listed_first(session: SchemeSession) -> None:
    home_id = open_home(session)
    tariff_id, _ = tariff_with(session, flat_draft())
    operations.add_contract(session, home_id, contract(tariff_id, "2026-01-01", "2026-07-01"), **WRITING)
    operations.add_contract(session, home_id, contract(tariff_id, "2026-07-01"), **WRITING)
    assert [view.starts_on.month for view in operations.list_contracts(session, home_id)] == [7, 1]


def test_contracts_that_share_a_day_are_refused_by_name(session: SchemeSession) -> None:
    home_id = open_home(session)
    tariff_id, _ = tariff_with(session, flat_draft())
    operations.add_contract(session, home_id, contract(tariff_id, "2026-01-01"), **WRITING)
    with pytest.raises(Rejected, match="Alder Fixed from 2026-01-01"):
        operations.add_contract(session, home_id, contract(tariff_id, "2026-07-01"), **WRITING)


def test_an_open_contract_is_ended_and_another_follows(session: SchemeSession) -> None:
    home_id = open_home(session)
    tariff_id, _ = tariff_with(session, flat_draft())
    first = operations.add_contract(session, home_id, contract(tariff_id), **WRITING)
    ended = operations.change_contract(session, home_id, first.id, {"ends_on": date(2026, 7, 1)}, **WRITING)
    assert (ended.ends_on, ended.version) == (date(2026, 7, 1), 2)
    operations.add_contract(session, home_id, contract(tariff_id, "2026-07-01"), **WRITING)
    with pytest.raises(Rejected):
        operations.change_contract(session, home_id, first.id, {"ends_on": None}, **WRITING)


def test_a_contract_changed_by_somebody_else_meanwhile_is_not_overwritten(session: SchemeSession) -> None:
    home_id = open_home(session)
    tariff_id, _ = tariff_with(session, flat_draft())
    added = operations.add_contract(session, home_id, contract(tariff_id), **WRITING)
    changes = {"ends_on": date(2026, 7, 1)}
    operations.change_contract(session, home_id, added.id, changes, of_version=added.version, **WRITING)
    with pytest.raises(StaleDataError):
        operations.change_contract(session, home_id, added.id, changes, of_version=added.version, **WRITING)


def test_other_homes_contracts_do_not_matter(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, flat_draft())
    for reference in ("H-1", "H-2"):
        operations.add_contract(session, open_home(session, reference=reference), contract(tariff_id), **WRITING)


def test_an_unknown_tariff_is_refused(session: SchemeSession) -> None:
    with pytest.raises(Rejected) as refused:
        operations.add_contract(session, open_home(session), contract("0" * 32), **WRITING)
    assert refused.value.faults[0].field == "tariff_id"


def test_own_windows_are_checked_against_the_versions_that_will_price_the_home(session: SchemeSession) -> None:
    home_id = open_home(session)
    old, new = night_draft(on=date(2025, 1, 1)), flat_draft(on=date(2026, 12, 1))
    tariff_id, _ = tariff_with(session, old, new)
    with pytest.raises(Rejected, match="night"):
        operations.add_contract(
            session, home_id, contract(tariff_id, windows=(MeterWindow("night", 0, 240),)), **WRITING
        )


def test_own_windows_are_checked_against_the_homes_own_region_only(session: SchemeSession) -> None:
    home_id = open_home(session, region="Northmere")
    night, flat = night_draft().sheets[0], flat_draft().sheets[0]
    sheets = (replace(night, region="Northmere"), replace(flat, region="Saltmarsh"))
    tariff_id, _ = tariff_with(session, night_draft(sheets=sheets))
    details = contract(tariff_id, windows=(MeterWindow("night", 0, 240),))
    assert operations.add_contract(session, home_id, details, **WRITING).windows


def test_a_half_hourly_tariff_takes_no_windows(session: SchemeSession) -> None:
    home_id = open_home(session)
    tariff_id, _ = tariff_with(session, series_draft(), kind=TariffKind.HALF_HOURLY)
    with pytest.raises(Rejected) as refused:
        operations.add_contract(
            session, home_id, contract(tariff_id, windows=(MeterWindow("night", 0, 240),)), **WRITING
        )
    assert refused.value.faults[0].field == "windows"


def test_windows_are_replaced_and_taken_away(session: SchemeSession) -> None:
    home_id = open_home(session)
    tariff_id, _ = tariff_with(session, night_draft())
    added = operations.add_contract(
        session, home_id, contract(tariff_id, windows=(MeterWindow("night", 0, 240),)), **WRITING
    )
    changed = operations.change_contract(session, home_id, added.id, {"windows": ()}, **WRITING)
    assert operations.get_contract(session, home_id, added.id).windows == changed.windows == ()


def test_another_homes_contract_is_not_found(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, flat_draft())
    added = operations.add_contract(session, open_home(session), contract(tariff_id), **WRITING)
    with pytest.raises(NotFound):
        operations.get_contract(session, open_home(session, reference="H-2"), added.id)
