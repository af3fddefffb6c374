"""The scheme's homes in one statement: standing, tariff and the week's totals, never a departure."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import lru_cache
from typing import Any

from sqlalchemy import Integer, Select, String, bindparam, case, false, func, or_, select

from service.accounts.models import Account
from service.households.models import Contract, Household, Vehicle
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import NEVER_REPEATED, Mail
from service.planning.models import CurrentPlan
from service.reporting.operations.standing_sql import TODAY, has_lapsed
from service.safety.models import ClearanceStatus
from service.tariffs.models import Tariff

SORTS: dict[str, Any] = {
    "reference": Household.reference,
    "member_name": Household.member_name,
    "clearance": ClearanceStatus.clearance,
    "next_recheck_on": ClearanceStatus.next_recheck_on,
    "week_cost": CurrentPlan.cost_up,
    "week_short": CurrentPlan.short_wh,
}


@dataclass(frozen=True)
class HomeFilter:
    """Which homes; None means any."""

    search: str | None = None
    clearance: str | None = None
    tariff_id: str | None = None
    has_shortfall: bool | None = None
    is_overdue: bool | None = None


@dataclass(frozen=True, slots=True)
class HomeRow:
    """One home of the list."""

    id: str
    reference: str
    member_name: str
    nation: str
    region: str | None
    tariff_id: str | None
    tariff_name: str | None
    vehicle_count: int
    clearance: str
    clearance_until_on: date | None
    next_recheck_on: date | None
    recheck_overdue: bool
    energy_wh: int | None
    cost_up: int | None
    on_arrival_cost_up: int | None
    short_wh: int | None
    planned_at: datetime | None


def list_homes(
    session: SchemeSession, wanted: HomeFilter, *, sort: str, is_descending: bool, first: int, limit: int, today: date
) -> tuple[list[HomeRow], int]:
    """Return one page of homes and how many match."""
    values = {"today": today, "search": _pattern(wanted.search), "tariff_id": wanted.tariff_id}
    shape = replace(wanted, search="" if wanted.search else None, tariff_id="" if wanted.tariff_id else None)
    total = session.scalar(_counting(shape), values) or 0
    rows = session.execute(_matching(shape, sort, is_descending), {**values, "first": first, "limit": limit})
    return [_home_row(row, today) for row in rows], total


def _pattern(search: str | None) -> str | None:
    if not search:
        return None
    text = search.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
    return f"%{text}%"


@lru_cache(maxsize=512)
def _matching(shape: HomeFilter, sort: str, is_descending: bool) -> Select[Any]:
    """Return the statement of a filter's shape, its values left open: built once, run often."""
    column = SORTS[sort]
    order = column.desc() if is_descending else column.asc()
    page = _joined().where(*_conditions(shape)).order_by(order.nulls_last(), Household.id)
    return page.offset(bindparam("first", type_=Integer)).limit(bindparam("limit", type_=Integer))


@lru_cache(maxsize=64)
def _counting(shape: HomeFilter) -> Select[Any]:
    """Return the count of a filter's shape; without a filter it need not join anything."""
    conditions = _conditions(shape)
    if not conditions:
        return select(func.count()).select_from(Household)
    return select(func.count()).select_from(_joined().with_only_columns(Household.id).where(*conditions).subquery())


def _joined() -> Select[Any]:
    vehicles = (
        select(func.count())
        .where(Vehicle.household_id == Household.id, Vehicle.scheme_id == Household.scheme_id)
        .scalar_subquery()
    )
    in_force = (
        (Contract.household_id == Household.id)
        & (Contract.scheme_id == Household.scheme_id)
        & (Contract.starts_on <= TODAY)
        & or_(Contract.ends_on.is_(None), Contract.ends_on > TODAY)
    )
    return (
        select(
            Household.id,
            Household.reference,
            Household.member_name,
            Household.nation,
            Household.region,
            Contract.tariff_id,
            Tariff.name,
            vehicles,
            ClearanceStatus.clearance,
            ClearanceStatus.valid_until_on,
            ClearanceStatus.next_recheck_on,
            CurrentPlan.energy_wh,
            CurrentPlan.cost_up,
            CurrentPlan.on_arrival_cost_up,
            CurrentPlan.short_wh,
            CurrentPlan.planned_at,
        )
        .outerjoin(Contract, in_force)
        .outerjoin(Tariff, (Tariff.id == Contract.tariff_id) & (Tariff.scheme_id == Contract.scheme_id))
        .outerjoin(
            ClearanceStatus,
            (ClearanceStatus.household_id == Household.id) & (ClearanceStatus.scheme_id == Household.scheme_id),
        )
        .outerjoin(CurrentPlan, (CurrentPlan.id == Household.id) & (CurrentPlan.scheme_id == Household.scheme_id))
    )


