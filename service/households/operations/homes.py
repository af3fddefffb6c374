"""The home itself: open one, change its address or terms, and note what a plan depends on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import select, update

from service.accounts.operations import audit
from service.common.errors import Conflict, NotFound
from service.households.domain.events import HouseholdChanged, OutletsChanged
from service.households.domain.home_details import HomeDetails, SupplyDetails
from service.households.domain.outlet_changes import supply_changed
from service.households.models import Household, Outlet, OutletChange, Supply
from service.households.operations.stored import fill, read_details
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import announce

IN_PLANS = frozenset({"zone", "nation", "region", "payment"})
"""What of a home a plan depends on."""
IN_DATES = frozenset({"tenure", "occupied_since_on"})
"""What of a home its rechecks depend on."""
WHAT_MAX = 300
"""Longest account of an edit that is kept."""
SUPPLY_IN_PLANS = frozenset({"fuse_a", "phases", "earthing"})
"""What of a supply a plan, or the clearance it rests on, may depend on."""


class ReferenceTaken(Conflict):
    """Another home of the scheme has this reference."""

    title = "This reference is taken"


def get_household(session: SchemeSession, household_id: str) -> Household:
    """Return the home; raises ``NotFound`` where the scheme has none by this id."""
    household = session.get(Household, (session.scheme_id, household_id))
    if household is None:
        raise NotFound("No such household.")
    return household


def hold_household(session: SchemeSession, household_id: str) -> Household:
    """Return the home and hold its row, so that writers of one home follow one another; raises ``NotFound``."""
    get_household(session, household_id)
    held = select(Household).where(Household.id == household_id).with_for_update()
    return session.scalars(held.execution_options(populate_existing=True)).one()


def note_change(session: SchemeSession, household_id: str, *, at: datetime) -> None:
    """Raise the home's change counter and announce it, once a transaction however often it is called.

    Call it first: on PostgreSQL it holds the home's row, so that what is checked next stays true.
    The counter rises by a statement, not through the row: it is no edit of the household, whose ETag
    must not move when a car or a socket changes.
    """
    household = get_household(session, household_id)
    noted: dict[str, object] = session.info.setdefault("noted_changes", {})
    transaction = session.get_transaction()
    if transaction is not None and noted.get(household_id) is transaction:
        return
    counter = session.scalars(
        update(Household)
        .where(Household.id == household.id)
        .values(change_counter=Household.change_counter + 1)
        .returning(Household.change_counter)
    ).one()
    # Asked for again: the statement itself may have begun the transaction.
    noted[household_id] = session.get_transaction()
    announce(session, HouseholdChanged(household_id=household_id, change_counter=counter), at=at)


def note_stop(session: SchemeSession, household_id: str, *, at: datetime) -> None:
    """Note a change after which no older plan may be shown: call it first, as ``note_change``."""
    note_change(session, household_id, at=at)
    session.execute(
        update(Household)
        .where(Household.id == household_id)
        .values(stopped_at_change=Household.change_counter, stopped_at=at)
    )


def open_household(session: SchemeSession, details: HomeDetails, *, by: str | None, at: datetime) -> Household:
    """Add a home to the scheme.

    Raises
    ------
    ReferenceTaken
        If another home has the reference.
    """
    _check_reference(session, details.reference)
    household = Household(created_at=at)
    fill(household, details)
    session.add(household)
    session.flush()
    audit(session, account_id=by, action="open", subject_kind="household", subject_id=household.id, at=at)
    note_change(session, household.id, at=at)
    return household


def change_household(
    session: SchemeSession, household_id: str, changes: Mapping[str, Any], *, by: str | None, at: datetime
) -> Household:
    """Change some fields of a home; raises ``Rejected`` or ``ReferenceTaken``."""
    household = get_household(session, household_id)
    details = replace(read_details(HomeDetails, household), **changes)
    if details.reference != household.reference:
        _check_reference(session, details.reference)
    changed = fill(household, details)
    session.flush()
    if changed:
        audit(
            session, account_id=by, action="change", subject_kind="household", subject_id=household_id, at=at,
            fields=changed,
        )
    if (IN_PLANS | IN_DATES).intersection(changed):
        note_change(session, household_id, at=at)
    return household


def find_supply(session: SchemeSession, household_id: str) -> Supply | None:
    """Return what is recorded of the home's supply, or None; raises ``NotFound`` for an unknown home."""
    get_household(session, household_id)
    return session.scalar(select(Supply).where(Supply.household_id == household_id))


def put_supply(
    session: SchemeSession, household_id: str, details: SupplyDetails, *, by: str | None, at: datetime
) -> Supply:
    """Record the home's supply in place of what was recorded of it."""
    supply = find_supply(session, household_id)
    was = read_details(SupplyDetails, supply) if supply else None
    if supply is None:
        supply = Supply(household_id=household_id)
        session.add(supply)
    changed = fill(supply, details)
    session.flush()
    audit(session, account_id=by, action="put", subject_kind="supply", subject_id=supply.id, at=at, fields=changed)
    if SUPPLY_IN_PLANS.intersection(changed):
        note_change(session, household_id, at=at)
    outlets = session.scalars(select(Outlet).where(Outlet.household_id == household_id)).all()
    note_outlet_changes(session, household_id, outlets, supply_changed(was, details), by=by, at=at)
    return supply


def note_outlet_changes(
    session: SchemeSession,
    household_id: str,
    outlets: Sequence[Outlet],
    what: Sequence[str],
    *,
    was: Mapping[str, str | None] | None = None,
    by: str | None,
    at: datetime,
) -> None:
    """Append what of some outlets is another now, in words; without words nothing happens.

    No plan from before is shown any more: it may rest on an inspection that no longer counts.  ``was`` holds the
    circuit and the first day that the one outlet had, where its own record was edited.
    """
    if not what or not outlets:
        return
    note_stop(session, household_id, at=at)
    day = at.astimezone(ZoneInfo(get_household(session, household_id).zone)).date()
    changes = [
        OutletChange(
            household_id=household_id, outlet_id=outlet.id, what="; ".join(what)[:WHAT_MAX], changed_at=at,
            changed_on=day, changed_by=by,
        )
        for outlet in outlets
    ]
    session.add_all(changes)
    session.flush()
    announce(session, OutletsChanged(household_id, [change.id for change in changes], dict(was or {})), at=at)


def _check_reference(session: SchemeSession, reference: str) -> None:
    if session.scalar(select(Household.id).where(Household.reference == reference)):
        raise ReferenceTaken(f"Another home has the reference {reference}. Choose another one.")
