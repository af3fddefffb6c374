"""The safety desk: every home of the scheme by what its evidence says, what is overdue, missing and told.

One statement lists and sorts, one counts; a page's homes are then looked at once more for what is missing in
words, by the same rules that clear an outlet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import ColumnElement, Select, and_, exists, func, or_, select

from service.households.models import Household, Outlet
from service.infrastructure.db.sessions import SchemeSession
from service.reminders.models import SafetyNotice
from service.reporting.operations.desk_details import HomeDetails, load_details
from service.reporting.operations.standing_sql import TODAY, WORST_FIRST, badness, has_lapsed, standing_now
from service.safety.models import (
    Check,
    ClearanceChange,
    ClearanceStatus,
    Inspection,
    Recheck,
    SupervisedCharge,
    SurveyAnswers,
)

MISSING: Final = ("inspection", "document", "acceptance", "check", "survey")
TOLD: Final = ("nobody", "unread", "read")
EXPORT_CHUNK: Final = 200


@dataclass(frozen=True)
class DeskFilter:
    """Which homes; None means any. ``area`` is how their postcodes begin."""

    clearance: str | None = None
    is_overdue: bool | None = None
    missing: str | None = None
    told: str | None = None
    area: str | None = None


@dataclass(frozen=True, slots=True)
class DeskRow:
    """One home of the desk; ``since_on`` is None where no change of its standing has been recorded."""

    id: str
    reference: str
    area: str
    clearance: str
    since_on: date | None
    next_recheck_on: date | None
    days_left: int | None
    overdue_count: int
    told_at: datetime | None
    unread_count: int
    last_inspection_on: date | None
    last_check_at: datetime | None
    details: HomeDetails


def list_desk(
    session: SchemeSession,
    wanted: DeskFilter,
    *,
    sort: str,
    is_descending: bool,
    first: int,
    limit: int,
    now: datetime,
) -> tuple[list[DeskRow], int]:
    """Return one page of homes and how many match."""
    values = {"today": now.date()}
    matching = _matching(wanted)
    counted = select(func.count()).select_from(matching.with_only_columns(Household.id).subquery())
    total = session.scalar(counted, values)
    page = _ordered(matching, sort, is_descending).offset(first).limit(limit)
    return _rows(session, session.execute(page, values).all(), now), total or 0


def desk_rows(session: SchemeSession, wanted: DeskFilter, *, now: datetime) -> Iterator[DeskRow]:
    """Yield every home that matches, the worst first, a few hundred at a time."""
    found = session.execute(_ordered(_matching(wanted), "clearance", False), {"today": now.date()}).all()
    for start in range(0, len(found), EXPORT_CHUNK):
        yield from _rows(session, found[start : start + EXPORT_CHUNK], now)


def matching_ids(session: SchemeSession, wanted: DeskFilter, *, today: date) -> list[str]:
    """Return the ids of every home that matches, the worst first."""
    chosen = _ordered(_matching(wanted), "clearance", False).with_only_columns(Household.id)
    return list(session.scalars(chosen, {"today": today}))


def count_by_clearance(session: SchemeSession, wanted: DeskFilter, *, today: date) -> dict[str, int]:
    """Return how many homes match by clearance, whichever clearance is asked for."""
    others = DeskFilter(None, wanted.is_overdue, wanted.missing, wanted.told, wanted.area)
    standing = standing_now().label("standing")
    counted = _matching(others).with_only_columns(standing, func.count()).group_by(standing)
    counts = {word.value: 0 for word in WORST_FIRST}
    counts.update({row[0]: row[1] for row in session.execute(counted, {"today": today})})
    return counts


def list_areas(session: SchemeSession) -> list[str]:
    """Return the first parts of the homes' postcodes, each once."""
    return sorted({_area(postcode) for postcode in session.scalars(select(Household.postcode))})


def _area(postcode: str) -> str:
    return postcode.split(" ")[0].upper()


def _of_home(model: Any) -> ColumnElement[bool]:
    return and_(model.scheme_id == Household.scheme_id, model.household_id == Household.id)


def _figure(column: Any, model: Any, *conditions: Any) -> Any:
    return select(column).where(_of_home(model), *conditions).correlate(Household, ClearanceStatus).scalar_subquery()


def _counts_still(inspection: Any) -> ColumnElement[bool]:
    return and_(inspection.superseded_at.is_(None), inspection.refused_at.is_(None))