def _conditions(shape: HomeFilter) -> list[Any]:
    conditions: list[Any] = []
    if shape.search is not None:
        pattern = bindparam("search", type_=String)
        conditions.append(
            or_(Household.reference.ilike(pattern, escape="\\"), Household.member_name.ilike(pattern, escape="\\"))
        )
    if shape.clearance == "not_known":
        # Evidence can lapse between two looks at a home: the date decides, not only the kept word.
        unknown = or_(ClearanceStatus.clearance.is_(None), ClearanceStatus.clearance == "not_known")
        conditions.append(or_(unknown, has_lapsed()))
    elif shape.clearance:
        conditions += [ClearanceStatus.clearance == shape.clearance, ~has_lapsed()]
    if shape.tariff_id is not None:
        conditions.append(Contract.tariff_id == bindparam("tariff_id", type_=String))
    if shape.has_shortfall is not None:
        is_short = func.coalesce(CurrentPlan.short_wh, 0) > 0
        conditions.append(is_short if shape.has_shortfall else ~is_short)
    if shape.is_overdue is not None:
        is_overdue = func.coalesce(ClearanceStatus.next_recheck_on < TODAY, false())
        conditions.append(is_overdue if shape.is_overdue else ~is_overdue)
    return conditions


def _home_row(row: Any, today: date) -> HomeRow:
    clearance, until_on, recheck_on = row[8] or "not_known", row[9], row[10]
    if until_on is not None and until_on <= today and clearance != "do_not_use":
        clearance = "not_known"
    is_overdue = recheck_on is not None and recheck_on < today
    return HomeRow(*(*row[:8], clearance, until_on, recheck_on, is_overdue, *row[11:]))


@dataclass(frozen=True, slots=True)
class MailRow:
    """One line of the delivery record: no address, no content."""

    id: str
    kind: str
    household_id: str | None
    household_reference: str | None
    status: str
    queued_at: datetime
    sent_at: datetime | None
    attempts: int
    reason: str | None
    bounced_at: datetime | None
    resend_of_id: str | None
    person: str | None
    is_kept: bool

    @property
    def can_resend(self) -> bool:
        """Whether its words are kept, it is done, and no secret told once was in it."""
        return self.is_kept and self.status not in ("waiting", "claimed") and self.kind not in NEVER_REPEATED


@dataclass(frozen=True)
class MailFilter:
    """Which lines of the delivery record; None means any."""

    status: str | None = None
    kind: str | None = None
    household_id: str | None = None
    is_problem: bool | None = None


# A message that never arrived, or of which nobody knows.
_IS_PROBLEM = or_(Mail.status.in_(("refused", "given_up", "unknown")), Mail.bounced_at.is_not(None))


def list_mail(
    session: SchemeSession, wanted_lines: MailFilter, *, is_problem_first: bool, first: int, limit: int
) -> tuple[list[MailRow], int]:
    """Return one page of the delivery record, newest first, and how many lines match.

    ``is_problem_first``: what did not arrive stands before the rest.
    """
    wanted = select(
        Mail.id,
        Mail.kind,
        Mail.household_id,
        Household.reference,
        Mail.status,
        Mail.queued_at,
        Mail.sent_at,
        Mail.attempts,
        Mail.reason,
        Mail.bounced_at,
        Mail.resend_of_id,
        Account.name,
        Mail.text != "",
    ).outerjoin(Household, (Household.id == Mail.household_id) & (Household.scheme_id == Mail.scheme_id))
    wanted = wanted.outerjoin(Account, Account.id == Mail.account_id)
    for column, value in (
        (Mail.status, wanted_lines.status),
        (Mail.kind, wanted_lines.kind),
        (Mail.household_id, wanted_lines.household_id),
    ):
        if value is not None:
            wanted = wanted.where(column == value)
    if wanted_lines.is_problem is not None:
        wanted = wanted.where(_IS_PROBLEM if wanted_lines.is_problem else ~_IS_PROBLEM)
    order = [case((_IS_PROBLEM, 0), else_=1)] if is_problem_first else []
    total = session.scalar(select(func.count()).select_from(wanted.with_only_columns(Mail.id).subquery())) or 0
    rows = session.execute(wanted.order_by(*order, Mail.queued_at.desc(), Mail.id).offset(first).limit(limit))
    return [MailRow(*tuple[Any, ...](row)) for row in rows], total


def count_homes_by_tariff(session: SchemeSession, *, today: date) -> dict[str, int]:
    """Return how many homes have a contract in force today, by tariff."""
    rows = session.execute(
        select(Contract.tariff_id, func.count().label("homes"))
        .where(Contract.starts_on <= today, or_(Contract.ends_on.is_(None), Contract.ends_on > today))
        .group_by(Contract.tariff_id)
    )
    return {row.tariff_id: row.homes for row in rows}
