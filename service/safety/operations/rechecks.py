"""Items that fall due again: what is due in a home or a scheme, by which rule, and that it was done."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, Forbidden, NotFound, Rejected
from service.households.models import Circuit, CircuitRun, Household, Lead, Outlet
from service.households.operations import get_household
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.evidence import RecheckItem
from service.safety.domain.inspection_details import check_done_on
from service.safety.domain.rechecks import INSPECTION_RULE as INSPECTION_RULE
from service.safety.domain.rechecks import Task, cited, task_of
from service.safety.models import Inspection, Recheck
from service.safety.operations.recheck_setting import set_rechecks
from service.safety.operations.standing import refresh_status


class InspectionNeeded(Conflict):
    """An inspection that is due is done by recording its result."""

    title = "Record the inspection"


class CheckNeeded(Conflict):
    """A check that is due is done by making it, answer by answer."""

    title = "Make the check"


@dataclass(frozen=True)
class RecheckView:
    """A recheck with the label of its item, what is done with it, and where its rule comes from."""

    id: str
    household_id: str
    item_kind: str
    item_id: str
    item_label: str
    due_on: date
    rule: str
    done_on: date | None
    rule_name: str = ""
    interval_days: int | None = None
    is_claimed: bool = False

    @property
    def task(self) -> Task:
        """What is done with the item."""
        return task_of(self.item_kind, self.rule_name, self.rule)

    @property
    def source(self) -> str:
        """Where the rule comes from, with its mark; empty where a person set the date."""
        return cited(self.rule_name)


@dataclass(frozen=True)
class DueRecheck:
    """A recheck that is not done, with what a reminder says of its home."""

    recheck: RecheckView
    reference: str
    zone: str


def list_rechecks(session: SchemeSession, household_id: str) -> list[RecheckView]:
    """Return the home's rechecks, the earliest due first."""
    return _views(
        session,
        session.scalars(
            select(Recheck).where(Recheck.household_id == household_id).order_by(Recheck.due_on, Recheck.id)
        ).all(),
    )


def list_due(
    session: SchemeSession,
    *,
    until_on: date,
    household_id: str | None = None,
    household_ids: Sequence[str] | None = None,
) -> list[DueRecheck]:
    """Return what is not done and falls due on or before a day, overdue ones included, the earliest first.

    Of one home, of some, or of the whole scheme where neither is given.
    """
    statement = (
        select(Recheck, Household.reference, Household.zone)
        .join(Household, (Household.scheme_id == Recheck.scheme_id) & (Household.id == Recheck.household_id))
        .where(Recheck.done_on.is_(None), Recheck.due_on <= until_on)
        .order_by(Recheck.due_on, Recheck.id)
    )
    if household_id is not None:
        statement = statement.where(Recheck.household_id == household_id)
    if household_ids is not None:
        statement = statement.where(Recheck.household_id.in_(household_ids))
    rows = session.execute(statement).all()
    views = _views(session, [row[0] for row in rows])
    return [DueRecheck(view, row[1], row[2]) for view, row in zip(views, rows, strict=True)]


def schedule_recheck(
    session: SchemeSession,
    household_id: str,
    *,
    item_kind: RecheckItem,
    item_id: str,
    due_on: date,
    rule: str,
    by: str | None,
    at: datetime,
) -> RecheckView:
    """Set a date on which an item of the home falls due; the same date again is the same recheck.

    Raises
    ------
    NotFound, Rejected
        Rejected where the item is not of this home.
    """
    get_household(session, household_id)
    if item_id not in _labels(session, item_kind, [item_id], household_id):
        raise Rejected(Fault("item_id", item_id, f"is not a {item_kind.value} of this home"))
    recheck = _find(session, item_kind, item_id, due_on)
    if recheck is None:
        recheck = Recheck(
            household_id=household_id, item_kind=item_kind.value, item_id=item_id, due_on=due_on, rule=rule
        )
        session.add(recheck)
        session.flush()
        refresh_status(session, household_id, at=at)
        audit(session, account_id=by, action="schedule", subject_kind="recheck", subject_id=recheck.id, at=at)
    return _views(session, [recheck])[0]


