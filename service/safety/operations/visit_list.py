"""The scheme's visits for a day's planning: by state and area, in the order of risk."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import BindParameter, Select, bindparam, select

from service.common.working import Working
from service.households.domain.equipment import Earthing, OutletKind, Place
from service.households.models import Household, Outlet, Supply
from service.households.operations.planning_inputs import IDS_A_STATEMENT
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.levels import Clearance
from service.safety.domain.risk_order import RiskFacts, risk_of
from service.safety.domain.visit_details import outward_of
from service.safety.models import ClearanceStatus, Electrician, Inspection, Recheck, Visit

SORTS = ("risk", "asked_at", "agreed_on")
_FAR = date.max


@dataclass(frozen=True)
class VisitRow:
    """A visit as lists show it; the higher the risk, the sooner."""

    id: str
    version: int
    household_id: str
    reference: str
    area: str
    outlet_ids: tuple[str, ...]
    outlets: tuple[str, ...]
    state: str
    reason: str
    electrician_id: str | None
    electrician_name: str
    agreed_on: date | None
    agreed_from: time | None
    agreed_until: time | None
    cost_pence: int | None
    asked_at: datetime
    risk: int
    risk_working: Working


def list_visits(
    session: SchemeSession,
    *,
    at: datetime,
    state: str | None = None,
    area: str | None = None,
    sort: str = "risk",
    is_descending: bool = False,
    first: int = 0,
    limit: int = 50,
) -> tuple[list[VisitRow], int]:
    """Return a page of the scheme's visits and how many there are.

    ``sort`` is one of ``SORTS``; by risk the greatest comes first, by the others the earliest, and downwards turns
    each of them round.
    """
    query = select(Visit, Household).join(Household, Household.id == Visit.household_id)
    if state is not None:
        query = query.where(Visit.state == state)
    wanted = "".join(area.split()).upper() if area else None
    pairs = [
        (visit, home)
        for visit, home in session.execute(query)
        if wanted is None or outward_of(home.postcode) == wanted
    ]
    if sort == "risk":
        rows = _rows(session, pairs, at)
        rows.sort(key=lambda row: (-row.risk, row.asked_at, row.id), reverse=is_descending)
        return rows[first : first + limit], len(rows)
    if sort == "asked_at":
        pairs.sort(key=lambda pair: (pair[0].asked_at, pair[0].id), reverse=is_descending)
    else:
        pairs.sort(key=lambda pair: (pair[0].agreed_on or _FAR, pair[0].asked_at, pair[0].id), reverse=is_descending)
    return _rows(session, pairs[first : first + limit], at), len(pairs)


def list_visits_of(session: SchemeSession, household_id: str, *, at: datetime) -> list[VisitRow]:
    """Return one home's visits, the newest first."""
    query = (
        select(Visit, Household)
        .join(Household, Household.id == Visit.household_id)
        .where(Visit.household_id == household_id)
        .order_by(Visit.asked_at.desc(), Visit.id)
    )
    return _rows(session, [(visit, home) for visit, home in session.execute(query)], at)


def show_visit(session: SchemeSession, visit: Visit, *, at: datetime) -> VisitRow:
    """Return one visit as lists show it."""
    home = session.get_one(Household, (session.scheme_id, visit.household_id))
    return _rows(session, [(visit, home)], at)[0]


def _rows(session: SchemeSession, pairs: Sequence[tuple[Visit, Household]], at: datetime) -> list[VisitRow]:
    facts = _HomeFacts(session, sorted({home.id for _, home in pairs}))
    names = dict(session.execute(select(Electrician.id, Electrician.name)).all())
    return [_row(visit, home, facts, names, at) for visit, home in pairs]


