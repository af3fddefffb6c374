"""Which tariff a home is on, from when until when, and how its own meter differs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm.exc import StaleDataError

from service.accounts.operations import audit
from service.common.errors import Fault, Rejected
from service.common.slots import slot_index
from service.households.domain.contract_details import (
    ContractDetails,
    MeterWindow,
    OtherContract,
    check_meter_windows,
    check_no_overlap,
    windows_of,
)
from service.households.models import Contract, Household
from service.households.operations.homes import get_household, note_change
from service.households.operations.stored import fill, get_part
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs.domain.rate_bands import RateSheet
from service.tariffs.domain.terms import TariffTerms
from service.tariffs.models import Tariff
from service.tariffs.operations import load_terms

BY_HAND = frozenset({"windows"})


@dataclass(frozen=True)
class ContractView:
    """A contract with the name of its tariff; ``version`` is its ETag."""

    id: str
    tariff_id: str
    tariff_name: str
    starts_on: date
    ends_on: date | None
    clock: str | None
    windows: tuple[MeterWindow, ...]
    version: int
    exit_fee_pence: int | None = None
    fixed_until_on: date | None = None


def list_contracts(session: SchemeSession, household_id: str) -> list[ContractView]:
    """Return the home's contracts, the latest first."""
    rows = session.execute(
        select(Contract, Tariff.name)
        .join(Tariff, (Tariff.scheme_id == Contract.scheme_id) & (Tariff.id == Contract.tariff_id))
        .where(Contract.household_id == household_id)
        .order_by(Contract.starts_on.desc(), Contract.id)
    )
    return [_view(contract, name) for contract, name in rows]


def get_contract(session: SchemeSession, household_id: str, contract_id: str) -> ContractView:
    """Return a contract of the home; raises ``NotFound``."""
    contract = get_part(session, Contract, household_id, contract_id, "contract")
    return _view(contract, session.scalars(select(Tariff.name).where(Tariff.id == contract.tariff_id)).one())


def add_contract(
    session: SchemeSession, household_id: str, details: ContractDetails, *, by: str | None, at: datetime
) -> ContractView:
    """Put the home on a tariff for a period.

    Raises
    ------
    NotFound, Rejected
        Rejected for an unknown tariff, a period that shares a day with another contract, or own
        windows that leave a gap or an overlap in the tariff's prices.
    """
    note_change(session, household_id, at=at)
    terms = _check(session, household_id, details, None, at)
    contract = Contract(household_id=household_id, windows=details.stored_windows())
    fill(contract, details, leaving_out=BY_HAND)
    session.add(contract)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="contract", subject_id=contract.id, at=at)
    return _view(contract, terms.name)


def change_contract(
    session: SchemeSession,
    household_id: str,
    contract_id: str,
    changes: Mapping[str, Any],
    *,
    of_version: int | None = None,
    by: str | None,
    at: datetime,
) -> ContractView:
    """Change some fields of a contract, most often its end; ``of_version`` is the one the caller saw.

    Raises as ``add_contract`` does, and ``StaleDataError`` if somebody else changed it meanwhile.
    """
    contract = get_part(session, Contract, household_id, contract_id, "contract")
    if of_version not in (None, contract.version):
        raise StaleDataError("the contract was changed meanwhile")
    note_change(session, household_id, at=at)
    details = replace(_details(contract), **changes)
    terms = _check(session, household_id, details, contract_id, at)
    changed = fill(contract, details, leaving_out=BY_HAND)
    windows = details.stored_windows()
    if windows != contract.windows:
        contract.windows, changed = windows, (*changed, "windows")
    session.flush()
    audit(
        session, account_id=by, action="change", subject_kind="contract", subject_id=contract_id, at=at,
        fields=changed,
    )
    return _view(contract, terms.name)


def _details(contract: Contract) -> ContractDetails:
    return ContractDetails(
        contract.tariff_id, contract.starts_on, contract.ends_on, contract.clock, windows_of(contract.windows),
        contract.exit_fee_pence, contract.fixed_until_on,
    )  # fmt: skip


def _view(contract: Contract, tariff_name: str) -> ContractView:
    details = _details(contract)
    return ContractView(
        contract.id, details.tariff_id, tariff_name, details.starts_on, details.ends_on, details.clock,
        details.windows, contract.version, details.exit_fee_pence, details.fixed_until_on,
    )


def _check(
    session: SchemeSession, household_id: str, details: ContractDetails, own_id: str | None, at: datetime
) -> TariffTerms:
    terms = load_terms(session, [details.tariff_id], first_slot=slot_index(at), count=1).get(details.tariff_id)
    if terms is None:
        raise Rejected(Fault("tariff_id", details.tariff_id, "is not a tariff of this scheme"))
    others = [
        OtherContract(view.tariff_name, view.starts_on, view.ends_on)
        for view in list_contracts(session, household_id)
        if view.id != own_id
    ]
    check_no_overlap(details, others)
    household = get_household(session, household_id)
    check_meter_windows(details, _sheets_from(terms, max(details.starts_on, at.date()), household))
    return terms


def _sheets_from(terms: TariffTerms, day: date, household: Household) -> list[RateSheet]:
    """Return the sheets that can price the home from a day on: of the version in force then, and of later ones."""
    in_force = [version.valid_from_on for version in terms.versions if version.valid_from_on <= day]
    since = max(in_force, default=day)
    return [
        sheet
        for version in terms.versions
        if version.valid_from_on >= since
        for sheet in version.sheets
        if sheet.region in (None, household.region) and sheet.payment in (None, household.payment)
    ]