def complete_recheck(
    session: SchemeSession,
    household_id: str,
    recheck_id: str,
    done_on: date,
    *,
    by: str | None,
    at: datetime,
    allowed: Sequence[Task] | None = None,
) -> RecheckView:
    """Record the day a recheck was done; asked twice for the same day, done once.

    ``allowed``: what the caller may note as done; None: anything.

    Raises
    ------
    NotFound, Forbidden, Rejected, Conflict, InspectionNeeded, CheckNeeded
        The last two where an inspection or a check is due: its result completes it, a date alone is no evidence.
    """
    # Held: of two people who complete it with different dates, the second must see the first's.
    recheck = session.get(Recheck, (session.scheme_id, recheck_id), with_for_update=True)
    if recheck is None or recheck.household_id != household_id:
        raise NotFound("This home has no such recheck.")
    task = task_of(recheck.item_kind, recheck.rule_name, recheck.rule)
    if allowed is not None and task not in allowed and task not in (Task.INSPECTION, Task.REMEDY, Task.CHECK):
        raise Forbidden("Ask those who run your scheme: an administrator notes this as done.")
    check_done_on(done_on, on=at.astimezone(ZoneInfo(get_household(session, household_id).zone)).date())
    if recheck.done_on is not None and recheck.done_on != done_on:
        raise Conflict(f"This recheck was done on {recheck.done_on}.")
    if recheck.done_on is None:
        if task in (Task.INSPECTION, Task.REMEDY):
            raise InspectionNeeded("Record the inspection of this outlet: it completes the recheck and sets the next.")
        if task is Task.CHECK:
            raise CheckNeeded("Make the check of this item: it completes the recheck and sets the next.")
        recheck.done_on = done_on
        session.flush()
        refresh_status(session, household_id, at=at)
        audit(
            session, account_id=by, action="complete", subject_kind="recheck", subject_id=recheck_id, at=at,
            fields=("done_on",),
        )
    return _views(session, [recheck])[0]


def follow_inspection(session: SchemeSession, inspection: Inspection) -> None:
    """Let an inspection that was just recorded set the dates of its home."""
    set_rechecks(session, [inspection.household_id], at=inspection.recorded_at)


def _find(session: SchemeSession, item_kind: RecheckItem, item_id: str, due_on: date) -> Recheck | None:
    return session.scalar(
        select(Recheck).where(
            Recheck.item_kind == item_kind.value, Recheck.item_id == item_id, Recheck.due_on == due_on
        )
    )


def _views(session: SchemeSession, rechecks: Iterable[Recheck]) -> list[RecheckView]:
    rows = list(rechecks)
    labels: dict[str, str] = {}
    for kind in RecheckItem:
        ids = sorted({row.item_id for row in rows if row.item_kind == kind.value})
        if ids:
            labels.update(_labels(session, kind, ids))
    return [
        RecheckView(
            row.id, row.household_id, row.item_kind, row.item_id, labels.get(row.item_id, "(no longer there)"),
            row.due_on, row.rule, row.done_on, row.rule_name or "", row.interval_days, bool(row.is_claimed),
        )
        for row in rows
    ]


def _labels(
    session: SchemeSession, kind: RecheckItem, ids: list[str], household_id: str | None = None
) -> dict[str, str]:
    """Return id -> label of items of a kind, of one home where it is given."""
    statement: Any
    if kind is RecheckItem.DEVICE:
        statement = (
            select(CircuitRun.id, CircuitRun.device)
            .join(Circuit, (Circuit.scheme_id == CircuitRun.scheme_id) & (Circuit.id == CircuitRun.circuit_id))
            .where(CircuitRun.id.in_(ids))
        )
        owner: Any = Circuit
    else:
        owner = {RecheckItem.OUTLET: Outlet, RecheckItem.LEAD: Lead, RecheckItem.CIRCUIT: Circuit}[kind]
        statement = select(owner.id, owner.label).where(owner.id.in_(ids))
    if household_id is not None:
        statement = statement.where(owner.household_id == household_id)
    return {row[0]: row[1] for row in session.execute(statement)}