def _row(visit: Visit, home: Household, facts: _HomeFacts, names: dict[str, str], at: datetime) -> VisitRow:
    risk, working = risk_of(facts.of(visit, home, at))
    outlets = [facts.outlets[outlet_id] for outlet_id in visit.outlet_ids if outlet_id in facts.outlets]
    return VisitRow(
        id=visit.id, version=visit.version, household_id=home.id, reference=home.reference,
        area=outward_of(home.postcode), outlet_ids=tuple(visit.outlet_ids),
        outlets=tuple(outlet.label for outlet in outlets), state=visit.state, reason=visit.reason,
        electrician_id=visit.electrician_id, electrician_name=names.get(visit.electrician_id or "", ""),
        agreed_on=visit.agreed_on, agreed_from=visit.agreed_from, agreed_until=visit.agreed_until,
        cost_pence=visit.cost_pence, asked_at=visit.asked_at, risk=risk, risk_working=working,
    )


class _HomeFacts:
    """What the order of risk asks of some homes, read in a few statements however many they are."""

    def __init__(self, session: SchemeSession, ids: Sequence[str]) -> None:
        self.outlets = {row.id: row for (row,) in _each(session, _OUTLETS, ids)}
        self.earthing: dict[str, str] = dict(_each(session, _EARTHING, ids))
        self.stopped = {row[0] for row in _each(session, _STOPPED, ids)}
        self.next_due: dict[str, date | None] = dict(_each(session, _DUE, ids))
        self.inspected = {row[0] for row in _each(session, _INSPECTED, ids)}

    def of(self, visit: Visit, home: Household, at: datetime) -> RiskFacts:
        """Return the facts of one visit."""
        outlets = [self.outlets[outlet_id] for outlet_id in visit.outlet_ids if outlet_id in self.outlets]
        sockets = [outlet for outlet in outlets if outlet.kind == OutletKind.SOCKET_13A.value]
        nights = [outlet.nights_a_week for outlet in sockets]
        due_on = self.next_due.get(home.id)
        return RiskFacts(
            is_stopped=home.id in self.stopped,
            was_never_inspected=any(outlet.id not in self.inspected for outlet in outlets),
            is_overdue=due_on is not None and due_on < at.astimezone(ZoneInfo(home.zone)).date(),
            has_socket=bool(sockets),
            nights_a_week=None if None in nights else max((each for each in nights if each is not None), default=0),
            may_lose_pen_outdoors=self._may_be_pme(home) and any(_may_stand_outdoors(outlet) for outlet in outlets),
            days_waiting=(at - visit.asked_at).days,
        )

    def _may_be_pme(self, home: Household) -> bool:
        return self.earthing.get(home.id, Earthing.NOT_KNOWN.value) in (
            Earthing.TN_C_S.value,
            Earthing.NOT_KNOWN.value,
        )


def _may_stand_outdoors(outlet: Outlet) -> bool:
    place = outlet.car_place if outlet.car_place != Place.NOT_KNOWN.value else outlet.place
    return place != Place.INDOORS.value


def _each(session: SchemeSession, statement: Select[*tuple[Any, ...]], ids: Sequence[str]) -> Iterator[Any]:
    for start in range(0, len(ids), IDS_A_STATEMENT):
        found: Iterable[Any] = session.execute(statement, {"ids": list(ids[start : start + IDS_A_STATEMENT])})
        yield from (tuple(row) for row in found)


_IDS: BindParameter[Any] = bindparam("ids", expanding=True)
_OUTLETS: Select[*tuple[Any, ...]] = select(Outlet).where(Outlet.household_id.in_(_IDS))
_EARTHING: Select[*tuple[Any, ...]] = select(Supply.household_id, Supply.earthing).where(Supply.household_id.in_(_IDS))
_STOPPED: Select[*tuple[Any, ...]] = select(ClearanceStatus.household_id).where(
    ClearanceStatus.household_id.in_(_IDS), ClearanceStatus.clearance == Clearance.DO_NOT_USE.value
)
# The latest date comes first, so that the earliest is what a dictionary keeps.
_DUE: Select[*tuple[Any, ...]] = (
    select(Recheck.household_id, Recheck.due_on)
    .where(Recheck.household_id.in_(_IDS), Recheck.done_on.is_(None))
    .order_by(Recheck.due_on.desc())
)
_INSPECTED: Select[*tuple[Any, ...]] = select(Inspection.outlet_id).where(
    Inspection.household_id.in_(_IDS), Inspection.superseded_at.is_(None)
)
