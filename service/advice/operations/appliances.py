"""The appliances a home would move: kept as stated, and advice on them worked out now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.operations import audit
from service.advice.domain.appliance_advice import ApplianceAdvice, advise
from service.advice.domain.appliances import USUAL_AWAKE, Appliance, HomeAppliances, Run, run_of
from service.advice.domain.charged_prices import PaidPrices, paid_prices
from service.advice.models import ApplianceChoice
from service.advice.operations.appliance_limits import load_limits
from service.common.slots import local_day_slots
from service.figures.operations import load_book
from service.households.domain.homes import ContractInputs, HomeInputs
from service.households.operations import get_household, hold_household, load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs.domain.terms import TariffKind, TariffTerms
from service.tariffs.operations import load_terms

YEAR_DAYS: Final = 364
"""Of prices ahead: 52 weeks, so that each day of the week counts alike."""
BACK_DAYS: Final = 42
"""Of half-hourly prices that are over: they stand for a year, nobody knows those to come; own choice."""


@dataclass(frozen=True)
class KeptAppliances:
    """What a household states; ``version`` is its ETag, "none" as long as nothing was stated."""

    version: str
    details: HomeAppliances


@dataclass(frozen=True)
class HomeAdvice:
    """Advice on a home's appliances, and what it rests on: awake as stated or not, days priced, the tariff."""

    awake: tuple[tuple[int, int], ...]
    is_awake_assumed: bool
    tariff_names: tuple[str, ...]
    are_past_prices: bool
    items: tuple[ApplianceAdvice, ...]


def get_appliances(session: SchemeSession, household_id: str) -> KeptAppliances:
    """Return the appliances of a home, none of them and the usual hours awake where nothing was stated."""
    get_household(session, household_id)
    row = _find(session, household_id)
    if row is None:
        return KeptAppliances("none", HomeAppliances())
    appliances = tuple(Appliance(**each) for each in row.appliances)
    awake = tuple((int(start), int(end)) for start, end in row.awake)
    return KeptAppliances(str(row.version), HomeAppliances(appliances, awake))


def put_appliances(
    session: SchemeSession, household_id: str, details: HomeAppliances, *, by: str | None, at: datetime
) -> KeptAppliances:
    """Put the appliances of a home in place of those it had; raises ``NotFound``."""
    hold_household(session, household_id)  # two first statements at once must not make two rows
    row = _find(session, household_id)
    if row is None:
        row = ApplianceChoice(household_id=household_id)
        session.add(row)
    row.appliances = [asdict(each) for each in details.appliances]
    row.awake = [list(each) for each in details.awake]
    row.changed_at = at
    session.flush()
    audit(
        session, account_id=by, action="put_appliances", subject_kind="household", subject_id=household_id, at=at
    )
    return get_appliances(session, household_id)


def get_appliance_advice(session: SchemeSession, household_id: str, *, at: datetime) -> HomeAdvice:
    """Return advice on the home's appliances as things stand now.

    Raises
    ------
    NotFound, FigureNotKnown
        The last where neither the household nor the book of figures has what a run takes.
    """
    kept = get_appliances(session, household_id)
    (home,) = load_homes(session, [household_id], from_at=at)
    zone = ZoneInfo(home.zone)
    today = at.astimezone(zone).date()
    book = load_book(session)
    runs: list[Run] = [run_of(each, book, today) for each in kept.details.appliances]
    terms, is_past = _terms(session, home, today, zone)
    prices = _prices(home, terms, today, is_past=is_past)
    limits = load_limits(session, home, kept.details.awake_half_hours(), at=at)
    return HomeAdvice(
        kept.details.awake,
        kept.version == "none" or kept.details.awake == USUAL_AWAKE,
        prices.names,
        is_past,
        tuple(advise(runs, prices, limits, zone)),
    )


def _terms(
    session: SchemeSession, home: HomeInputs, today: date, zone: ZoneInfo
) -> tuple[Mapping[str, TariffTerms], bool]:
    """Return the terms of the home's tariffs, and whether prices of the past have to stand for those to come."""
    first_slot = local_day_slots(today - timedelta(days=BACK_DAYS), zone).start
    count = local_day_slots(today, zone).stop - first_slot
    running = {each.tariff_id for each in _running(home, today)}
    terms = load_terms(session, {each.tariff_id for each in home.contracts}, first_slot=first_slot, count=count)
    is_past = any(terms[each].kind is TariffKind.HALF_HOURLY for each in running if each in terms)
    return terms, is_past


def _running(home: HomeInputs, today: date) -> list[ContractInputs]:
    return [
        each
        for each in home.contracts
        if each.starts_on <= today and (each.ends_on is None or each.ends_on > today)
    ]


def _as_if_on_it(home: HomeInputs, first_on: date, today: date) -> HomeInputs:
    """Return a home that has had today's contract since a day: another one's prices say nothing of those to come."""
    contracts = (replace(each, starts_on=min(each.starts_on, first_on)) for each in _running(home, today))
    return replace(home, contracts=tuple(contracts))


def _prices(home: HomeInputs, terms: Mapping[str, TariffTerms], today: date, *, is_past: bool) -> PaidPrices:
    # One day more than is counted: a run may go past midnight.
    if is_past:
        first_on = today - timedelta(days=BACK_DAYS)
        return paid_prices(_as_if_on_it(home, first_on, today), terms, first_on, today + timedelta(days=1))
    return paid_prices(home, terms, today, today + timedelta(days=YEAR_DAYS + 1))


def _find(session: SchemeSession, household_id: str) -> ApplianceChoice | None:
    return session.scalar(select(ApplianceChoice).where(ApplianceChoice.household_id == household_id))
