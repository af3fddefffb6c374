"""What charging stands for in carbon: of one home for its members, of the scheme for its administrators."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Final
from zoneinfo import ZoneInfo

from sqlalchemy import func, select

from service.common.units import WH_PER_KWH
from service.common.working import Step
from service.figures.operations import load_book
from service.households.models import Household
from service.households.operations import get_household
from service.infrastructure.db.sessions import SchemeSession
from service.planning.models import CurrentPlan
from service.planning.operations.reads import find_totals
from service.reporting.domain.carbon import CarbonAccount, Driven, Period, account, blend, grams, settle
from service.reporting.domain.carbon_factors import FactorBook
from service.reporting.domain.carbon_words import notes, working
from service.reporting.operations.carbon_months import load_car_months

FEWEST_HOMES: Final = 5
"""Own choice: a month of fewer homes would tell an administrator how far somebody drove."""
USUAL_DAYS: Final = 365


@dataclass(frozen=True, slots=True)
class CarbonReport:
    """An account with its period, working and sentences; ``planned_wh`` is what the plans of the next days draw."""

    period: Period
    account: CarbonAccount
    planned_wh: int | None
    planned_g: int | None
    notes: tuple[str, ...]
    working: tuple[Step, ...]
    set_years: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class SchemeCarbon:
    """The scheme's report, with how many of its homes tell anything."""

    report: CarbonReport
    household_count: int
    told_household_count: int


def get_home_carbon(
    session: SchemeSession,
    household_id: str,
    *,
    from_on: date | None,
    to_on: date | None,
    set_year: int | None,
    at: datetime,
) -> CarbonReport:
    """Return a home's report of a period, by default of the year that ends today.

    Raises
    ------
    NotFound
        If the scheme has no such home.
    Rejected
        For a period that is none or too long, or a set that the book does not hold.
    """
    today = at.astimezone(ZoneInfo(get_household(session, household_id).zone)).date()
    end = to_on or today
    period = Period(from_on or end - timedelta(days=USUAL_DAYS), end)
    factors = FactorBook(load_book(session), set_year)
    months = load_car_months(session, period, before=today, today=today, household_id=household_id)
    driven = [(month.month_on, part) for _, month in months if (part := settle(month)) is not None]
    totals = find_totals(session, household_id)
    return _report(period, driven, factors, totals.energy_wh if totals else None, today)


def get_scheme_carbon(
    session: SchemeSession, *, from_on: date | None, to_on: date | None, set_year: int | None, at: datetime
) -> SchemeCarbon:
    """Return the scheme's report, by default of the last twelve whole months.

    A month that too few homes tell of is left out of all sums, and the month that runs is not told yet: two looks at
    periods that differ by a day would tell what was driven on it.

    Raises
    ------
    Rejected
        For a period that is none, too long or not of whole months, or a set that the book does not hold.
    """
    today, month_on = at.date(), at.date().replace(day=1)
    end = to_on or month_on
    period = Period(from_on or date(end.year - 1, end.month, 1), end)
    period.check_whole_months()
    factors = FactorBook(load_book(session), set_year)
    homes: dict[date, dict[str, Driven]] = {}
    for household_id, car_month in load_car_months(session, period, before=month_on, today=today):
        part = settle(car_month)
        if part is not None:
            of_month = homes.setdefault(car_month.month_on, {})
            of_month[household_id] = of_month.get(household_id, Driven()) + part
    told = {on: blend(list(parts.values()), FEWEST_HOMES) for on, parts in homes.items() if len(parts) >= FEWEST_HOMES}
    planned = select(func.count(CurrentPlan.id), func.sum(CurrentPlan.energy_wh))
    planned_homes, planned_wh = session.execute(planned).one()
    report = _report(
        period, [(on, driven) for on, (driven, _) in told.items()], factors,
        planned_wh if planned_homes >= FEWEST_HOMES else None, today, left_out=len(homes) - len(told),
        is_blended=any(is_blended for _, is_blended in told.values()),
    )
    return SchemeCarbon(
        report,
        session.scalar(select(func.count()).select_from(Household)) or 0,
        len(set().union(*(homes[on] for on in told))),
    )


def _report(
    period: Period,
    driven: list[tuple[date, Driven]],
    factors: FactorBook,
    planned_wh: int | None,
    today: date,
    *,
    left_out: int = 0,
    is_blended: bool = False,
) -> CarbonReport:
    done, ahead = account(driven, factors), factors.electricity(today)
    told = list(notes(done, factors))
    if is_blended:
        told.insert(0, f"What fewer than {FEWEST_HOMES} homes tell in one way is counted with what is less sure.")
    if left_out:
        months = "1 month is" if left_out == 1 else f"{left_out} months are"
        told.insert(0, f"{months} left out: fewer than {FEWEST_HOMES} homes have anything recorded for it.")
    return CarbonReport(
        period,
        done,
        planned_wh,
        None if planned_wh is None or ahead is None else grams(Decimal(planned_wh) / WH_PER_KWH, ahead.kg_per_kwh),
        tuple(told),
        working(done, factors),
        factors.years,
    )