_OVERDUE = _figure(func.count(), Recheck, Recheck.done_on.is_(None), Recheck.due_on < TODAY)
_TOLD_AT = _figure(func.max(SafetyNotice.told_at), SafetyNotice)
_UNREAD = _figure(func.count(), SafetyNotice, SafetyNotice.read_at.is_(None))
_INSPECTED = _figure(func.max(Inspection.inspected_on), Inspection, _counts_still(Inspection))
_CHECKED = _figure(func.max(Check.made_at), Check)
_SINCE = _figure(
    func.max(ClearanceChange.changed_at), ClearanceChange, ClearanceChange.becomes == ClearanceStatus.clearance
)

DESK_SORTS: Final[dict[str, Any]] = {
    "clearance": badness(),
    "reference": Household.reference,
    "since": _SINCE,
    "next_recheck_on": ClearanceStatus.next_recheck_on,
    "overdue": _OVERDUE,
    "told_at": _TOLD_AT,
    "last_inspection_on": _INSPECTED,
    "last_check_at": _CHECKED,
}


def _matching(wanted: DeskFilter) -> Select[Any]:
    return (
        select(
            Household.id,
            Household.reference,
            Household.postcode,
            standing_now(),
            has_lapsed(),
            ClearanceStatus.valid_until_on,
            _SINCE,
            ClearanceStatus.next_recheck_on,
            _OVERDUE,
            _TOLD_AT,
            _UNREAD,
            _INSPECTED,
            _CHECKED,
        )
        .outerjoin(
            ClearanceStatus,
            (ClearanceStatus.household_id == Household.id) & (ClearanceStatus.scheme_id == Household.scheme_id),
        )
        .where(*_conditions(wanted))
    )


def _ordered(matching: Select[Any], sort: str, is_descending: bool) -> Select[Any]:
    column = DESK_SORTS[sort]
    order = column.desc() if is_descending else column.asc()
    return matching.order_by(order.nulls_last(), Household.reference, Household.id)


def _conditions(wanted: DeskFilter) -> list[Any]:
    conditions: list[Any] = []
    if wanted.clearance is not None:
        conditions.append(standing_now() == wanted.clearance)
    if wanted.is_overdue is not None:
        conditions.append(_OVERDUE > 0 if wanted.is_overdue else _OVERDUE == 0)
    if wanted.area:
        conditions.append(Household.postcode.istartswith(wanted.area, autoescape=True))
    if wanted.missing is not None:
        conditions.append(_lacks(wanted.missing))
    if wanted.told is not None:
        told = {"nobody": _TOLD_AT.is_(None), "unread": _UNREAD > 0, "read": _TOLD_AT.is_not(None) & (_UNREAD == 0)}
        conditions.append(told[wanted.told])
    return conditions


def _lacks(what: str) -> Any:
    """Return what tells that a home lacks something; by outlet where each outlet needs its own."""
    waiting = and_(_counts_still(Inspection), Inspection.accepted_at.is_(None))
    if what == "survey":
        return ~exists().where(_of_home(SurveyAnswers))
    if what == "document":
        return exists().where(_of_home(Inspection), _counts_still(Inspection), Inspection.file_id.is_(None))
    if what == "acceptance":
        return exists().where(_of_home(Inspection), waiting, Inspection.file_id.is_not(None))
    has: Any
    if what == "inspection":
        has = exists().where(
            Inspection.scheme_id == Outlet.scheme_id, Inspection.outlet_id == Outlet.id, _counts_still(Inspection),
            Inspection.accepted_at.is_not(None),
        )
    else:
        has = or_(
            exists().where(Check.scheme_id == Outlet.scheme_id, Check.outlet_id == Outlet.id, Check.is_clear),
            exists().where(
                SupervisedCharge.scheme_id == Outlet.scheme_id, SupervisedCharge.outlet_id == Outlet.id,
                SupervisedCharge.is_clear,
            ),
        )
    return exists().where(_of_home(Outlet), ~has)


def _rows(session: SchemeSession, found: Sequence[Any], now: datetime) -> list[DeskRow]:
    details = load_details(session, [row[0] for row in found], now=now)
    return [_row(row, details[row[0]], now) for row in found]


def _row(row: Any, details: HomeDetails, now: datetime) -> DeskRow:
    household_id, reference, postcode, clearance, lapsed, until_on, since_at, recheck_on, *figures = row
    overdue, told_at, unread, inspected_on, checked_at = figures
    since_on = until_on if lapsed else since_at.date() if since_at else None
    days_left = (recheck_on - now.date()).days if recheck_on else None
    return DeskRow(
        household_id, reference, _area(postcode), clearance, since_on, recheck_on, days_left, overdue, told_at, unread,
        inspected_on, checked_at, details,
    )
