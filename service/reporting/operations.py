"""The scheme's homes in one statement: standing, tariff and the week's totals, never a departure."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Select, func, or_, select

from service.households.models import Contract, Household, Vehicle
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Mail
from service.planning.models import CurrentPlan
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
    joined = _joined(today)
    matching = _matching(joined, wanted, today)
    total = session.scalar(select(func.count()).select_from(matching.with_only_columns(Household.id).subquery())) or 0
    column = SORTS[sort]
    order = column.desc() if is_descending else column.asc()
    rows = session.execute(matching.order_by(order.nulls_last(), Household.id).offset(first).limit(limit))
    return [_home_row(row, today) for row in rows], total


def _joined(today: date) -> Select[Any]:
    vehicles = (
        select(func.count())
        .where(Vehicle.household_id == Household.id, Vehicle.scheme_id == Household.scheme_id)
        .scalar_subquery()
    )
    in_force = (
        (Contract.household_id == Household.id)
        & (Contract.scheme_id == Household.scheme_id)
        & (Contract.starts_on <= today)
        & or_(Contract.ends_on.is_(None), Contract.ends_on > today)
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


def _matching(homes: Select[Any], wanted: HomeFilter, today: date) -> Select[Any]:
    if wanted.search:
        text = wanted.search.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
        homes = homes.where(
            or_(
                Household.reference.ilike(f"%{text}%", escape="\\"),
                Household.member_name.ilike(f"%{text}%", escape="\\"),
            )
        )
    if wanted.clearance == "not_known":
        # Evidence can lapse between two looks at a home: the date decides, not only the kept word.
        homes = homes.where(
            or_(ClearanceStatus.clearance.is_(None), ClearanceStatus.clearance == "not_known", _has_lapsed(today))
        )
    elif wanted.clearance:
        homes = homes.where(ClearanceStatus.clearance == wanted.clearance, ~_has_lapsed(today))
    if wanted.tariff_id:
        homes = homes.where(Contract.tariff_id == wanted.tariff_id)
    if wanted.has_shortfall is not None:
        is_short = func.coalesce(CurrentPlan.short_wh, 0) > 0
        homes = homes.where(is_short if wanted.has_shortfall else ~is_short)
    if wanted.is_overdue is not None:
        is_overdue = func.coalesce(ClearanceStatus.next_recheck_on < today, False)
        homes = homes.where(is_overdue if wanted.is_overdue else ~is_overdue)
    return homes


def _has_lapsed(today: date) -> Any:
    lapsed = (ClearanceStatus.clearance != "do_not_use") & (ClearanceStatus.valid_until_on <= today)
    return func.coalesce(lapsed, False)


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


def list_mail(session: SchemeSession, *, status: str | None, first: int, limit: int) -> tuple[list[MailRow], int]:
    """Return one page of the delivery record, newest first, and how many lines match."""
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
    ).outerjoin(Household, (Household.id == Mail.household_id) & (Household.scheme_id == Mail.scheme_id))
    if status:
        wanted = wanted.where(Mail.status == status)
    total = session.scalar(select(func.count()).select_from(wanted.with_only_columns(Mail.id).subquery())) or 0
    rows = session.execute(wanted.order_by(Mail.queued_at.desc(), Mail.id).offset(first).limit(limit))
    return [MailRow(*row) for row in rows], total
